"""Judges every form of the shed: filled in without JavaScript at an address of the network, and filled in with hostile words.

judge_forms.py CASTLOT DEMO_DIR

What was recorded is asked of `castlot verify`. Afterwards every page of the shed and every public page that tells of what was
typed at is opened in Chromium, and every public page is searched for it.
"""

import json
import sys
import tempfile
import time
from pathlib import Path
from urllib.parse import quote

import plain_forms
import typed_words
from browser import Watch, chromium
from castlot_process import run
from hostile import hostile_farm, look_at
from phone_line import Line
from served import Served, network_address, set_pins, sign_in
from shed_farm import LOT, address, copied, published

NOW = "2026-11-02T10:00:00Z"
# Where a machine has no network, a name stands for it: Chromium then says of forms what it says on a network.
NAMED = "shed.local"
PAGES = ("/BIN/A07", "/RACK/R1", "/RACK/R9", "/shed/round", "/shed/round?rack=R1", "/shed/complaint", "/shed/complaint?pack=P26170-01-D",
         "/shed/find", "/shed/find?q=A07", "/shed/find?q=Quay", "/shed/find?q=fair", "/shed/trace/P26170-01-D",
         "/shed/find?q=" + quote("<script>alert(1)</script>"), "/shed/complaint?pack=" + quote("\"><img src=x onerror=alert(1)>"))


def plainly(castlot, demo, room):
    """(problems, deeds) of the whole round by plain forms, and where the server was."""
    farm, real = copied(demo, room / "farm"), network_address()
    set_pins(castlot, farm)
    with Served(castlot, farm, NOW, address=real or "127.0.0.1") as server:
        where = f"{server.address}:{server.port}"
        server.address = real or NAMED
        with chromium({server.address: where}) as browser:
            return *plain_forms.deeds(server, browser, castlot), real or "a name of this machine"


def in_hostile_words(castlot, demo, room):
    """(problems, forms, pages) of a farm in hostile words at whose forms more of them are typed."""
    farm, _ = hostile_farm(castlot, demo, room / "hostile")
    set_pins(castlot, farm)
    with Served(castlot, farm, NOW) as server, chromium() as browser, Watch(browser) as watch:
        line = Line(server)
        if line.sign_in() >= 400:
            return ["nobody can sign in"], 0, 0
        found, forms = [], 0
        for look in (lambda: typed_words.by_hand(line), lambda: typed_words.at_the_door(watch, server.origin),
                     lambda: typed_words.in_the_browser(watch, server)):
            more, sent = look()
            found, forms = found + more, forms + sent
        more, pages = every_page(castlot, watch, server)
        if "panicked" in server.words():
            more.append(f"the server panicked: {server.words()[-500:]}")
    more += in_public(castlot, farm, room / "public")
    return found + more, forms, pages


def every_page(castlot, watch, server):
    """What a hostile text did on a page of the shed, or on one of the server's public pages."""
    watch.visit(server.origin + PAGES[0])
    sign_in(watch.page) if watch.page.locator("input[name=pin]").count() else None
    lots = run(castlot, "--farm", server.farm, "stock", "--json") + run(castlot, "--farm", server.farm, "beds", "--json")
    codes = sorted(set(LOT.findall(lots)))
    bins = sorted({bed["bin"] for bed in json.loads(run(castlot, "--farm", server.farm, "beds", "--json"))["beds"] if bed.get("bin")})
    pages = [*PAGES, *(f"/BIN/{bin}" for bin in bins[::3]), *(f"/shed/trace/{code}" for code in codes[::15]), "/", *(f"/{code}" for code in codes[::25])]
    found, shown = [], {"<script>": 0, typed_words.MARK: 0}
    for page in pages:
        found += [f"{page}: {trouble}" for trouble in look_at(watch, server.origin + page, server.origin)]
        words = watch.page.locator("body").inner_text()
        for sign in shown:
            shown[sign] += sign in words
    return found + [f"`{sign}` is seen on no page" for sign, count in shown.items() if not count], len(pages)


def in_public(castlot, farm, folder):
    """Nothing that is typed at the rack stands on a public page."""
    paths = published(castlot, farm, folder)
    told = [path for path in paths if typed_words.MARK in (folder / path).read_text(encoding="utf-8")]
    return [f"{address(path)} shows what was typed at the rack" for path in told] + ([] if len(paths) > 100 else ["hardly a page is published"])


def main(castlot, demo):
    started, demo = time.monotonic(), Path(demo)
    with tempfile.TemporaryDirectory() as room:
        room = Path(room)
        problems, deeds, where = plainly(castlot, demo, room)
        found, forms, pages = in_hostile_words(castlot, demo, room)
    problems += found
    for problem in problems[:60]:
        print(problem)
    print(f"form judge: {deeds} deeds and a whole round by plain forms at {where}, {forms} forms of hostile words, {pages} pages looked at, "
          f"{len(problems)} differences, {time.monotonic() - started:.0f} s")
    return 1 if problems or not (deeds and forms and pages) else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
