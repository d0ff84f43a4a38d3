"""Hostile words typed into the shed's own forms: into every field of every one, by a client of one's own and in Chromium.

Each text carries a mark, by which it is known again: on the shed's pages it must be words, on public pages nothing at all.
"""

from hostile import WORDS, done_by
from page_checks import open_all
from phone_line import Forms
from served import sign_in

MARK = "typed-at-the-rack"
NOT_TYPED = ("token", "key", "by")  # what makes a form somebody's own: judge_phones.py forges these
PAGES = ("/BIN/A07", "/shed/complaint", "/shed/round")
# What a form must say to be recorded, where the hostile text stands in another of its fields.
HONEST = {"amount": "200 g", "takes": None, "place": "R9/S1/P1", "own_why": "wet", "own_sign": "a smell", "note": "a note", "bought_about": "2026-05"}
TURNS = 3


def hostile(number):
    return f"{MARK} {WORDS[number % len(WORDS)]}"


class Fields(Forms):
    """Forms with all their fields by name, boxes and text areas too."""

    def handle_starttag(self, tag, attributes):
        super().handle_starttag(tag, attributes)
        named = dict(attributes)
        if self.form is not None and named.get("name") and (tag == "textarea" or named.get("type") in ("radio", "checkbox")):
            self.form["fields"].setdefault(named["name"], "")


def by_hand(line):
    """(problems, forms sent): each field of each form in turn holds a hostile text, whatever kind of field it is."""
    found, sent, recorded, number = [], 0, 0, 0
    for page in PAGES:
        for at, form in enumerate(first_of_each(line, page)):
            for where, name, value in {button[0]: button for button in form["buttons"]}.values():
                for field in sorted({*form["fields"], *([name] if name else [])} - {*NOT_TYPED}):
                    fresh = first_of_each(line, page)[at]["fields"]
                    fields = fresh | {key: text for key, text in HONEST.items() if key in fresh and text}
                    fields |= {name: value or ""} if name else {}
                    number += 1
                    status, headers, _ = line.ask(where, fields | {field: hostile(number)})
                    sent, recorded = sent + 1, recorded + (status == 200)
                    leads = headers.get("Location") or "/"
                    if status not in (200, 303, 404, 422) or not leads.startswith("/") or leads.startswith("//"):
                        found.append(f"{where} with a hostile `{field}` is answered by {status} {leads}")
    return found + ([] if recorded > sent / 4 else [f"only {recorded} of {sent} forms are recorded"]), sent


def first_of_each(line, page):
    """The forms of a page, one of each kind: those of the round's stops are alike."""
    status, _, text = line.ask(page)
    if status != 200:
        raise RuntimeError(f"{page} is answered by {status}")
    forms = {form["action"]: form for form in reversed(Fields(text).forms) if form["action"] != "/shed/sign-out"}
    return [forms[action] for action in sorted(forms)]


def at_the_door(watch, origin):
    """Hostile initials and PINs, and a way back that leads elsewhere."""
    found, ways = [], ("//elsewhere.example/", "javascript:alert(1)", "\"><script>alert('castlot-canary')</script>")
    for number, way in enumerate(ways):
        watch.visit(f"{origin}/shed/sign-in?to={way}")
        page = watch.page
        page.evaluate("document.querySelectorAll('input').forEach(e => e.removeAttribute('maxlength'))")
        page.evaluate("way => document.querySelector('input[name=to]').value = way", way)
        sign_in(page, hostile(number), "<b>1</b>")
        found += [f"sign-in: {trouble}" for trouble in done_by(watch, origin)]
        page.evaluate("way => document.querySelector('input[name=to]').value = way", way)
        sign_in(page)
        found += [f"signed in: {trouble}" for trouble in done_by(watch, origin)]
        watch.context.clear_cookies()
    return found, 2 * len(ways)


def in_the_browser(watch, server):
    """(problems, forms sent) of forms filled in with hostile words: by the page's script, and then as plain forms with their answer's page."""
    found, sent = [], 0
    watch.visit(server.origin + PAGES[0])
    sign_in(watch.page)
    for turn in range(TURNS):
        for page in PAGES[:2]:
            watch.visit(server.origin + page)
            buttons = watch.page.locator("main form:not([role=search]) button:not([type=button]):not([disabled])").count()
            for at in range(buttons):
                troubles = tapped(watch, server.origin + page, at, plainly=turn % 2 == 1, number=turn + at)
                found += [f"{page}, button {at}, turn {turn}: {trouble}" for trouble in troubles]
                sent += 1
    return found + while_down(watch, server), sent + 1


def tapped(watch, where, at, plainly, number):
    origin = "/".join(where.split("/")[:3])
    watch.visit(where)
    open_all(watch.page)
    fill(watch.page, number, all_hostile=number % 3 == 0)
    if plainly:
        watch.page.evaluate("document.querySelectorAll('[data-spot]').forEach(e => e.removeAttribute('data-spot'))")
    watch.page.locator("main form:not([role=search]) button:not([type=button]):not([disabled])").nth(at).click()
    watch.page.wait_for_load_state()
    if not plainly:
        # By the script the answer stands where the form was, or what was wrong with it.
        watch.page.wait_for_function("() => !document.querySelector('[data-waits] .state')")
    return done_by(watch, origin)


def fill(page, number, all_hostile):
    for at, field in enumerate(page.locator("main input:not([type=hidden]):not([type=radio]), main textarea").all()):
        name = field.get_attribute("name")
        honest = None if all_hostile else HONEST.get(name) if name in ("amount", "place", "bought_about") else "19" if name == "temperature_c" else None
        field.fill(honest or hostile(number + at))


def while_down(watch, server):
    """What waits on the phone is shown there in its words, by the script alone."""
    watch.visit(server.origin + PAGES[0])
    open_all(watch.page)
    fill(watch.page, 1, all_hostile=False)
    server.kill()
    watch.page.locator("button[formaction='/shed/skipped']:not([name])").click()
    watch.page.wait_for_function("() => document.querySelector('#kept').textContent.includes('not sent')")
    said = watch.page.locator("#kept").inner_text()
    found = [] if MARK in said else ["what waits is not shown in its words"]
    server.start()
    watch.page.get_by_role("button", name="Send now").click()
    watch.page.wait_for_function("() => !document.querySelector('#kept').textContent.includes('not sent')")
    return found + [trouble for trouble in done_by(watch, server.origin) if "ERR_CONNECTION_REFUSED" not in trouble]
