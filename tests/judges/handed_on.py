"""A phone that is handed on: what the next worker sees of the one before, and what another network's answer does to a form."""

import time

from browser import Watch
from phone_line import entries
from served import sign_in

SCREEN = 360
BIN, ROUND = "/BIN/A07", "/shed/round"
CAFE = "<!DOCTYPE html><title>Guests</title><main><p>Welcome to the quay café. Accept to go online.</p></main>"
SECRET = "words that a rule said to RB"
KEPT = """() => Object.keys(localStorage).filter(name => name.startsWith('castlot-kept-')).map(name => localStorage.getItem(name))"""
REFUSE = """words => { for (const name of Object.keys(localStorage).filter(name => name.startsWith('castlot-kept-')))
    localStorage.setItem(name, JSON.stringify(Object.assign(JSON.parse(localStorage.getItem(name)), {refused: words}))); }"""


def text(page):
    return page.locator("body").inner_text()


def sign_out(page):
    page.click("form[action='/shed/sign-out'] button")
    page.wait_for_load_state()


def handed_on(server, browser, castlot):
    found, before = [], entries(castlot, server.farm)
    with Watch(browser, SCREEN) as watch:
        page = watch.page
        watch.visit(server.origin + ROUND)
        sign_in(page)
        # A guest network answers everything with a page of its own, and with 200.
        watch.context.route("**/shed/fed", lambda route: route.fulfill(status=200, content_type="text/html", body=CAFE))
        page.locator("button[formaction='/shed/fed']:visible").first.click()
        page.wait_for_timeout(1_500)
        if "not sent yet" not in text(page) or "not recorded" in text(page):
            found.append(f"a guest network's page is taken for the server's answer: {text(page)[:200]}")
        kept = page.evaluate(KEPT)
        if len(kept) != 1 or '"token"' in kept[0]:
            found.append(f"what is kept is {kept}")
        # Another page of RB's is still open when they sign out.
        other = watch.context.new_page()
        other.goto(server.origin + BIN)
        sign_out(page)
        other.wait_for_timeout(1_500)
        if not other.url.split("?")[0].endswith("/shed/sign-in") or "Degrees" in other.content():
            found.append(f"a page of who signed out still stands there: {other.url}")
        other.close()
        page.go_back()
        page.wait_for_timeout(1_000)
        if page.locator("button[formaction='/shed/fed']").count():
            found.append("the way back leads to the page of who signed out")
        watch.visit(server.origin + "/shed/sign-in")
        found += unseen(page, "fed ", "nobody")
        page.evaluate(REFUSE, SECRET)
        watch.visit(server.origin + ROUND)
        sign_in(page, "NT")
        found += unseen(page, SECRET, "NT")
        if page.locator("#kept button").count():
            found.append("another worker can drop what was refused to RB")
        sign_out(page)
        page.evaluate(REFUSE, "")
        watch.context.unroute("**/shed/fed")
        watch.visit(server.origin + ROUND)
        sign_in(page, "NT")
        page.wait_for_timeout(1_500)
        if entries(castlot, server.farm) != before:
            found.append("RB's form was recorded by NT")
        sign_out(page)
        watch.visit(server.origin + ROUND)
        sign_in(page)
        until = time.monotonic() + 20
        while entries(castlot, server.farm) == before and time.monotonic() < until:
            time.sleep(0.5)
    more = entries(castlot, server.farm) - before
    return found + ([] if more == 1 else [f"one kept tap makes {more} entries"]), 1


def unseen(page, words, who):
    """What waits for RB is counted to whoever else has the phone, and not shown."""
    page.wait_for_timeout(500)
    seen = page.locator("#kept").inner_text()
    found = [] if "1 kept on this phone for RB" in seen else [f"{who} is not told that something waits: {seen}"]
    return found + ([f"{who} reads what RB did: {seen}"] if words in seen else [])
