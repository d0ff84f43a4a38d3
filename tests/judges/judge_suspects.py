"""Judges `castlot suspects`: the counts from the sheets and a networkx graph, the figures by scipy.

judge_suspects.py CASTLOT [--seeds N]

For the demo farm, and for random farms on which sold packs are complained of: every suspect's four counts, relative
risk, odds ratio and one-sided p, which lots are suspects at all, and that they stand in order.
"""

import argparse
import json
import math
import random
import sys
import tempfile
from pathlib import Path

from scipy.stats import fisher_exact
from scipy.stats.contingency import odds_ratio, relative_risk

from castlot_process import run
from judge_traces import build, demo_lots
from ordering import farm_of
from random_farm import TIMINGS, grow
from reading import moment, read_sheets, sheets_of
from sold_packs import OUT, shelves
from trace_graph import ALIVE, CARRIED, PART, Traces

# The words of a call that lead to a cause which travels so.
SIGNS = {PART: "leaves cupped and twisted", ALIVE: "wrong species of worm", CARRIED: "a piece of glass"}
WAY = {PART: "part", ALIVE: "live", CARRIED: "any"}
CLOSE = 1e-9


def until(sheets, at):
    """The sheets as they stood at a moment."""
    kept = [entry for entry in sheets.entries if at is None or entry.when.lo <= moment(at).hi]
    return sheets_of(kept, sheets.config)


def exposures(farm, way):
    """Which lots reach each run by that way."""
    graph = Traces(farm).graphs[way]
    runs = [key for key, lot in farm.lots.items() if lot.kind == "pack run"]
    return {run: {farm.flows[number].source for number in graph.back(run)} for run in runs}


def judge(castlot, folder, sheets, way, calls, at=None):
    """`calls`: name -> (run, serial or None)."""
    farm = farm_of(sheets)
    asked = [castlot, "--farm", folder, "suspects", *calls, "--json", *(["--when", at] if at else [])]
    told = json.loads(run(*asked))
    upstream = exposures(farm, way)
    complained = {}
    for packs in {(farm.key(run), serial or name) for name, (run, serial) in calls.items()}:
        complained[packs[0]] = complained.get(packs[0], 0) + 1
    sold = {key: max(shelf.sold(), complained.get(key, 0)) for key, shelf in shelves(farm, sheets).items()}
    problems = []
    if told["way"] != WAY[way] or (told["sold"], told["complained"]) != (sum(sold.values()), sum(complained.values())):
        problems.append(f"{told['way']}, {told['sold']} sold, {told['complained']} complained of; should be "
                        f"{WAY[way]}, {sum(sold.values())}, {sum(complained.values())}")
    wanted = {lot for key in complained for lot in upstream[key] if farm.lots[lot].kind != "pack run"}
    found = {farm.key(item["code"]): item for item in told["suspects"]}
    problems += [f"{lot} is no suspect, and should be" for lot in wanted - found.keys()]
    problems += [f"{lot} is a suspect, and should not be" for lot in found.keys() - wanted]
    for lot in wanted & found.keys():
        problems += figures(lot, found[lot], counts(lot, upstream, sold, complained))
    return len(found), problems + in_order(told["suspects"])


def counts(lot, upstream, sold, complained):
    with_it = [key for key in sold if lot in upstream[key]]
    a = sum(complained.get(key, 0) for key in with_it)
    b = sum(sold[key] for key in with_it) - a
    c = sum(complained.values()) - a
    return a, b, c, sum(sold.values()) - a - b - c


def figures(lot, item, table):
    a, b, c, d = table
    own = tuple(item[key] for key in
                ("exposed_complained", "exposed_other", "unexposed_complained", "unexposed_other"))
    if own != table:
        return [f"{lot}: counts are {own}, should be {table}"]
    matrix = [[a, b], [c, d]]
    pairs = [
        ("p", item["p"], fisher_exact(matrix, alternative="greater").pvalue),
        ("odds_ratio", number(item["odds_ratio"]), odds_ratio(matrix, kind="sample").statistic),
        ("relative_risk", number(item["relative_risk"]), risk(a, a + b, c, c + d)),
    ]
    return [f"{lot}: {what} is {ours}, should be {theirs} by scipy for {table}"
            for what, ours, theirs in pairs if not same(ours, theirs)]


def risk(a, exposed, c, unexposed):
    if exposed == 0 or unexposed == 0:
        return math.nan
    return relative_risk(a, exposed, c, unexposed).relative_risk


def number(value):
    return math.nan if value is None else float(value)


def same(ours, theirs):
    if math.isnan(ours) or math.isnan(theirs):
        return math.isnan(ours) and math.isnan(theirs)
    return ours == theirs or math.isclose(ours, theirs, rel_tol=CLOSE, abs_tol=1e-14)


def in_order(suspects):
    """What can have started it first, then what explains all, then by p."""
    def key(item):
        explains = item["unexposed_complained"] == 0 and item["exposed_complained"] > 0
        return not item["can_start"], not explains, item["p"]

    keys = [key(item) for item in suspects]
    wrong = [i for i in range(1, len(keys)) if keys[i - 1] > keys[i]]
    return [f"{suspects[i]['code']} stands too late" for i in wrong]


def judge_random(castlot, seed, timing, folder):
    grown = grow(seed, timing)
    farm_folder, export = build(castlot, grown, folder)
    sheets = read_sheets(export, farm_folder / "castlot.toml")
    farm = farm_of(sheets)
    rng = random.Random(f"calls {seed} {timing}")
    # Packs whose serials were noted when they were sold.
    packs = [(key, serial) for key, shelf in shelves(farm, sheets).items()
             for serial, fate in shelf.fates.items() if fate == OUT]
    suspects, problems = 0, []
    for way, sign in SIGNS.items():
        calls = {}
        for run_key, serial in rng.sample(packs, min(len(packs), rng.randint(1, 5))):
            name = f"{WAY[way]}-{len(calls)}"
            run(castlot, "--farm", farm_folder, "complaint", "take", "--sign", sign, "--name", name,
                "--pack", f"{run_key}/{serial}", "--json")
            calls[name] = (run_key, serial)
        if calls:
            number, found = judge(castlot, farm_folder, sheets, way, calls)
            suspects, problems = suspects + number, problems + [f"{way}: {problem}" for problem in found]
    return suspects, problems


def judge_demo(castlot, folder):
    farm_folder, export = demo_lots(castlot, folder)
    sheets = read_sheets(export, farm_folder / "castlot.toml")
    leaves = {"call-2": ("run-36", 1), "call-3": ("run-44", 1)}
    total, problems = 0, []
    for at in ("2026-08-06", "2026-09-17", None):
        calls = {name: call for name, call in leaves.items() if at != "2026-08-06" or name == "call-2"}
        number, found = judge(castlot, farm_folder, until(sheets, at), PART, calls, at)
        total, problems = total + number, problems + [f"at {at}: {problem}" for problem in found]
    return total, problems


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("castlot")
    parser.add_argument("--seeds", type=int, default=4)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as scratch:
        base, total, wrong, farms = Path(scratch), 0, 0, 0
        work = [("demo farm", judge_demo, ())]
        work += [(f"seed {seed}, {timing}", judge_random, (seed, timing))
                 for seed in range(1, options.seeds + 1) for timing in TIMINGS]
        for name, judged, arguments in work:
            folder = base / name.replace(", ", "-").replace(" ", "-")
            folder.mkdir()
            number, problems = judged(options.castlot, *arguments, folder)
            farms, total, wrong = farms + 1, total + number, wrong + len(problems)
            for problem in problems[:12]:
                print(f"{name}: {problem}")
    print(f"suspects judge: {farms} farms, {total} suspects, {wrong} differences")
    return 1 if wrong or not total else 0


if __name__ == "__main__":
    sys.exit(main())
