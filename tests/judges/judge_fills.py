"""Judges fills against scipy and numpy, which we did not write, and a TNE worked out of the reference table.

judge_fills.py CASTLOT FARM

Every run of the farm that was weighed, and random runs of three hundred packs and fewer: mean, spread, how many packs are
short, k and the limit of the mean test, and what follows for the three rules of SI 2006/659 as diary.md's issue puts them.
READING: while fewer packs are measured than the plan takes, a mean may show a run short by Student's t with as many
degrees of freedom as there are, never full; packs that all read alike show nothing. Under a hundred packs, one in forty
may be short by more than the TNE.
"""

import csv
import json
import math
import random
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy
from scipy.stats import t

from castlot_process import run

TABLE = Path(__file__).parent.parent / "reference"
RUNS, SEED = 40, 659


def bands():
    """(from, to, per mille, tenths) of the reference, and the row that was not read, 3 % from 300 to 500."""
    found = [(300, 500, 30, None)]
    for row in csv.DictReader((TABLE / "tne.csv").open()):
        if row["row"] == "band":
            share, fixed = row["percent"].removesuffix(" %"), row["fixed_g_or_ml"]
            found.append((int(row["from"]), int(row["to"]),
                          round(float(share) * 10) if share else None,
                          round(float(fixed) * 10) if fixed else None))
    return sorted(found)


BANDS = bands()


def tne(net):
    """In units."""
    for low, high, share, fixed in BANDS:
        if low <= net <= high:
            return (math.ceil(net * share / 100) if share else fixed) / 10
    return None


def k_of(n):
    return t.ppf(0.995, n - 1) / math.sqrt(n)


def plan_of(packs):
    """(first sample, accept, reject, second sample, accept, reject, sample of the mean)"""
    if packs < 100:
        return None
    if packs <= 500:
        return 30, 1, 3, 60, 4, 5, 30
    if packs <= 3200:
        return 50, 2, 5, 100, 6, 7, 50
    return 80, 3, 7, 160, 8, 9, 50


def judge_average(net, packs, values):
    """The verdict, worked out apart."""
    error, plan, measured = tne(net), plan_of(packs), len(values)
    if any(value < net - 2 * error - 1e-9 for value in values):
        return "does not meet"
    short = [value < net - error - 1e-9 for value in values]
    wanted = plan[6] if plan else packs
    sample = values[:wanted]
    mean = numpy.mean(sample)
    spread = numpy.std(sample, ddof=1) if len(sample) > 1 else 0.0
    enough = measured >= wanted
    if enough:
        limit = net - (round(k_of(wanted), 3) * spread if plan else 0.0)
        if mean < limit - 1e-9:
            return "does not meet"
    elif spread > 0 and mean < net - k_of(measured) * spread:
        return "does not meet"
    if plan is None:
        if sum(short) > max(packs, measured) // 40:
            return "does not meet"
    else:
        first, accept, reject, second, accept2, reject2, _ = plan
        found = sum(short[:first])
        if accept < found < reject:
            first, accept, reject = second, accept2, reject2
            found = sum(short[:first])
        if found >= reject:
            return "does not meet"
        enough = enough and measured >= first
    return "meets" if enough else "too few measured"


def judge_each(net, packs, values):
    if any(value < net for value in values):
        return "does not meet"
    return "meets" if len(values) >= packs else "too few measured"


def near(got, wanted):
    return got is not None and abs(got - wanted) <= 1e-6 * max(1.0, abs(wanted))


def fills(castlot, farm, code):
    done = subprocess.run([castlot, "--farm", str(farm), "fills", code, "--json"], capture_output=True, text=True)
    said = json.loads(done.stdout)
    said["exit"] = done.returncode
    return said


def differences(said):
    """What castlot says of one run, against what comes out here of the same values."""
    net, packs, values = said["net"], said["packs"], said["values"]
    by_number = said["unit"] == "pieces"
    verdict = (judge_each if by_number else judge_average)(net, packs, values)
    wrong = []
    if said["verdict"] != verdict:
        wrong.append(f"verdict {said['verdict']}, here {verdict}")
    if said["exit"] != (1 if verdict == "does not meet" else 0):
        wrong.append(f"left with {said['exit']}")
    if not near(said["mean"], float(numpy.mean(values))):
        wrong.append(f"mean {said['mean']}")
    if len(values) > 1 and not near(said["spread"], float(numpy.std(values, ddof=1))):
        wrong.append(f"spread {said['spread']}")
    if not by_number:
        error = tne(net)
        below = [sum(v < net - times * error - 1e-9 for v in values) for times in (1, 2)]
        if not near(said["tne"], error) or [said["below_tne"], said["below_twice_tne"]] != below:
            wrong.append(f"TNE {said['tne']}: {said['below_tne']}, {said['below_twice_tne']}; here {error}: {below}")
        point = said["points"][0]
        if point["k"] > 0:
            sample, printed = point["sample"], plan_of(packs) is not None and point["outcome"] != "open"
            slack = 0.0005 if printed else 1e-7
            if abs(point["k"] - k_of(sample)) > slack:
                wrong.append(f"k {point['k']}, here {k_of(sample)}")
    return [f"{said['run']}: {line}" for line in wrong]


def grow(castlot, folder):
    """Random runs of half-litre bottles, some too empty, some of them weighed whole."""
    chance, farm = random.Random(SEED), Path(folder) / "farm"
    run(castlot, "new", farm)
    text = (farm / "castlot.toml").read_text()
    (farm / "castlot.toml").write_text(
        text + '\n[product.judged]\nname = "judged"\nkind = "bottle"\nnet = "500mL"\n')
    say = lambda *words: run(castlot, "--farm", farm, *words)  # noqa: E731
    say("record", "delivery", "--when", "2026-01-01", "--kind", "feedstock", "--name", "liquid", "--supplier",
        "a supplier", "--amount", "90000L", "--ref", "liquid")
    for number in range(RUNS):
        packs = chance.choice([3, 8, 45, 120, 300, 600, 4000])
        say("record", "pack", "--when", "2026-01-02", "--product", "judged", "--count", packs,
            "--from", "liquid 1L", "--ref", f"run-{number}")
        measured = min(packs, chance.choice([1, 2, 3, 8, 30, 45, 60, 100, 160]))
        middle, spread = chance.choice([498, 500, 503, 510]), chance.choice([0.6, 3, 9])
        values = [max(1, round(chance.gauss(middle, spread))) for _ in range(measured)]
        say("record", "weighing", "--when", "2026-01-03", "--run", f"run-{number}",
            "--values", "; ".join(f"{value}mL" for value in values))
        yield farm, f"run-{number}"


def main(castlot, farm):
    problems, verdicts = [], []
    with tempfile.TemporaryDirectory() as folder:
        export = Path(folder) / "export"
        run(castlot, "--farm", farm, "export", "--sheets", export)
        with (export / "weighings.csv").open(encoding="utf-8-sig") as sheet:
            weighed = sorted({row["run"] for row in csv.DictReader(sheet)})
        for folder_, code in [*((farm, code) for code in weighed), *grow(castlot, folder)]:
            said = fills(castlot, folder_, code)
            problems += differences(said)
            verdicts.append(said["verdict"])
    for problem in problems:
        print(problem)
    told = ", ".join(f"{verdicts.count(verdict)} {verdict}" for verdict in sorted(set(verdicts)))
    print(f"fill judge: {len(verdicts)} runs ({told}), {len(problems)} differences")
    return 1 if problems or len(set(verdicts)) < 3 else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
