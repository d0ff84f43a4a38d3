"""Judges the papers: sound files, embedded fonts, and that nothing which the trace and the diary say is missing.

judge_papers.py CASTLOT FARM

What must stand on a paper is worked out from `castlot trace --json`, `log --json` and `verify --json`, and from the
diary sheets of the farm; what does stand there is read by poppler's pdftotext. qpdf and pdffonts judge the files.
"""

import csv
import json
import re
import subprocess
import sys
import tempfile
from pathlib import Path

import pypdfium2
import zxingcpp

from pdf_reading import fonts, output_of

PACK_COLUMNS = "code serial product packed best_by state buyer market date relation".split()


class Farm:
    def __init__(self, castlot, folder, out):
        self.castlot, self.folder, self.out = castlot, folder, out

    def run(self, *words):
        line = [self.castlot, "--farm", self.folder, *words]
        done = subprocess.run(line, capture_output=True, text=True, cwd=self.out)
        if done.returncode != 0:
            sys.exit(f"{' '.join(map(str, line))}: {done.stderr}")
        return done.stdout

    def json(self, *words):
        return json.loads(self.run(*words, "--json"))


def pages(path, order="-layout"):
    """The text of each page: as it stands on paper, or with `-raw` cell by cell."""
    _, text = output_of("pdftotext", order, path, "-")
    return text.split("\f")[:-1]


def flat(text):
    """A text without spaces, because cells wrap."""
    return re.sub(r"\s+", "", text)


def sound(path):
    problems = []
    code, said = output_of("qpdf", "--check", path)
    if code != 0 or "WARNING" in said:
        problems.append(f"{path.name}: qpdf --check: {said.strip()}")
    found = fonts(path)
    for name, *good in found:
        if not all(good):
            problems.append(f"{path.name}: {name} is not embedded, subset and readable: {good}")
    return problems if found else problems + [f"{path.name}: no font was found"]


def framed(path, seal, papers=None):
    """Every page is numbered, and each paper in the file ends with the seal in full."""
    problems, at, seen = [], 0, 0
    found = pages(path)
    while at < len(found):
        number = re.search(r"page (\d+) of (\d+)", found[at])
        if not number or number[1] != "1":
            return problems + [f"{path.name}: page {at + 1} does not begin a paper"]
        last = at + int(number[2])
        for page, text in enumerate(found[at:last], 1):
            if f"page {page} of {number[2]}" not in text:
                problems.append(f"{path.name}: page {page} of {number[2]} is not numbered so")
        if seal not in found[last - 1]:
            problems.append(f"{path.name}: the last page lacks the seal")
        at, seen = last, seen + 1
    if papers is not None and seen != papers:
        problems.append(f"{path.name}: {seen} papers, not {papers}")
    return problems


def lacking(path, wanted, what):
    text = flat("".join(pages(path, "-raw")))
    return [f"{path.name}: {what} `{word}` is missing" for word in sorted(wanted) if flat(word) not in text]


def rows_of(path):
    with path.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
        return rows


def judge_packs(path, runs, problems):
    """The CSV has a row for each pack of these runs, and of no other."""
    rows = rows_of(path)
    if rows and list(rows[0]) != PACK_COLUMNS:
        problems.append(f"{path.name}: columns {list(rows[0])}")
    numbered = {}
    for row in rows:
        if row["serial"]:
            numbered.setdefault(row["code"], []).append(int(row["serial"]))
    for code in sorted(runs.keys() | numbered.keys()):
        wanted = list(range(1, runs.get(code, 0) + 1))
        if numbered.get(code, []) != wanted:
            problems.append(f"{path.name}: {code} has serials {numbered.get(code)}, not {wanted}")
    return rows


def runs_of(trace, relations):
    return {r["code"]: r["packs"] for r in trace["forward"] if r["kind"] == "pack run" and r["relation"] in relations}


def judge_forward(farm, mark, seal, made_by):
    """The trace file of a delivery: every run, every buyer, and the entry of every lot it went into."""
    trace = farm.json("trace", mark, "--forward")
    pdf, packs = farm.out / f"{mark}.pdf", farm.out / f"{mark}.csv"
    farm.run("paper", "trace-file", mark, "--out", str(pdf), "--csv", str(packs))
    problems = sound(pdf) + framed(pdf, seal, 1)
    runs = runs_of(trace, ("part", "live", "carried"))
    problems += lacking(pdf, runs, "run")
    judge_packs(packs, runs, problems)
    near = [lot["code"] for lot in trace["forward"] if lot["relation"] != "carried"]
    problems += lacking(pdf, near, "lot")
    text = "".join(pages(pdf))
    for code in near:
        if not re.search(rf"{re.escape(code)} .* {made_by[code]}$", text, re.M):
            problems.append(f"{pdf.name}: {code} does not stand with its entry {made_by[code]}")
    return problems, len(runs)


def judge_back(farm, mark, seal, made_by):
    """The trace file of a run: every delivery with its supplier and entry, every bed and batch that is in it."""
    trace = farm.json("trace", mark, "--back")
    pdf = farm.out / f"{mark}.pdf"
    farm.run("paper", "trace-file", mark, "--out", str(pdf))
    problems = sound(pdf) + framed(pdf, seal, 1)
    supplied = [lot for lot in trace["back"] if lot.get("supplier")]
    problems += lacking(pdf, {lot["supplier"] for lot in supplied}, "supplier")
    text = "".join(pages(pdf))
    for lot in supplied:
        line = rf"{re.escape(lot['code'])} .* {made_by[lot['code']]}$"
        if not re.search(line, text, re.M):
            problems.append(f"{pdf.name}: {lot['code']} does not stand with its entry {made_by[lot['code']]}")
    near = {lot["code"] for lot in trace["back"] if lot["relation"] != "carried"}
    problems += lacking(pdf, near, "lot")
    for lot in trace["back"]:
        if lot["share"] is not None and lot["share"] >= 0.001:
            share = f"{lot['share'] * 100:.1f}%"
            if not re.search(rf"{re.escape(share)} +{re.escape(lot['code'])}", text):
                problems.append(f"{pdf.name}: {lot['code']} does not stand with its share {share}")
    problems += lacking(pdf, {b["buyer"] or b["market"] for b in trace["buyers"]}, "buyer")
    return problems, len(near)


def judge_recall(farm, name, origin, seal):
    """The papers of a recall that was opened from one delivery: every pack, every buyer, every market day."""
    trace = farm.json("trace", origin, "--forward")
    runs = runs_of(trace, ("part", "live"))
    out = {kind: farm.out / f"{kind}.pdf" for kind in ("recall-notice", "stall-sign", "recall-report")}
    packs = farm.out / "packs.csv"
    for kind, pdf in out.items():
        farm.run("paper", kind, name, "--out", str(pdf), "--csv", str(packs))
    problems = [problem for pdf in out.values() for problem in sound(pdf)]
    rows = judge_packs(packs, runs, problems)
    sold = [row for row in rows if row["state"].startswith("sold")]
    buyers = {row["buyer"] for row in sold if row["buyer"]}
    markets = {(row["market"], row["code"]) for row in sold if row["market"]}
    problems += framed(out["recall-notice"], seal, len(buyers))
    problems += framed(out["stall-sign"], seal, len({market for market, _ in markets}))
    problems += framed(out["recall-report"], seal, 1)
    problems += lacking(out["recall-notice"], buyers, "buyer")
    problems += lacking(out["recall-report"], runs, "run")
    problems += lacking(out["recall-report"], buyers | {market for market, _ in markets}, "buyer")
    problems += judge_signs(out["stall-sign"], markets)
    problems += judge_letters(out["recall-notice"], sold)
    made = re.search(r"^made +(\d+) +\d+$", "".join(pages(out["recall-report"])), re.M)
    if not made or int(made[1]) != sum(runs.values()):
        problems.append(f"recall-report: made {made and made[1]}, not {sum(runs.values())}")
    problems += blind(out, packs, runs, seal, sold, markets)
    return problems, len(rows)


def blind(out, packs, runs, seal, sold, markets):
    """What must be found wrong when one thing of each that was wanted is another: a judge that sees nothing says so."""
    other, fewer = {**runs, min(runs): runs[min(runs)] + 1}, sold[1:]
    looks = {
        "a run": lacking(out["recall-report"], {"P00000-00-0"}, "run"),
        "a seal": framed(out["recall-report"], "0" * 64, 1),
        "a letter": framed(out["recall-notice"], seal, 1000),
        "a sign's code": judge_signs(out["stall-sign"], set(sorted(markets)[1:])),
        "a buyer's pack": judge_letters(out["recall-notice"], [row for row in fewer if row["buyer"] != sold[0]["buyer"]]),
    }
    found = []
    judge_packs(packs, other, found)
    looks["a pack"] = found
    return [f"the judge does not see that {what} is missing" for what, seen in looks.items() if not seen]


def judge_signs(path, markets):
    """Each market's sign bears the codes that were sold there, and no other."""
    problems, text = [], {}
    for page in pages(path):
        market = re.search(r"Sign for (.+)", page)[1].strip()
        text[market] = text.get(market, "") + page
    for market, page in text.items():
        found = set(re.findall(r"P\d{5}-\d\d-[0-9A-Z]", page))
        wanted = {code for at, code in markets if at == market}
        if found != wanted:
            problems.append(f"{path.name}: {market} has {sorted(found)}, not {sorted(wanted)}")
    return problems


def judge_letters(path, sold):
    """Each letter tells a buyer as many packs as the list says they have."""
    problems = []
    text = "".join(pages(path))
    letters = re.split(r"Please keep these packs back\s+Marlhythe Wormery, ", text)[1:]
    for letter in letters:
        to = re.search(r"^To +(.+)$", letter, re.M)[1].strip()
        said = int(re.search(r"you\s+had\s+(\d+)\s+packs?\s", letter)[1])
        wanted = sum(row["buyer"] == to for row in sold)
        if said != wanted:
            problems.append(f"{path.name}: {to} is told {said} packs, not {wanted}")
    if not letters:
        problems.append(f"{path.name}: no letter was found")
    return problems


def judge_drill(farm, seal):
    farm.run("drill", "--seed", "7", "--out", "drill")
    begun = json.loads((farm.out / "drill" / "drill.json").read_text())
    report, file = farm.out / "drill" / "drill-report.pdf", farm.out / "drill" / "trace-file.pdf"
    problems = sound(report) + sound(file) + framed(report, seal, 1) + framed(file, seal, 1)
    problems += lacking(report, {begun["lot"], "--seed 7"}, "what was drawn,")
    trace = farm.json("trace", begun["lot"], "--back")
    behind = {row["code"] for row in rows_of(farm.out / "drill" / "back.csv")}
    if behind != {lot["code"] for lot in trace["back"]}:
        problems.append("back.csv does not hold what the trace does")
    contacts = {row["contact"] for row in rows_of(farm.out / "drill" / "buyers.csv") if row["contact"]}
    return problems + lacking(report, contacts, "contact")


def read_codes(path):
    """The texts of the codes on each page, as zxing-cpp reads them at 200 dpi."""
    texts = []
    for page in pypdfium2.PdfDocument(path):
        picture = page.render(scale=200 / 72, grayscale=True).to_pil()
        texts.append([code.text for code in zxingcpp.read_barcodes(picture) if code.format == zxingcpp.BarcodeFormat.QRCode])
    return texts


def sizes_of_type(path):
    """Every size that a font is set in, in points."""
    plain = path.with_suffix(".qdf")
    subprocess.run(["qpdf", "--qdf", "--stream-data=uncompress", path, plain], check=True, capture_output=True)
    return {float(size) for size in re.findall(rb"/\w+ ([\d.]+) Tf", plain.read_bytes())}


def judge_round(farm, seal):
    """Every bed is on the sheet in the order of the round, its code reads, and nothing is small."""
    beds = farm.json("round", "--day", "2026-11-01")["beds"]
    pdf = farm.out / "round.pdf"
    farm.run("paper", "round-sheet", "--day", "2026-11-01", "--out", str(pdf))
    problems = sound(pdf) + framed(pdf, seal, 1)
    found, text = read_codes(pdf), pages(pdf)
    order = [code for page in text for code in re.findall(r"B\d{5}-\d\d-[0-9A-Z]", page)]
    if order != [bed["code"] for bed in beds]:
        problems.append(f"{pdf.name}: its beds are {order}")
    at = 0
    for number, (page, codes) in enumerate(zip(text, found), 1):
        rows = len(re.findall(r"B\d{5}-\d\d-[0-9A-Z]", page))
        bins = {bed["bin"] for bed in beds[at : at + rows]}
        at += rows
        if rows > 25:
            problems.append(f"{pdf.name}: page {number} has {rows} rows")
        if len(codes) != rows or {code.rsplit("/", 1)[-1] for code in codes} != bins:
            problems.append(f"{pdf.name}: page {number}: of {sorted(bins)}, {sorted(codes)} read")
    if min(sizes_of_type(pdf)) < 12:
        problems.append(f"{pdf.name}: type of {sorted(sizes_of_type(pdf))} points")
    if "Round 2026-11-01" not in text[0] or not re.search(r"printed \d{4}-\d\d-\d\d \d\d:\d\d", text[0]):
        problems.append(f"{pdf.name}: neither its round nor when it was printed is told")
    return problems, len(beds)


def judge_card(farm, seal, size):
    """A rack's card shows every bin on it, with the day its bed was made up and the day it is due."""
    beds = [bed for bed in farm.json("round")["beds"] if bed["place"].startswith("R3/")]
    pdf = farm.out / f"card{size}.pdf"
    farm.run("paper", "rack-card", "R3", "--out", str(pdf), *(["--a5"] if size == "A5" else []))
    problems = sound(pdf) + framed(pdf, seal, 1) + lacking(pdf, {bed["bin"] for bed in beds}, "bin")
    _, said = output_of("pdfinfo", pdf)
    width = round(float(re.search(r"Page size: +([\d.]+)", said)[1]) * 25.4 / 72)
    if width != {"A4": 210, "A5": 148}[size]:
        problems.append(f"{pdf.name}: {width} mm wide")
    text = flat("".join(pages(pdf, "-raw")))
    for bed in beds:
        bedded = f"bedded{bed['since'][:10]}"
        if text.count(bedded) < sum(f"bedded{other['since'][:10]}" == bedded for other in beds):
            problems.append(f"{pdf.name}: {bed['bin']} lacks {bedded}")
    if len(re.findall(r"due\d{4}-\d\d-\d\d", text)) != len(beds):
        problems.append(f"{pdf.name}: not every bed has the day it is due")
    return problems


def main(castlot, folder):
    with tempfile.TemporaryDirectory() as out:
        farm = Farm(castlot, folder, Path(out))
        seal = farm.json("verify")["seal"]
        made_by = {e["code"]: e["number"] for e in farm.json("log")["entries"] if e.get("code") and not e["struck_by"]}
        problems, counted = [], []
        for mark in ("manure-2", "worms-2", "sacks-1"):
            found, count = judge_forward(farm, mark, seal, made_by)
            problems, counted = problems + found, counted + [count]
        for mark in ("run-36", "run-12", "run-80"):
            found, count = judge_back(farm, mark, seal, made_by)
            problems, counted = problems + found, counted + [count]
        found, packs = judge_recall(farm, "recall-1", "manure-2", seal)
        problems += found + judge_drill(farm, seal)
        found, beds = judge_round(farm, seal)
        problems += found + judge_card(farm, seal, "A4") + judge_card(farm, seal, "A5")
    if problems:
        sys.exit("\n".join(problems))
    if not packs or not beds or not all(counted):
        sys.exit("there was nothing to judge")
    print(f"papers: {len(counted)} trace files, a recall of {packs} packs, a drill and a round of {beds} beds hold all they should")


if __name__ == "__main__":
    main(str(Path(sys.argv[1]).resolve()), str(Path(sys.argv[2]).resolve()))
