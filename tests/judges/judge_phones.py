"""Judges the shed's own phones: sign-in, the round, what was tapped while the server was down, and forms that are not ours.

judge_phones.py CASTLOT DEMO_DIR

Chromium at the size of a phone, against `castlot serve` over a copy of the demo farm; and the same server by plain HTTP
for what no browser would send. What was recorded is asked of `castlot verify` and `castlot log`.
"""

import contextlib
import http.client
import random
import re
import sys
import tempfile
import threading
import time
from pathlib import Path

from browser import Watch, chromium
from handed_on import handed_on
from npm_judges import check
from page_checks import SIDEWAYS, accessible, open_all, plain
from phone_line import Forms, Line, entries
from served import PINS, Served, set_pins, sign_in
from shed_farm import copied

NOW = "2026-11-02T10:00:00Z"
LATER = "2026-11-03T10:00:00Z"
SCREEN = 360
FINGER = 48  # pixels that a gloved finger needs; the issue's own number
WRONG_PINS = 10_000
CUTS = 12
BIN = "/BIN/A07"
ROUND = "/shed/round"
PAGES = (BIN, "/RACK/R1", ROUND, "/shed/find?q=A07", "/shed/complaint", "/shed/trace/P26170-01-D")

# Buttons, links that stand alone, summaries and the labels of boxes, where a finger has less room than it needs.
SMALL = """least => [...document.querySelectorAll('button, summary, main nav a, header nav a, .bar a, input:not([type=hidden]), textarea')]
    .filter(e => !['radio', 'checkbox'].includes(e.type) && e.getClientRects().length)
    .concat([...document.querySelectorAll('label:has(input[type=radio], input[type=checkbox])')].filter(e => e.getClientRects().length))
    .filter(e => { const box = e.getBoundingClientRect(); return box.height < least - 0.5 || box.width < least - 0.5; })
    .map(e => e.tagName.toLowerCase() + ' ' + (e.textContent || e.name).trim().slice(0, 30))"""


def signing_in(server, browser):
    """A bin's code leads to the sign-in, and the sign-in back to the bin; the cookie is for this server alone."""
    found = []
    with Watch(browser, SCREEN) as watch:
        found += plain(watch, server.origin + BIN, server.origin, expect=401)
        sign_in(watch.page, pin="918273")
        if watch.page.locator("input[name=pin]").count() != 1:
            found.append("a wrong PIN opens the shed")
        sign_in(watch.page)
        if not watch.page.url.endswith(BIN):
            found.append(f"the sign-in leads to {watch.page.url}")
        kept = [cookie for cookie in watch.context.cookies() if cookie["name"] != "castlot-door"]
        found += [f"the cookie {cookie['name']} is {cookie}" for cookie in kept
                  if not cookie["httpOnly"] or cookie["sameSite"] != "Strict"]
        found += [] if kept else ["there is no cookie"]
    return found, 3


def looks(server, browser):
    """Every page of the shed: policy, errors, no sideways scroll, room for a gloved finger, axe-core."""
    found = []
    with Watch(browser, SCREEN) as watch:
        watch.visit(server.origin + BIN)
        sign_in(watch.page)
        state = watch.context.cookies()
        for page in PAGES:
            found += [f"{page}: {trouble}" for trouble in plain(watch, server.origin + page, server.origin)]
            open_all(watch.page)
            if over := watch.page.evaluate(SIDEWAYS):
                found.append(f"{page}: unfolded it scrolls sideways by {over}")
            if page == BIN:
                found += fails_to_see(watch.page)
            found += [f"{page}: less than {FINGER} px: {what}" for what in sorted(set(watch.page.evaluate(SMALL, FINGER)))[:8]]
    troubles, count = accessible(browser, [server.origin + page for page in PAGES], (SCREEN, 1200),
                                 prepare=lambda watch: watch.context.add_cookies(state))
    return found + troubles, len(PAGES) + count


def valid(server, room):
    """The shed's pages as HTML, with the sign-in, the answer to a form, a refusal and an address without a page among them."""
    line, folder = Line(server), room / "html"
    folder.mkdir()
    pages = {"sign-in": line.ask("/shed/sign-in")[2], "door": line.ask(BIN)[2], "nothing": line.ask("/P26001-01-X")[2]}
    if line.sign_in() >= 400:
        return ["nobody can sign in"], 0
    pages |= {page: line.ask(page)[2] for page in (*PAGES, "/shed/find", "/shed/find?q=15", "/RACK/R99", "/BIN/Z99")}
    form = line.form_for(BIN, "/shed/noted")
    pages["told"] = line.ask("/shed/noted", form | {"note": "a note"})[2]
    pages["again"] = line.ask("/shed/noted", form | {"note": "a note"})[2]
    pages["refused"] = line.ask("/shed/moved", line.form_for(BIN, "/shed/moved") | {"place": "nowhere"})[2]
    pages["not ours"] = line.ask("/shed/noted", form | {"token": "0" * 64})[2]
    pages = {name: text for name, text in pages.items() if text}  # what leads elsewhere has no page of its own
    pages["wrong"] = "<!DOCTYPE html><title>x</title><p><b>"
    for number, (name, text) in enumerate(pages.items()):
        (folder / f"{number:02}-{re.sub('[^A-Za-z0-9]', '-', name)}.html").write_text(text, encoding="utf-8")
    found = check([folder])
    seen = [message for message in found if "-wrong.html" in message]
    found = [f"html: {message}" for message in found if message not in seen]
    return found + ([] if seen else ["the judge does not see HTML that is broken"]), len(pages) - 1


def fails_to_see(page):
    """The look for small targets, on a page with one."""
    page.evaluate("""() => { const small = document.createElement('button'); small.textContent = 'tiny';
        small.style.cssText = 'all:revert;min-height:0;height:20px'; document.querySelector('main').append(small); }""")
    seen = page.evaluate(SMALL, FINGER)
    page.evaluate("document.querySelector('main').lastChild.remove()")
    return [] if any("tiny" in what for what in seen) else ["the judge does not see a target that is too small"]


def tap_fed(page):
    """Taps the first "fed" of a page."""
    page.locator("button[formaction='/shed/fed']:visible").first.click()


def rounds(server, browser, castlot):
    """A tap on the round is one entry, with JavaScript and without."""
    found = []
    for script in (True, False):
        before = entries(castlot, server.farm)
        with Watch(browser, SCREEN, script=script) as watch:
            watch.visit(server.origin + ROUND)
            sign_in(watch.page)
            tap_fed(watch.page)
            watch.page.wait_for_timeout(2_000)
            text = watch.page.locator("body").inner_text()
            found += [f"the browser says: {word}" for word in watch.policy_reports()]
        more = entries(castlot, server.farm) - before
        if more != 1 or "entry" not in text:
            found.append(f"a tap ({'with' if script else 'without'} JavaScript) makes {more} entries: {text[:200]}")
    return found, 2


def while_down(server, browser, castlot):
    """What is tapped while the server is down is kept, also over a reload, and is recorded once when it is up again."""
    found, before = [], entries(castlot, server.farm)
    with Watch(browser, SCREEN) as watch:
        watch.visit(server.origin + ROUND)
        sign_in(watch.page)
        server.kill()
        tap_fed(watch.page)
        watch.page.wait_for_timeout(1_500)
        tap_fed(watch.page)
        watch.page.wait_for_timeout(1_500)
        if "not sent" not in watch.page.locator("body").inner_text():
            found.append("nobody is told that a form waits")
        if entries(castlot, server.farm) != before:
            found.append("something was recorded by a server that is down")
        server.start()
        # Another page of the shed, opened in the same browser: what is kept goes out from there, and from the first one too.
        second = watch.context.new_page()
        second.goto(server.origin + ROUND)
        until = time.monotonic() + 45
        while entries(castlot, server.farm) < before + 2 and time.monotonic() < until:
            time.sleep(0.5)
        second.reload()
        second.wait_for_timeout(2_000)
        watch.page.wait_for_timeout(1_000)
    more = entries(castlot, server.farm) - before
    return found + ([] if more == 2 else [f"two taps make {more} entries after the server was down"]), 2


def cut_off(server, castlot):
    """The server is killed at any moment of a recording; the form is sent again: one entry, whenever it was."""
    found, luck, early = [], random.Random(7), 0
    line = Line(server)
    if line.sign_in("RB") >= 400:
        return ["nobody can sign in"], 0
    form, started = line.form_for(ROUND, "/shed/fed"), time.monotonic()
    line.ask("/shed/fed", form)
    usual = min(1.0, time.monotonic() - started)  # a busy machine must not make the judge wait
    for turn in range(CUTS):
        line = Line(server)
        if line.sign_in("RB") >= 400:
            return ["nobody can sign in"], turn
        form, before = line.form_for(ROUND, "/shed/fed"), entries(castlot, server.farm)
        def send():
            with contextlib.suppress(OSError, http.client.HTTPException):
                line.ask("/shed/fed", form)
        sender = threading.Thread(target=send)
        sender.start()
        time.sleep(luck.uniform(0, 1.5) * usual)
        server.kill()
        sender.join()
        early += entries(castlot, server.farm) == before
        server.environment["CASTLOT_NOW"] = f"2026-11-02T11:{turn:02}:00Z"
        server.start()
        status = line.ask("/shed/fed", form)[0]
        more = entries(castlot, server.farm) - before
        if status != 200 or more != 1:
            found.append(f"turn {turn}: sent again it is answered by {status}, and {more} entries are there")
    print(f"{CUTS} cuts, {early} of them before the entry was written; a recording takes {usual:.3f} s")
    return found, CUTS


def forms(server, castlot):
    """No token, another's token, another site, another key: what is not a worker's own form records nothing."""
    found, ours, theirs = [], Line(server), Line(server, "127.0.0.5")
    if ours.sign_in("RB") >= 400 or theirs.sign_in("NT") >= 400:
        return ["nobody can sign in"], 0
    form = ours.form_for(ROUND, "/shed/fed")
    other = theirs.form_for(ROUND, "/shed/fed")
    before = entries(castlot, server.farm)
    evil = {"Origin": "http://elsewhere.example", "Sec-Fetch-Site": "cross-site"}
    tries = {
        "without a sign-in": ((form,), dict(cookies=False)),
        "without a token": (({key: value for key, value in form.items() if key != "token"},), {}),
        "with a token of nobody": ((form | {"token": "0" * 64},), {}),
        "with another's token": ((form | {"token": other["token"]},), {}),
        "from another site": ((form,), dict(headers=evil)),
        "with a key of nobody": ((form | {"key": "0" * 32},), {}),
        "in another's name": ((form | {"by": "NT"},), {}),
        "a lot that is not there": ((form | {"takes": "G26001-99-X 1kg"},), {}),
    }
    for name, ((fields,), how) in tries.items():
        status, headers, _ = ours.ask("/shed/fed", fields, **how)
        if not 400 <= status < 500 and not "sign-in" in (headers.get("Location") or ""):
            found.append(f"a form {name} is answered by {status}")
    if entries(castlot, server.farm) != before:
        found.append(f"{entries(castlot, server.farm) - before} forms that are not ours are recorded")
    form = ours.form_for(ROUND, "/shed/fed")
    before = entries(castlot, server.farm)
    answers = [ours.ask("/shed/fed", form)[0] for _ in range(20)]
    if set(answers) != {200} or entries(castlot, server.farm) != before + 1:
        found.append(f"a form sent 20 times is answered by {sorted(set(answers))} and makes {entries(castlot, server.farm) - before} entries")
    changed = ours.ask("/shed/fed", form | {"note": "another word"})[0]
    if changed != 409 or entries(castlot, server.farm) != before + 1:
        found.append(f"the same key with other words is answered by {changed}")
    return found, len(tries) + 21


def wrong_pins(server):
    """Ten thousand wrong PINs open nothing, and soon nothing is even tried; who has signed in works on, others may sign in."""
    inside, guest = Line(server, "127.0.0.6"), Line(server, "127.0.0.7")
    found = [] if inside.sign_in("RB") < 400 else ["nobody can sign in"]
    form = guest.ask("/shed/sign-in")
    fields = next(one for one in Forms(form[2]).forms if "pin" in one["fields"])["fields"]
    counts, started = {}, time.monotonic()
    for number in range(WRONG_PINS):
        pin = f"{number:06}" if f"{number:06}" != PINS["NT"] else "999999"
        status, headers, _ = guest.ask("/shed/sign-in", fields | {"by": "NT", "pin": pin})
        counts[status] = counts.get(status, 0) + 1
        if status == 429 and not headers.get("Retry-After"):
            found.append("nobody is told how long to wait")
            break
    took = time.monotonic() - started
    if set(counts) - {403, 429} or counts.get(403, 0) > 12:
        found.append(f"wrong PINs are answered by {counts}")
    if guest.sign_in("NT") < 400:
        found.append("the right PIN is taken while its worker has to wait")
    if inside.ask(BIN)[0] != 200:
        found.append("whoever has signed in is shut out by the tries of others")
    if Line(server, "127.0.0.8").sign_in("RB") >= 400:
        found.append("another worker cannot sign in from another address")
    print(f"{WRONG_PINS} wrong PINs: {counts}, {took:.0f} s")
    return found, WRONG_PINS


def main(castlot, demo):
    started, problems, counts = time.monotonic(), [], {}
    with tempfile.TemporaryDirectory() as room, chromium() as browser:
        farm = copied(Path(demo), Path(room) / "farm")
        set_pins(castlot, farm)
        server = Served(castlot, farm, NOW)
        with server:
            for name, look in {
                "sign-ins": lambda: signing_in(server, browser),
                "looks at pages": lambda: looks(server, browser),
                "pages as HTML": lambda: valid(server, Path(room)),
                "rounds": lambda: rounds(server, browser, castlot),
                "taps without a server": lambda: while_down(server, browser, castlot),
                "phones handed on": lambda: handed_on(server, browser, castlot),
                "forms": lambda: forms(server, castlot),
                "cuts": lambda: cut_off(server, castlot),
                "wrong PINs": lambda: wrong_pins(server),
            }.items():
                try:
                    found, counts[name] = look()
                except Exception as trouble:  # one scenario that breaks off must not hide the others
                    found = [f"broke off: {trouble}"]
                problems += [f"{name}: {trouble}" for trouble in found]
        # The next day everybody's wait is over.
        server.environment["CASTLOT_NOW"] = LATER
        with server:
            if Line(server, "127.0.0.9").sign_in("NT") >= 400:
                problems.append("the right PIN is not taken on the next day")
    for problem in problems[:60]:
        print(problem)
    told = ", ".join(f"{count} {name}" for name, count in counts.items())
    print(f"phone judge: {told}, {len(problems)} differences, {time.monotonic() - started:.0f} s")
    return 1 if problems else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
