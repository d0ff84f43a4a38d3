"""Drives the two judges of traces over random farms and the demo farm; non-zero on any difference.

judge_traces.py CASTLOT [--seeds N] [--keep FOLDER] [--only SEED:TIMING]

For every seed and timing (times, dates only, both mixed): a new farm, an import, some rows recorded
late, an export; then every lot, back and forward, against `trace_graph.py`, `shares.py` and the sales.
"""

import argparse
import multiprocessing
import random
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

import buyers
import holds
import judge_codes
import shares
import test_judges
import trace_graph
from castlot_process import ask, run
from ordering import farm_of
from random_farm import CONFIG, TIMINGS, grow, write_sheets
from reading import moment, read_sheets

SINGULAR = {
    "bins": "bin", "deliveries": "delivery", "beds": "bed", "feeds": "feed", "skips": "skip", "checks": "check",
    "splits": "split", "tips": "tip", "moves": "move", "sievings": "sieving", "blends": "blend", "tests": "test",
    "packs": "pack", "sales": "sale", "thrown": "thrown",
}
SHOWN = 12  # differences shown for each farm
MOMENTS = 8  # lots of each farm that are also traced at a moment in the middle


def build(castlot, grown, folder):
    """The farm in castlot, and the folder of its export."""
    farm, sheets, out = folder / "farm", folder / "sheets", folder / "export"
    run(castlot, "new", farm)
    (farm / "castlot.toml").write_text(CONFIG, encoding="utf-8")
    write_sheets(grown, sheets)
    run(castlot, "--farm", farm, "import", sheets)
    for entry in grown.late:
        flags = [part for key, value in entry.row.items() if value for part in (f"--{key.replace('_', '-')}", value)]
        run(castlot, "--farm", farm, "record", SINGULAR[entry.sheet], *flags)
    run(castlot, "--farm", farm, "export", "--sheets", out)
    return farm, out


def same_flows(put_in, given_out):
    """What went into castlot and what came out of it must be the same flows."""
    def flows(farm):
        name = {key: lot.ref for key, lot in farm.lots.items()}
        return Counter((name[f.source], name[f.target], f.when.text, f.flow_class) for f in farm.flows)

    before, after = flows(put_in), flows(given_out)
    return [f"the export lacks the flow {flow}" for flow in before - after] + [
        f"the export adds the flow {flow}" for flow in after - before]


def same_again(castlot, folder, export):
    """Import of an export gives the same sheets again."""
    farm, again = folder / "again", folder / "export-again"
    run(castlot, "new", farm)
    (farm / "castlot.toml").write_text(CONFIG, encoding="utf-8")
    run(castlot, "--farm", farm, "import", export)
    run(castlot, "--farm", farm, "export", "--sheets", again)
    problems = []
    for sheet in sorted(path.name for path in export.glob("*.csv")):
        first, second = (sorted((side / sheet).read_text().splitlines()) for side in (export, again))
        if first != second:
            odd = sorted(set(first) ^ set(second))
            problems.append(f"{sheet} differs after import of the export: {odd[:4]}")
    return problems


def judge_lots(castlot, folder, farm, lots):
    traces = trace_graph.Traces(farm)
    share_judge = shares.Shares(farm, traces)
    problems = []
    for lot in lots:
        back = ask(castlot, folder, lot, "back")
        forward = ask(castlot, folder, lot, "forward")
        problems += trace_graph.compare(farm, lot, "back", traces.back(lot), back)
        problems += trace_graph.compare(farm, lot, "forward", traces.forward(lot), forward)
        problems += shares.compare(farm, lot, share_judge.of(lot), back)
        problems += buyers.compare(farm, lot, traces.forward(lot), forward)
    return problems


def judge_moments(castlot, folder, farm, rng):
    """Traces at a moment in the middle of the season; reach only."""
    traces = trace_graph.Traces(farm)
    problems = []
    for lot in rng.sample(sorted(farm.lots), min(MOMENTS, len(farm.lots))):
        at = moment(rng.choice(farm.flows).when.text)
        for side, search in (("back", traces.back), ("forward", traces.forward)):
            told = ask(castlot, folder, lot, side, at.text)
            found = trace_graph.compare(farm, lot, side, search(lot, at), told)
            problems += [f"{problem} (--when {at.text})" for problem in found]
    return problems


def judge_random(castlot, seed, timing, folder):
    grown = grow(seed, timing)
    farm_folder, export = build(castlot, grown, folder)
    farm = farm_of(read_sheets(export, farm_folder / "castlot.toml"))
    problems = same_flows(farm_of(grown.sheets()), farm)
    problems += judge_lots(castlot, farm_folder, farm, list(farm.lots))
    problems += judge_moments(castlot, farm_folder, farm, random.Random(seed))
    problems += same_again(castlot, folder, export)
    problems += holds.judge(castlot, farm_folder, farm, f"{seed} {timing}")
    _, wrong_codes, left_out = judge_codes.judge(export)
    problems += wrong_codes + [f"the number {number} was left out" for number in left_out]  # nothing was struck
    return len(farm.lots), problems


def demo_lots(castlot, folder):
    """Builds the demo farm; (its folder, its export, its lots)."""
    run(castlot, "demo", folder / "demo")
    run(castlot, "--farm", folder / "demo", "export", "--sheets", folder / "export")
    return folder / "demo", folder / "export"


def judge_demo(castlot, part, parts, farm_folder, export):
    farm = farm_of(read_sheets(export, farm_folder / "castlot.toml"))
    lots = list(farm.lots)[part::parts]
    return len(lots), judge_lots(castlot, farm_folder, farm, lots)


def job(what):
    name, judge, *arguments = what
    started = time.monotonic()
    try:
        lots, problems = judge(*arguments)
    except Exception as error:  # a farm that cannot be judged is a difference too
        lots, problems = 0, [f"{type(error).__name__}: {error}"]
    return name, lots, problems, time.monotonic() - started


def jobs(options, base):
    castlot = options.castlot
    if not options.only:
        demo = base / "demo-farm"
        demo.mkdir(parents=True, exist_ok=True)
        farm, export = demo_lots(castlot, demo)
        for part in range(4):
            yield f"demo farm {part + 1} of 4", judge_demo, castlot, part, 4, farm, export
    for seed in range(1, options.seeds + 1):
        for timing in TIMINGS:
            if options.only in (None, f"{seed}:{timing}"):
                folder = base / f"{seed}-{timing}"
                folder.mkdir(parents=True, exist_ok=True)
                yield f"seed {seed}, {timing}", judge_random, castlot, seed, timing, folder


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("castlot")
    parser.add_argument("--seeds", type=int, default=12)
    parser.add_argument("--keep", help="leave the farms in this folder")
    parser.add_argument("--only", help="one farm, as SEED:TIMING")
    options = parser.parse_args()
    if not test_judges.run():
        return 1
    with tempfile.TemporaryDirectory() as scratch:
        work = list(jobs(options, Path(options.keep or scratch)))
        with multiprocessing.Pool(2) as pool:
            return report(pool.imap_unordered(job, work), len(work))


def report(results, farms):
    lots = differences = 0
    for name, judged, problems, _ in results:
        lots, differences = lots + judged, differences + len(problems)
        for problem in problems[:SHOWN]:
            print(f"{name}: {problem}")
        if len(problems) > SHOWN:
            print(f"{name}: and {len(problems) - SHOWN} more")
    print(f"trace and share judges: {farms} runs, {lots} lots back and forward, {differences} differences")
    return 1 if differences or not lots else 0


if __name__ == "__main__":
    sys.exit(main())
