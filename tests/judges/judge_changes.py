"""Judges how a published folder follows the diary: published again, it is what a fresh one would be, and it says who is meant.

judge_changes.py CASTLOT DEMO_DIR

The demo farm with codes that are Digital Links, so that every pack has its page: published, then fed, sold to, some packs of a
run asked back, another run struck out, and published again. Read by Python's own HTML parser; entries and digests by its sqlite3.
"""

import os
import re
import sqlite3
import subprocess
import sys
import tempfile
import time
from html.parser import HTMLParser
from pathlib import Path

from castlot_process import run
from shed_farm import copied

NOW = "2026-11-02T10:00:00Z"
RUN, COUNT, ASKED = "P26301-01-Z", 9, {2, 3, 4, 7}  # the demo's run-91, in store whole on that day
STRUCK, STRUCK_PACKS = "P26303-02-J", 8  # its run-94, the newest, of which nothing is sold
LEAST_PAGES, MOST_CHANGED = 1_500, 0.2


class Words(HTMLParser):
    """What a page says, but for its style; its footer apart."""

    def __init__(self, page):
        super().__init__()
        self.inside, self.words, self.foot = [], [], []
        self.feed(page)

    def handle_starttag(self, tag, _):
        if tag in ("style", "footer", "title"):
            self.inside.append(tag)

    def handle_endtag(self, tag):
        if self.inside and self.inside[-1] == tag:
            self.inside.pop()

    def handle_data(self, text):
        if not self.inside:
            self.words.append(text)
        elif "footer" in self.inside:
            self.foot.append(text)


def words(path):
    return " ".join(" ".join(Words(path.read_text(encoding="utf-8")).words).split())


def files(folder):
    """Every file of a folder but castlot's own list of them, which is no page."""
    return {str(path.relative_to(folder)): path for path in folder.rglob("*")
            if path.is_file() and not path.relative_to(folder).parts[0].startswith(".")}


def bare(path):
    """A page without what its foot says of the diary: seal, entry and day."""
    return re.sub(rb"<p>Made from .*?<p class=\"seal\">.*?</p>", b"", path.read_bytes(), flags=re.S)


def differences(again, fresh):
    """Between a folder that was published again and a fresh one."""
    ours, theirs = files(again), files(fresh)
    found = [f"{path} is left over" for path in sorted(ours.keys() - theirs.keys())]
    found += [f"{path} is missing" for path in sorted(theirs.keys() - ours.keys())]
    return found + [f"{path} says something else than a fresh one" for path in sorted(ours.keys() & theirs.keys())
                    if bare(ours[path]) != bare(theirs[path])]


def sealed(folder, farm):
    """Every foot names an entry of the diary and the digest that stands there."""
    with sqlite3.connect(f"file:{farm / 'diary.db'}?mode=ro", uri=True) as diary:
        digests = dict(diary.execute("SELECT n, digest FROM entries"))
    found, named = [], set()
    for name, path in files(folder).items():
        if not name.endswith(".html"):
            continue
        foot = "".join(Words(path.read_text(encoding="utf-8")).foot)
        entry, seal = re.search(r"entry (\d+)", foot), re.search(r"Seal\s*([0-9a-f\s\u200b]{64,})", foot)
        if not entry or not seal or re.sub(r"[^0-9a-f]", "", seal[1]) != digests.get(int(entry[1])):
            found.append(f"{name}: its seal is not that of the diary: {foot[:120]}")
        else:
            named.add(int(entry[1]))
    return found, named


def asked_back(folder):
    """The page of the run lists the packs that are asked back and no others, and each pack's own page says which it is."""
    page, found = words(folder / RUN / "index.html"), []
    # Serials stand as on the packs: four digits, alone or from one to another.
    said, notice = set(), re.search(r"asked for some packs of this run back since [^:]*: ([^.]*)\.", page)
    for first, last in re.findall(r"\b(\d{4})(?: to (\d{4}))?\b", notice[1] if notice else ""):
        said |= set(range(int(first), int(last or first) + 1))
    if said != ASKED:
        found.append(f"the page of {RUN} names packs {sorted(said)}, not {sorted(ASKED)}")
    packs = {int(path.parent.name): words(path) for path in folder.glob(f"01/*/10/{RUN}/21/*/index.html")}
    if packs.keys() != set(range(1, COUNT + 1)):
        found.append(f"{RUN} has pages of packs {sorted(packs)}")
    for serial, said in packs.items():
        if f"{RUN}/{serial:04}" not in said:
            found.append(f"the page of pack {serial} does not name it")
        if ("Stop using it" in said) != (serial in ASKED) or ("not among them" in said) == (serial in ASKED):
            found.append(f"the page of pack {serial} says: {said[:300]}")
    return found


def gone(folder, told):
    """What the struck run's pages were is told before it is deleted, and only then deleted."""
    left = [path for path in files(folder) if STRUCK in path]
    found = [] if len(left) == STRUCK_PACKS + 2 else [f"{len(left)} pages of {STRUCK} are left before they are deleted"]
    return found + ([] if f"{len(left)} pages" in told and "--delete" in told else [f"nobody is told what would be deleted: {told}"])


def happenings(castlot, farm):
    def do(*command):
        run(castlot, "--farm", farm, *command, "--by", "RB")
    do("feed", "A07", "mix-110", "300g")
    do("sell", "run-93", "#2", "--to", "a new buyer")
    do("recall", "open", "recall-2", "--from", RUN, "--packs", f"{RUN}/2-4", "--packs", f"{RUN}/7", "--why", "lids not closed")
    with sqlite3.connect(f"file:{farm / 'diary.db'}?mode=ro", uri=True) as diary:
        entry = diary.execute("SELECT n FROM entries WHERE line LIKE ? AND line LIKE '%\"kind\":\"pack\"%'", (f'%"code":"{STRUCK}"%',)).fetchone()[0]
    do("strike", entry, "--why", "never packed")


def publish(castlot, farm, folder, *options):
    """All it says, to both streams."""
    done = subprocess.run([castlot, "--farm", farm, "publish", folder, *options], capture_output=True, text=True, check=True)
    return done.stdout + done.stderr


def fails_to_see(fresh, room):
    """The comparison, on a folder in which a page is another, one is missing and one too many."""
    other = copied_pages(fresh, room / "other")
    pages = sorted(files(other))[:40]
    text = (other / pages[1]).read_text(encoding="utf-8")
    (other / pages[1]).write_text(text.replace("</h1>", "!</h1>", 1), encoding="utf-8")
    (other / pages[2]).unlink()
    (other / "more.html").write_text("more")
    seen = " ".join(differences(other, fresh))
    return [f"the judge does not see: {sign}" for sign in ("something else", "is missing", "is left over") if sign not in seen]


def copied_pages(folder, to):
    subprocess.run(["cp", "-r", folder, to], check=True)
    return to


def main(castlot, demo):
    started = time.monotonic()
    os.environ["CASTLOT_NOW"] = NOW
    with tempfile.TemporaryDirectory() as room:
        room = Path(room)
        farm = copied(Path(demo), room / "farm", [('form = "web"', 'form = "gs1"')])
        again, fresh = room / "again", room / "fresh"
        publish(castlot, farm, again)
        before = {path: (file.stat().st_ino, file.stat().st_mtime_ns) for path, file in files(again).items()}
        happenings(castlot, farm)
        problems = gone(again, publish(castlot, farm, again))
        publish(castlot, farm, again, "--delete")
        publish(castlot, farm, fresh)
        pages = files(again)
        changed = [path for path, file in pages.items() if before.get(path) != (file.stat().st_ino, file.stat().st_mtime_ns)]
        problems += fails_to_see(fresh, room) + differences(again, fresh) + asked_back(again) + asked_back(fresh)
        for folder, least in ((again, 2), (fresh, 1)):
            found, entries = sealed(folder, farm)
            problems += found + ([] if len(entries) >= least else [f"the pages are of {sorted(entries)} only"])
        if not 0 < len(changed) < MOST_CHANGED * len(pages):
            problems.append(f"{len(changed)} of {len(pages)} pages are written again for four entries")
    for problem in problems[:60]:
        print(problem)
    print(f"change judge: {len(pages)} pages published, {len(changed)} of them written again and the rest left, {len(problems)} differences, "
          f"{time.monotonic() - started:.0f} s")
    return 1 if problems or len(pages) < LEAST_PAGES else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
