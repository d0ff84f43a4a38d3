"""What must be so of any page, whoever serves it: checked in the browser, told as one line a finding.

`plain` is asked of every page; `accessible`, `unscripted`, `enlarged` and `printed` of some of each kind.
"""

import io

import pypdfium2

from browser import Watch
from npm_judges import axe_source

SERIOUS = ("serious", "critical")
WIDTHS = (320, 1200)
COLOURS = ("light", "dark")

# What stands out of the window to the right, by no more than a rounding, and where.
SIDEWAYS = """() => {
    const root = document.scrollingElement, over = root.scrollWidth - root.clientWidth;
    if (over <= 1) return null;
    const wide = [...document.querySelectorAll('body *')].filter(e => e.getBoundingClientRect().right > root.clientWidth + 1);
    return over + ' px: ' + wide.slice(0, 3).map(e => e.tagName.toLowerCase() + ' ' + e.textContent.trim().slice(0, 30)).join('; ');
}"""

# Texts that are painted outside the window or cut off, as far as boxes tell; a box of one pixel holds words for screen readers alone.
CUT_OFF = """() => [...document.querySelectorAll('body *')].filter(e => {
    const style = getComputedStyle(e);
    return e.scrollWidth > e.clientWidth + 1 && e.clientWidth > 1 && ['hidden', 'clip'].includes(style.overflowX);
}).map(e => e.tagName.toLowerCase() + ' ' + e.textContent.trim().slice(0, 40))"""

AXE = """() => axe.run(document, {resultTypes: ['violations']}).then(found => found.violations.map(
    rule => ({rule: rule.id, impact: rule.impact, where: rule.nodes.map(node => node.target.join(' ')).slice(0, 3)})))"""

CLOSED = "() => [...document.querySelectorAll('details')].filter(e => !e.open).length"
# Every fold's content, once open, takes room on the page.
HIDDEN = """() => [...document.querySelectorAll('details')].filter(
    e => !e.open || [...e.children].slice(1).every(child => child.getBoundingClientRect().height === 0)).length"""


def plain(watch, address, origin, expect=200):
    """No request to anybody else, nothing kept out by the policy, no error, no dialog, no sideways scroll."""
    status = watch.visit(address)
    sideways = watch.page.evaluate(SIDEWAYS)
    refusal = f"the server responded with a status of {expect} "  # Chromium's own word on a page that is an error
    errors = [error for error in watch.errors() if expect == 200 or refusal not in error]
    found = [f"status {status}, not {expect}"] if status != expect else []
    found += [f"asks elsewhere for {url}" for url in watch.elsewhere(origin)]
    found += [f"the browser says: {word}" for word in sorted({*watch.policy_reports(), *errors})]
    found += [f"a dialog: {word}" for word in watch.dialogs]
    return found + ([f"scrolls sideways by {sideways}"] if sideways else [])


def no_such_page(watch, origin):
    """An address without a page shows how to type a code."""
    found = plain(watch, f"{origin}/P26001-01-X", origin, expect=404)
    text = watch.page.locator("main").inner_text()
    return found + ([] if "type a code" in text.lower() else ["the page for a wrong address does not say how to type a code"])


def accessible(browser, addresses, widths=WIDTHS, prepare=None):
    """(what axe-core finds serious or worse, how often it looked): the first address in light and dark, narrow and wide, and the others
    narrow in light and wide in dark, as what it finds hangs on each of the two by itself."""
    found, looks, axe = [], 0, axe_source()
    for colours, width, of in ((COLOURS[0], widths[0], addresses), (COLOURS[1], widths[-1], addresses),
                               (COLOURS[1], widths[0], addresses[:1]), (COLOURS[0], widths[-1], addresses[:1])):
        with Watch(browser, width, colours=colours) as watch:
            watch.context.add_init_script(axe)
            if prepare:
                prepare(watch)
            for address in of:
                watch.visit(address)
                unfold(watch.page)
                looks += 1
                found += [f"{address} ({colours}, {width} px): axe: {each['rule']} ({each['impact']}) at {each['where']}"
                          for each in watch.page.evaluate(AXE) if each["impact"] in SERIOUS]
    return found, looks


def unfold(page):
    """Opens every fold at once."""
    page.evaluate("() => document.querySelectorAll('details').forEach(fold => { fold.open = true; })")


def open_all(page):
    """Opens every fold as a hand does: by its summary, the outer ones first."""
    summaries = page.locator("summary")
    for at in range(summaries.count()):
        if summaries.nth(at).is_visible() and not summaries.nth(at).evaluate("e => e.parentElement.open"):
            summaries.nth(at).click()


def unscripted(with_script, without, address):
    """With JavaScript off the page says the same, and every fold opens."""
    found, said = [], []
    for watch in (with_script, without):
        watch.visit(address)
        said.append(watch.page.locator("body").inner_text())
    if said[0] != said[1] or len(said[1]) < 100:
        found.append("without JavaScript the page says something else")
    open_all(without.page)
    hidden = without.page.evaluate(HIDDEN)
    return found + ([f"{hidden} folds do not open without JavaScript"] if hidden else [])


def enlarged(watch, address):
    """At 200 %, by the browser's zoom (`watch` is that) and by letters of twice the size: no scroll, nothing cut off."""
    found = []
    watch.visit(address)
    for how in ("at 200 %", "with letters of twice the size"):
        unfold(watch.page)
        sideways, cut = watch.page.evaluate(SIDEWAYS), watch.page.evaluate(CUT_OFF)
        found += [f"{how}: scrolls sideways by {sideways}"] if sideways else []
        found += [f"{how}: cut off: {text}" for text in cut]
        watch.page.evaluate("document.documentElement.style.fontSize = '200%'")
    return found


def printed(watch, address, words):
    """On paper: there, dark on white whatever the screen's colours, and with these words."""
    watch.visit(address)
    watch.page.emulate_media(media="print")
    paper = pypdfium2.PdfDocument(io.BytesIO(watch.page.pdf(format="A4", print_background=True)))
    text = "\n".join(page.get_textpage().get_text_range() for page in paper)
    flat = "".join(text.split())
    found = [f"on paper `{word}` is missing" for word in words if "".join(word.split()) not in flat]
    for number, page in enumerate(paper, 1):
        grey = page.render(scale=0.5).to_pil().convert("L").histogram()
        if sum(grey[200:]) < 0.6 * sum(grey):
            found.append(f"page {number} on paper is mostly dark")
    watch.page.emulate_media(media="screen")
    return found
