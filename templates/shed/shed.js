// What is tapped is kept on this phone until the shed's server has it: sent in order, and each of them once.
// Every page works without this script too; then a form goes the plain way.
"use strict";
(() => {
  const KEPT = "castlot-kept-";
  const LEASE = "castlot-sending";
  const LEASE_MS = 20000;
  const ANSWER_MS = 15000;
  const AGAIN_MS = 20000;
  const LEFT = "castlot-left";
  // With these the server says that it will not take the form, and why. All else may be somebody else's answer.
  const FINAL = [400, 409, 413, 415, 422];
  const opened = Date.now();
  const body = document.body;
  const by = body.dataset.by || "";
  const token = body.dataset.token || "";
  const aside = document.getElementById("kept");
  const me = String(crypto.getRandomValues(new Uint32Array(2)));
  let busy = false;
  let again = false;
  let trouble = "";
  let sentUnseen = 0;

  // ---- what is kept: an item of the phone's storage for each form, so that two tabs never overwrite each other

  function all() {
    const items = [];
    for (let at = 0; at < localStorage.length; at += 1) {
      const name = localStorage.key(at);
      if (!name || !name.startsWith(KEPT)) continue;
      try {
        items.push(Object.assign(JSON.parse(localStorage.getItem(name)), { name }));
      } catch (_) {
        // Not ours, or half of it: nothing that could be sent.
      }
    }
    return items.sort((one, other) => (one.name < other.name ? -1 : 1));
  }

  function keep(item) {
    const when = String(item.at).padStart(15, "0");
    item.name = KEPT + when + "-" + item.key;
    localStorage.setItem(item.name, JSON.stringify(item));
  }

  function forget(item) {
    localStorage.removeItem(item.name);
  }

  // ---- one tab at a time sends; the server's own memory of keys is what makes it once

  async function alone(work) {
    if (navigator.locks) {
      return navigator.locks.request(LEASE, { ifAvailable: true }, (lock) => (lock ? work() : undefined));
    }
    if (!(await lease())) return undefined;
    try {
      return await work();
    } finally {
      if (holds()) localStorage.removeItem(LEASE);
    }
  }

  function holds() {
    return (localStorage.getItem(LEASE) || "").startsWith(me + " ");
  }

  function renew() {
    localStorage.setItem(LEASE, me + " " + (Date.now() + LEASE_MS));
  }

  async function lease() {
    const [who, until] = (localStorage.getItem(LEASE) || " 0").split(" ");
    const left = Number(until) - Date.now();
    // A lease far ahead is of a clock that was put back since.
    if (who !== me && left > 0 && left <= LEASE_MS) return false;
    renew();
    await new Promise((then) => setTimeout(then, 40 + Math.random() * 60));
    return holds();
  }

  async function send() {
    if (!token) return;
    if (busy) {
      again = true;
      return;
    }
    busy = true;
    try {
      do {
        again = false;
        await alone(sendInOrder);
      } while (again);
    } catch (_) {
      trouble = "This phone's storage cannot be read.";
    } finally {
      busy = false;
      show();
    }
  }

  async function sendInOrder() {
    for (const item of all()) {
      if (item.refused || item.by !== by) continue;
      if (!navigator.locks) renew();
      if (!(await sendOne(item))) return;
      trouble = "";
    }
  }

  async function sendOne(item) {
    const fields = new URLSearchParams(item.fields);
    fields.set("token", token);
    fields.set("age", String(Math.max(0, Math.round((Date.now() - item.at) / 1000))));
    const stop = new AbortController();
    const clock = setTimeout(() => stop.abort(), ANSWER_MS);
    let answer;
    let text;
    try {
      answer = await fetch(item.to, { method: "POST", body: fields, credentials: "same-origin", cache: "no-store", signal: stop.signal });
      text = await answer.text();
    } catch (_) {
      trouble = "The shed's server cannot be reached.";
      waits(item);
      return false;
    } finally {
      clearTimeout(clock);
    }
    if (answer.status === 401 || answer.status === 403) {
      trouble = answer.status === 401 ? "sign-in" : "reload";
      waits(item);
      return false;
    }
    if (answer.status >= 500 || answer.status === 429 || answer.status === 408) {
      trouble = "The shed's server is busy.";
      waits(item);
      return false;
    }
    const page = new DOMParser().parseFromString(text, "text/html");
    const words = page.querySelector("[data-refused], [role=alert], main p");
    if (answer.ok && page.querySelector("[data-told]")) {
      forget(item);
      told(item, page.querySelector("[data-told]"));
    } else if (FINAL.includes(answer.status) && words) {
      item.refused = words.textContent.trim().replace(/\s+/g, " ");
      localStorage.setItem(item.name, JSON.stringify(item));
      refused(item);
    } else {
      // The sign-on page of another network, say: the form is kept for the shed's own server.
      trouble = "Something else answers in the place of the shed's server.";
      waits(item);
      return false;
    }
    return true;
  }

  // ---- what is seen of it where it was tapped

  function spot(item) {
    return document.querySelector('[data-waits="' + CSS.escape(item.key) + '"]');
  }

  function part(name, text, kind) {
    const made = document.createElement(name);
    if (text) made.textContent = text;
    if (kind) made.className = kind;
    return made;
  }

  function button(text, then) {
    const made = part("button", text);
    made.type = "button";
    made.addEventListener("click", then);
    return made;
  }

  function placeholder(item, form) {
    const made = part("div", "", "told waits");
    made.dataset.waits = item.key;
    made.tabIndex = -1;
    made.append(part("p", item.said));
    made.append(part("p", "sending…", "state"));
    made.form = form;
    form.replaceWith(made);
    step(made);
  }

  function waits(item) {
    const place = spot(item);
    if (place) place.querySelector(".state").textContent = "Kept on this phone, not sent yet.";
  }

  function told(item, answer) {
    const place = spot(item);
    if (!place) {
      sentUnseen += 1;
      return;
    }
    if (item.to.endsWith("/shed/taken-back")) undone(place);
    place.replaceWith(document.importNode(answer, true));
  }

  function refused(item) {
    const place = spot(item);
    if (!place) return;
    const form = place.form;
    undone(place);
    place.className = "told refused";
    place.replaceChildren(part("p", item.said + ": not recorded"), part("p", item.refused));
    place.append(button("Drop it and fill it in again", () => {
      forget(item);
      // Another form, so another key.
      const key = form.elements.namedItem("key");
      key.value = anotherKey(item.key);
      place.replaceWith(form);
      show();
    }));
  }

  // The second at which the form was shown stays; what is random after it is new.
  function anotherKey(key) {
    const random = Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, "0"));
    return key.slice(0, 10) + random.join("");
  }

  function show() {
    if (!aside) return;
    let items;
    try {
      items = all();
    } catch (_) {
      return;
    }
    const mine = items.filter((item) => !item.refused && item.by === by);
    // What is another's is counted and not shown: phones are handed on.
    const theirs = items.filter((item) => item.by !== by);
    const wrong = items.filter((item) => item.refused && item.by === by);
    aside.replaceChildren();
    if (mine.length) {
      const line = mine.length + " kept on this phone, not sent yet.";
      const why = { "sign-in": "You are signed out: sign in, and they are sent.", reload: "Load this page again, and they are sent." }[trouble] || trouble;
      aside.append(part("p", (line + " " + why).trim()));
      const list = part("ul");
      for (const item of mine) list.append(part("li", item.said));
      aside.append(list);
      if (trouble === "sign-in") {
        const link = part("a", "Sign in", "go");
        link.href = "/shed/sign-in?to=" + encodeURIComponent(location.pathname + location.search);
        aside.append(link);
      } else if (trouble === "reload") {
        aside.append(button("Load it again", () => location.reload()));
      } else if (token) {
        aside.append(button("Send now", send));
      }
    }
    if (theirs.length) {
      const names = Array.from(new Set(theirs.map((item) => item.by))).join(", ");
      aside.append(part("p", theirs.length + " kept on this phone for " + names + ": sent, or shown, when they sign in."));
    }
    for (const item of wrong) {
      const line = part("p", item.said + ": not recorded. " + item.refused);
      aside.append(line, button("Drop this", () => {
        forget(item);
        show();
      }));
    }
    if (sentUnseen) {
      aside.append(part("p", sentUnseen + (sentUnseen === 1 ? " kept form has" : " kept forms have") + " been sent."));
      aside.append(button("Show this page anew", () => location.reload()));
    }
    aside.hidden = !aside.childNodes.length;
  }

  // ---- the round: how far it is, and the next

  function step(place) {
    const card = place.closest("[data-stop]");
    if (card) card.setAttribute("data-done", "");
    progress();
  }

  function undone(place) {
    const card = place.closest("[data-stop]");
    if (card) card.removeAttribute("data-done");
    progress();
  }

  // What this phone keeps is not asked for again when the page is loaded anew: a second tap would be a second feed.
  function cover() {
    for (const item of all()) {
      if (item.refused || item.by !== by) continue;
      const bed = item.fields.find(([name]) => name === "bed");
      if (!bed || !/\/shed\/(fed|skipped|checked)$/.test(item.to)) continue;
      for (const form of document.querySelectorAll('form[action="/shed/checked"]')) {
        if (form.elements.namedItem("bed").value === bed[1]) placeholder(item, form);
      }
    }
  }

  function progress() {
    const line = document.getElementById("progress");
    const next = document.getElementById("next");
    if (!line || !next) return;
    const stops = Array.from(document.querySelectorAll("[data-stop]"));
    const open = stops.filter((stop) => stop.hasAttribute("data-open") && !stop.hasAttribute("data-done"));
    const total = Number(line.dataset.total);
    line.textContent = total - open.length + " of " + total;
    for (const blank of document.querySelectorAll("[data-blank]")) {
      blank.hidden = !open.some((stop) => stop.dataset.stop === blank.dataset.blank);
    }
    const none = document.getElementById("none-blank");
    if (none) none.hidden = open.length > 0;
    if (open.length) {
      next.textContent = "Next: " + open[0].dataset.stop;
      next.setAttribute("href", "#bin-" + open[0].dataset.stop);
    } else {
      next.textContent = "All done";
      next.setAttribute("href", "#blank");
    }
  }

  // ---- phones are handed on: pages that the browser still holds show nothing any more once somebody has signed out

  function left() {
    try {
      localStorage.setItem(LEFT, String(Date.now()));
    } catch (_) {
      // Then the browser alone decides what it shows when one goes back.
    }
  }

  function blank() {
    let last = 0;
    try {
      last = Number(localStorage.getItem(LEFT));
    } catch (_) {
      // Nothing can be read here.
    }
    if (!token || last < opened || last > Date.now()) return;
    body.replaceChildren(part("p", "“Sign out” was tapped on this phone: sign in to go on."));
    location.replace("/shed/sign-in");
  }

  // ---- taps

  function said(form, tapped) {
    const what = tapped ? tapped.dataset.did || tapped.textContent.trim() : "";
    const from = tapped && tapped.dataset.with && document.getElementById(tapped.dataset.with);
    const words = [what, from ? from.value.trim() : ""].filter(Boolean).join(" ");
    return [form.dataset.said, words].filter(Boolean).join(": ");
  }

  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (form.getAttribute("action") === "/shed/sign-out") left();
    if (!form.hasAttribute("data-spot") || form.dataset.goes) return;
    const tapped = event.submitter;
    // The token is of this sign-in alone, and is put in when the form is sent.
    const says = ([name, value]) => name !== "token" && typeof value === "string" && value !== "";
    const fields = Array.from(new FormData(form)).filter(says);
    if (tapped && tapped.name) fields.push([tapped.name, tapped.value]);
    const target = (tapped && tapped.getAttribute("formaction")) || form.getAttribute("action");
    const key = String(new FormData(form).get("key"));
    const item = { key, by, to: target, said: said(form, tapped), at: Date.now(), fields, refused: "" };
    try {
      keep(item);
    } catch (_) {
      // Nothing can be kept here: full, or forbidden. The form goes as it would without this script.
      form.dataset.goes = "1";
      aside.replaceChildren(part("p", "This phone cannot keep forms (its storage is full or closed): wait at the rack until each is answered."));
      aside.hidden = false;
      return;
    }
    event.preventDefault();
    placeholder(item, form);
    send();
  });

  document.addEventListener("click", (event) => {
    const tapped = event.target.closest("[data-step]");
    if (!tapped) return;
    const input = document.getElementById(tapped.dataset.of);
    const found = /^(.*?)(\d+)(\D*)$/.exec(input.value);
    const number = Math.max(0, Number(found ? found[2] : 0) + Number(tapped.dataset.step));
    input.value = found ? found[1] + number + found[3] : number + " g";
  });

  // What is opened at the lower edge of the screen is moved up, so that no thumb has to.
  document.addEventListener("toggle", (event) => {
    const opened = event.target;
    if (!(opened instanceof HTMLDetailsElement) || !opened.open) return;
    const bar = document.querySelector(".bar");
    const room = window.innerHeight - (bar ? bar.offsetHeight : 0);
    const over = opened.getBoundingClientRect().bottom - room;
    const most = opened.getBoundingClientRect().top - 8;
    if (over > 0 && most > 0) window.scrollBy({ top: Math.min(over + 8, most) });
  }, true);

  for (const hidden of document.querySelectorAll("[data-step]")) hidden.hidden = false;
  window.addEventListener("online", send);
  window.addEventListener("storage", (event) => (event.key === LEFT ? blank() : show()));
  window.addEventListener("pageshow", (event) => {
    if (event.persisted) blank();
  });
  document.addEventListener("visibilitychange", () => {
    if (!document.hidden) send();
  });
  setInterval(() => {
    try {
      if (all().some((item) => !item.refused && item.by === by)) send();
    } catch (_) {
      // Said already.
    }
  }, AGAIN_MS);
  try {
    cover();
  } catch (_) {
    // Nothing can be read here, so nothing is kept.
  }
  progress();
  show();
  send();
})();
