"""Throws at castlot's pages and server what an attacker would: nothing may get through.

judge_attacks.py CASTLOT DEMO_DIR

First hostile words: the demo farm with markup in every column of free text, all its pages opened in Chromium with
JavaScript on. Then a `castlot serve` under attack (`attacks.py`), which must stay up, answer others, and leave the diary as
it was. Each look is first shown something that must not pass it.
"""

import sys
import tempfile
import time
from pathlib import Path

import attacks
import wire
from browser import Watch, chromium
from castlot_process import run
from hostile import hostile_farm, look_at
from page_server import certificate_for, shown
from served import Served
from shed_farm import address, copied, published

LEAST_SHOWN = 100  # pages on which a hostile text is seen as words, or nothing was tried


def hostile_words(castlot, demo, browser, room):
    """(problems, what was looked at) of every page of the farm in hostile words."""
    farm, (columns, cells) = hostile_farm(castlot, demo, room / "hostile")
    pages = room / "hostile-pages"
    paths, problems, seen = published(castlot, farm, pages), [], 0
    with shown(pages) as port, Watch(browser) as watch:
        origin = f"http://127.0.0.1:{port}"
        for path in paths:
            problems += [f"{path}: {trouble}" for trouble in look_at(watch, f"{origin}/{address(path)}", origin)]
            seen += "<script>" in watch.page.locator("body").inner_text()
    if seen < LEAST_SHOWN:
        problems.append(f"hostile words are seen on {seen} pages only")
    return problems, f"{len(paths)} pages of {cells} hostile words in {columns} columns"


def sees_hostile_words(browser, room):
    """The look itself, on a page that takes such words for markup."""
    folder = room / "taken"
    folder.mkdir()
    text = "<!DOCTYPE html><title>x</title><p>"
    text += "<img src=x onerror=\"alert('castlot-canary')\"><img src=//elsewhere.example/x><svg onload=\"console.error('castlot-canary')\">"
    (folder / "index.html").write_text(text)
    with shown(folder) as port, Watch(browser) as watch:
        found = " ".join(look_at(watch, f"http://127.0.0.1:{port}/", f"http://127.0.0.1:{port}"))
    return [f"the judge does not see: {sign}" for sign in ("a dialog", "on the console", "asks for", "an element") if sign not in found]


def sees_traversal(farm):
    """The look for files, on a server that shows the farm's folder to anybody."""
    with shown(farm) as port:
        return [] if attacks.traversal(port)[0] else ["the judge does not see a file that is shown"]


def under_attack(castlot, demo, room):
    farm = copied(demo, room / "served")
    (farm / "secret.txt").write_text("castlot-secret-file")
    seal, problems, counts = run(castlot, "--farm", farm, "verify"), sees_traversal(farm), {}
    with Served(castlot, farm, now="2026-11-02T10:00:00Z") as server:
        paths = ["/", "/P26170-01-D", "/p26170-01-d", "/BIN/A07", "/shed/sign-in", "/shed/fed"]
        sets = {
            "ways out": lambda: attacks.traversal(server.port),
            "broken requests": lambda: attacks.broken(server.port),
            "methods": lambda: attacks.methods(server.port, paths[:4]),
            "games with hosts": lambda: attacks.hosts(server.port, paths),
            "long bodies": lambda: attacks.oversize(server, paths),
            "comings and goings": lambda: attacks.half_open(server, "/P26170-01-D"),
            "slow clients": lambda: attacks.slow(server, "/P26170-01-D"),
        }
        for name, attack in sets.items():
            found, counts[name] = attack()
            problems += [f"{name}: {trouble}" for trouble in found]
            answer = wire.get(server.port, "/P26170-01-D")
            if not server.is_up() or answer.status != 200:
                problems.append(f"after {name} the server is {'up' if server.is_up() else 'down'} and answers {answer.status}")
                break
        if "panicked" in server.words():
            problems.append(f"the server panicked: {server.words()[-500:]}")
        if server.stop() not in (0, 130):
            problems.append(f"the server does not end well: {server.process.returncode}")
    tls = [part for pair in zip(("--cert", "--key"), certificate_for("127.0.0.1", room)) for part in pair]
    with Served(castlot, farm, "2026-11-02T10:00:00Z", tls) as server:
        found, counts["slow clients under TLS"] = attacks.slow_under_tls(server, "/P26170-01-D")
        problems += [f"under TLS: {trouble}" for trouble in found]
    if run(castlot, "--farm", farm, "verify") != seal:
        problems.append("the diary is another one after the attacks")
    return problems, ", ".join(f"{count} {name}" for name, count in counts.items())


def main(castlot, demo):
    started, demo = time.monotonic(), Path(demo)
    with tempfile.TemporaryDirectory() as room:
        room = Path(room)
        with chromium() as browser:
            problems = sees_hostile_words(browser, room)
            found, looked = hostile_words(castlot, demo, browser, room)
        problems += found
        found, told = under_attack(castlot, demo, room)
        problems += found
    for problem in problems[:80]:
        print(problem)
    print(f"attack judge: {looked}; {told}; {len(problems)} got through, {time.monotonic() - started:.0f} s")
    return 1 if problems else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
