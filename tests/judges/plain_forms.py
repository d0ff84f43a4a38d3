"""The shed by plain forms, JavaScript off: every form filled in and sent in Chromium as a hand does, at an address of the network.

What a browser says of where a form comes from differs between this machine itself and one on the network, so the server is
asked at an address that Chromium does not take for its own.
"""

from browser import Watch
from page_checks import no_such_page, open_all, plain
from phone_line import entries
from served import sign_in

SCREEN = 360
BIN = "/BIN/A07"
ROUND = "/shed/round"
LONGEST_ROUND = 120  # stops

# What is done on a page: (name, page, the form's address, fields to fill in, boxes to mark, the button that is tapped).
FED, SKIPPED, CHECKED = "button[formaction='/shed/fed']", "button[formaction='/shed/skipped']", "/shed/checked"
ONLY = "button:not([type=button]):not([formaction]):not([disabled])"
DEEDS = (
    ("fed by a tap", BIN, CHECKED, {}, (), f"{FED}[name=takes]"),
    ("fed another amount", BIN, CHECKED, {"amount": "250 g"}, (), f"{FED}:not([name])"),
    ("skipped by a tap", BIN, CHECKED, {}, (), f"{SKIPPED}[name=why]"),
    ("skipped in own words", BIN, CHECKED, {"own_why": "a robin sat on it", "note": "as it was"}, (), f"{SKIPPED}:not([name])"),
    ("looked at", BIN, CHECKED, {"temperature_c": "19"}, ("feed_left", "squeeze"), "button[formaction='/shed/checked']"),
    ("moved", BIN, "/shed/moved", {"place": "R9/S1/P1"}, (), ONLY),
    ("noted", BIN, "/shed/noted", {"note": "cocoons along the north side"}, (), ONLY),
    ("a complaint", "/shed/complaint", "/shed/complaint",
     {"pack": "P26170-01-D", "own_sign": "it smells", "bought_at": "Quay market", "bought_about": "2026-06",
      "contact": "01632 960777", "note": "rang at noon"}, ("sign",), ONLY),
)


def deeds(server, browser, castlot):
    """(problems, how many): each deed is one entry, told on the page that answers, and can be taken back there."""
    found, done = [], 0
    with Watch(browser, SCREEN, script=False) as watch:
        found += no_such_page(watch, server.origin) + plain(watch, server.origin + BIN, server.origin, expect=401)
        if watch.page.evaluate("isSecureContext"):
            found.append(f"the browser takes {server.origin} for its own machine")
        sign_in(watch.page)
        found += choose_feed(watch, server)
        for deed in DEEDS:
            name, before = deed[0], entries(castlot, server.farm)
            do(watch, server, *deed[1:])
            found += [f"{name}: {trouble}" for trouble in told(watch, castlot, server, before + 1)]
            done += 1
        found += take_back(watch, server, castlot)
        found += [f"the round: {trouble}" for trouble in whole_round(watch, server, castlot)]
        watch.visit(server.origin + BIN)
        watch.page.click("form[action='/shed/sign-out'] button")
        watch.page.wait_for_load_state()
        found += plain(watch, server.origin + BIN, server.origin, expect=401)
    return found, done + 3


def choose_feed(watch, server):
    """Which feed is in use is chosen by a plain form, and the bin's page offers it."""
    watch.visit(server.origin + ROUND)
    open_all(watch.page)
    choice = watch.page.locator("form[action='/shed/use'] button[name=lot]:not([value=''])").first
    name = choice.evaluate("e => e.firstChild.textContent.trim()")
    choice.click()
    watch.page.wait_for_load_state()
    watch.visit(server.origin + BIN)
    said = watch.page.locator("details.use summary").inner_text()
    return [] if name in said else [f"{name} was chosen, but the page says: {said}"]


def do(watch, server, page, action, fields, boxes, button):
    """Fills a page's form in and taps the button."""
    watch.visit(server.origin + page)
    open_all(watch.page)
    form = watch.page.locator(f"form[action='{action}']").first
    for name, text in fields.items():
        form.locator(f"[name='{name}']:not([type=hidden])").fill(text)
    for name in boxes:
        form.locator(f"label:has(input[name='{name}']:not([value='']))").first.click()
    form.locator(button).first.click()
    watch.page.wait_for_load_state()


def told(watch, castlot, server, wanted):
    """What is wrong with the answer to a form that was to be the entry of that number."""
    there, said = entries(castlot, server.farm), watch.page.locator("main").inner_text()
    if there != wanted or f"entry {wanted}" not in said:
        return [f"{there} entries, not {wanted}; the answer is: {said[:200]}"]
    return [f"the browser says: {word}" for word in watch.policy_reports() + watch.errors()]


def take_back(watch, server, castlot):
    """What was noted last is struck out from the page that told of it."""
    do(watch, server, BIN, "/shed/noted", {"note": "in the wrong bin"}, (), ONLY)
    before = entries(castlot, server.farm)
    open_all(watch.page)
    watch.page.locator("form[action='/shed/taken-back'] button").click()
    watch.page.wait_for_load_state()
    return [f"taken back: {trouble}" for trouble in told(watch, castlot, server, before + 1)]


def whole_round(watch, server, castlot):
    """Every stop of the round gets its answer, one page after the other, until none is left blank."""
    before, skipped = entries(castlot, server.farm), 0
    for stops in range(LONGEST_ROUND):
        watch.visit(server.origin + ROUND)
        stop = watch.page.locator('[data-stop][data-open]').first
        if not stop.count():
            break
        tap = stop.locator("button[formaction='/shed/fed'][name=takes]")
        answer = sent(watch, tap) if tap.count() else ""
        if "entry" not in answer:
            # No feed to be had of that lot any more, as a rule's refusal says: then the bed is passed over.
            if tap.count() and "Not recorded" not in answer:
                return [f"{stop} is answered by {answer[:200]}"]
            watch.visit(server.origin + ROUND)
            stop.locator("summary", has_text="Skipped").click()
            skipped += 1
            answer = sent(watch, stop.locator("button[formaction='/shed/skipped'][name=why]").first)
        if "entry" not in answer:
            return [f"{stop} is answered by {answer[:200]}"]
    left, more = watch.page.locator("section.blank").inner_text(), entries(castlot, server.farm) - before
    if "None." not in left or more != stops or stops <= skipped:
        return [f"{stops} stops, {skipped} of them passed over, make {more} entries, and the page says: {left}"]
    return []


def sent(watch, button):
    """Taps a button; what the page that answers says."""
    button.click()
    watch.page.wait_for_load_state()
    return watch.page.locator("main").inner_text()
