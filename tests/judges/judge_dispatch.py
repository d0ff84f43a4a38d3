"""Judges dispatch notes: every pack of a day's sales stands on the note with its run, and none of another day does.

judge_dispatch.py CASTLOT FARM

What must stand there is read from the sales sheet of the farm, row by row; what does is read by pdftotext. qpdf and
pdffonts judge the files. `all` in a sheet is worked out from the sheets by sold_packs.py in another judge; here such
sales are held to the run's code alone.
"""

import csv
import re
import subprocess
import sys
import tempfile
from pathlib import Path

from judge_papers import Farm, flat, framed, lacking, pages, sound

PICK = re.compile(r"^(?P<run>\S+?)(?:/|\s+)(?P<which>#?\d+(?:-\d+)?|x\d+|all)$")


def picks_of(text):
    """`run-7 #1-12; tub-3 x31` as pairs of a run and what was picked, and how many packs that is (None for `all`)."""
    for part in text.split(";"):
        found = PICK.match(part.strip())
        if not found:
            sys.exit(f"`{part}` is no pick that this judge reads")
        which = found["which"].lstrip("#")
        if which == "all":
            count = None
        elif which.startswith("x"):
            count = int(which[1:])
        else:
            first, _, last = which.partition("-")
            count = int(last or first) - int(first) + 1
        yield found["run"], which, count


def sales_of(folder):
    """Sales by who or where, and day."""
    days = {}
    with (folder / "sales.csv").open(newline="", encoding="utf-8") as file:
        for row in csv.DictReader(file):
            key = ("buyer", row["buyer"]) if row["buyer"] else ("market", row["market"])
            days.setdefault((*key, row["when"][:10]), []).extend(picks_of(row["packs"]))
    return days


def wanted_of(picks):
    """What each pick has to look like on the note."""
    for run, which, count in picks:
        if count is not None:
            yield run, f"{which[1:]} without serials noted" if which.startswith("x") else f"#{which}"


def judge(path, seal, picks, codes, bags):
    problems = sound(path) + framed(path, seal, 1)
    # A run's picks stand in one cell, after its code; cells wrap, so that the text is read without spaces.
    text = flat("".join(pages(path, "-raw")))
    problems += lacking(path, {codes[run] for run, _, _ in picks}, "run")
    for run, looks in wanted_of(picks):
        after = text.partition(codes[run])[2]
        if flat(looks) not in after:
            problems.append(f"{path.name}: {looks} of {codes[run]} is missing")
    strange = set(re.findall(r"P\d{5}-\d\d+-[0-9A-Z]", text)) - {codes[run] for run, _, _ in picks}
    if strange:
        problems.append(f"{path.name}: {sorted(strange)} were not sold then")
    if all(count is not None for _, _, count in picks):
        total = sum(count for _, _, count in picks)
        if not re.search(rf"^ *together +{total}\b", "".join(pages(path)), re.M):
            problems.append(f"{path.name}: together they are not {total}")
    if bags and "gloves" not in text.lower():
        problems.append(f"{path.name}: a bag's caution of gloves is missing")
    return problems


def main(castlot, folder):
    with tempfile.TemporaryDirectory() as out:
        farm = Farm(castlot, folder, Path(out))
        seal = farm.json("verify")["seal"]
        sheets = Path(out) / "sheets"
        farm.run("export", "--sheets", str(sheets))
        with (sheets / "packs.csv").open(newline="", encoding="utf-8") as file:
            packed = list(csv.DictReader(file))
        codes = {name: row["code"] for row in packed for name in (row["ref"], row["code"]) if name}
        bags = {row["code"] for row in packed if row["product"].startswith("bag")}
        days = sales_of(sheets)
        problems, seen = [], 0
        # Every third day, and every day with a pick of another shape than serials.
        for at, ((whom, name, day), picks) in enumerate(sorted(days.items())):
            if at % 3 and all(which[0].isdigit() for _, which, _ in picks):
                continue
            path = Path(out) / f"{at}.pdf"
            farm.run("paper", "dispatch-note", f"--{whom}", name, "--day", day, "--out", str(path))
            problems += judge(path, seal, picks, codes, any(codes[run] in bags for run, _, _ in picks))
            seen += 1
        other = [(run, "9999", 1) for run, _, _ in picks]
        if not judge(path, seal, other, codes, False):
            problems.append("the judge does not see that a pack is missing")
        fewer = picks[1:] + [(run, which, 77) for run, which, _ in picks[:1]]
        if not judge(path, seal, fewer, codes, False):
            problems.append("the judge does not see that the sum is another")
    if problems:
        sys.exit("\n".join(problems))
    if seen < 20:
        sys.exit(f"only {seen} notes were judged")
    print(f"dispatch notes: {seen} of {len(days)} hold their packs and no others")


if __name__ == "__main__":
    main(str(Path(sys.argv[1]).resolve()), Path(sys.argv[2]).resolve())
