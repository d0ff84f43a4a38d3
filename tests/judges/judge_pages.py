"""Judges the published pages: as HTML, by axe-core, and in Chromium as people meet them.

judge_pages.py CASTLOT DEMO_DIR

The demo farm is published as it is and once more with codes that are Digital Links. Every page: under 60 kB. Of each kind of
page, and each notice on it, the longest and the shortest, and some of the others: valid HTML; on a phone nothing asked of
anybody else, nothing kept out by its own policy, no error, no sideways scroll. Of each kind: axe-core, JavaScript off, 200 %,
paper. Each of the checks is first shown a page that must not pass it.
"""

import sys
import tempfile
import time
from pathlib import Path

import digital_links
from browser import Watch, chromium
from castlot_process import run
from label_texts import Farm
from npm_judges import check
from page_checks import accessible, enlarged, no_such_page, plain, printed, unscripted
from page_server import shown
from shed_farm import address, copied, published, some_of_each

LARGEST = 60_000  # bytes; the issue's own limit
LEAST_PAGES = 900  # so that a judge of nothing is not content
PHONE = 320
EVERY_READ, EVERY_OPENED = 6, 20  # of those that are like another: read by the HTML checker, opened on a phone

# A page with everything wrong with it that a check of ours looks for.
WRONG = """<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>Wrong</title>
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<style>body{background:#111;color:#333}div{width:50rem}p{overflow:hidden;white-space:nowrap}</style></head>
<body><div>wide</div><img src="https://elsewhere.example/x.png"><p>%s</p><script>document.write('later')</script>
</body></html>""" % ("long " * 200)


def judge_folder(pages, paths, name, browser, said):
    """Problems of some pages of a folder; `said` counts what was looked at."""
    some = some_of_each(pages, paths)
    read = sorted({*paths[::EVERY_READ], *some})
    said["read"] += len(read)
    found = [f"{name}: html: {message}" for message in check(pages / path for path in read)]
    sizes = {path: (pages / path).stat().st_size for path in paths}
    found += [f"{name}: {path}: {size} bytes" for path, size in sizes.items() if size >= LARGEST]
    said["pages"] += len(paths)
    said["largest"] = max([said["largest"], *sizes.values()])
    with shown(pages) as port:
        origin = f"http://127.0.0.1:{port}"
        with Watch(browser, PHONE) as watch:
            for path in sorted({*paths[::EVERY_OPENED], *some}):
                said["opened"] += 1
                found += [f"{name}: {path}: {trouble}" for trouble in plain(watch, f"{origin}/{address(path)}", origin)]
                said["requests"] += len(watch.requests)
        said["looked into"] += len(some)
        found += [f"{name}: {trouble}" for trouble in look_into(browser, origin, some, pages, said)]
        with Watch(browser, PHONE) as watch:
            found += [f"{name}: {trouble}" for trouble in no_such_page(watch, origin)]
    return found


def look_into(browser, origin, paths, folder, said):
    addresses = [f"{origin}/{address(path)}" for path in paths]
    found, looks = accessible(browser, addresses)
    said["looks by axe"] += looks
    scripted, silent = Watch(browser, 1200), Watch(browser, 1200, script=False)
    # A window of 1280 pixels at 200 % is one of 640, drawn twice as large.
    large, dark = Watch(browser, 640, zoom=2), Watch(browser, 1200, colours="dark")
    for path, where in zip(paths, addresses):
        troubles = unscripted(scripted, silent, where) + enlarged(large, where)
        troubles += printed(dark, where, words_of(dark, where))
        found += [f"{path}: {trouble}" for trouble in troubles]
    for watch in (scripted, silent, large, dark):
        watch.close()
    return found


def words_of(watch, where):
    """What must be on paper: the heading, the code, any banner's, and the telephone."""
    watch.visit(where)
    words = [text for selector in ("h1", ".plate code", ".banner h2", "address a")
             for text in watch.page.locator(selector).all_inner_texts()]
    return words


def judge_links(paths, farm):
    """Every path is a Digital Link of a run or a pack of the diary, and every one of these has its page."""
    found, rows = digital_links.held_against_examples()
    if rows < 20:
        found.append(f"only {rows} rows of digital_link_examples.csv were used")
    linked = {}
    for path in paths:
        read = digital_links.read("/" + address(path).rstrip("/"))
        if read is None:
            found.append(f"{path} is no Digital Link")
        else:
            linked[read] = path
    wanted = set()
    for code, (sheet, row) in farm.lots.items():
        gtin = farm.product(row).get("gtin") if sheet == "packs" else None
        if gtin:
            wanted |= {(gtin.zfill(14), code, None)}
            wanted |= {(gtin.zfill(14), code, pack.split("/")[1]) for pack in farm.packs(code)}
    found += [f"no page for {missing}" for missing in sorted(map(str, wanted - linked.keys()))[:20]]
    found += [f"a page for {more}, which is not in the diary" for more in sorted(map(str, linked.keys() - wanted))[:20]]
    return found, len(wanted)


def fails_to_see(browser, folder):
    """The checks on a page that has everything wrong with it: those that see nothing are named."""
    folder.mkdir()
    (folder / "wrong.html").write_text(WRONG, encoding="utf-8")
    with shown(folder) as port:
        origin = f"http://127.0.0.1:{port}"
        where = f"{origin}/wrong.html"
        with Watch(browser, PHONE) as watch, Watch(browser, PHONE, script=False) as silent:
            seen = " ".join(plain(watch, where, origin) + enlarged(watch, where) + printed(watch, where, ["not there"]))
            seen += " ".join(accessible(browser, [where], [PHONE])[0])
            watch.page.set_content("<p>other</p>")
            # A page whose script writes text says more with it than without.
            (folder / "wrong.html").write_text("<!DOCTYPE html><p>%s<script>document.write('later')</script>" % ("x" * 200))
            seen += " ".join(unscripted(watch, silent, where))
        seen += " ".join(check([folder]))
    signs = ("asks elsewhere", "policy: ", "scrolls sideways", "cut off", "on paper `not there`", "mostly dark", "axe: color-contrast",
             "something else", "Element “head” is missing")
    return [f"the judge does not see: {sign}" for sign in signs if sign not in seen]


def main(castlot, demo):
    started, demo = time.monotonic(), Path(demo)
    said = dict.fromkeys(("pages", "read", "opened", "requests", "largest", "looked into", "looks by axe"), 0)
    with tempfile.TemporaryDirectory() as room, chromium() as browser:
        room = Path(room)
        problems = fails_to_see(browser, room / "wrong")
        web = copied(demo, room / "web")
        paths = published(castlot, web, room / "web-pages")
        problems += judge_folder(room / "web-pages", paths, "web", browser, said)
        # The same pages once more, and those at the addresses of Digital Links: only these are new.
        gs1 = copied(demo, room / "gs1", [('form = "web"', 'form = "gs1"')])
        paths = [path for path in published(castlot, gs1, room / "gs1-pages") if path.startswith("01/")]
        problems += judge_folder(room / "gs1-pages", paths, "gs1", browser, said)
        run(castlot, "--farm", gs1, "export", "--sheets", room / "export")
        found, links = judge_links(paths, Farm(room / "export", gs1 / "castlot.toml"))
        problems += found
    for problem in problems[:80]:
        print(problem)
    counted = ", ".join(f"{count} {what}" for what, count in said.items())
    print(f"page judge: {counted}, {links} Digital Links, {len(problems)} findings, {time.monotonic() - started:.0f} s")
    return 1 if problems or said["pages"] < LEAST_PAGES or not links else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
