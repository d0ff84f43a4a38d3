"""Judges an outlook against numpy: cycles, quantiles, feed, gaps, and intervals of the weeks to come.

judge_outlook.py CASTLOT FARM

The cycles are found again from the exported sheets: beds of beds.csv with worms put in, that ended with a sieving. What flows
weighed is the mass balance judge's; medians and quantiles are numpy's. The weeks are thrown again with numpy's own generator,
all seasons of a bed at once; a quantile of castlot's may lie where numpy's seasons have its chance within three in a hundred
(four thousand seasons against twenty thousand: five standard errors are 2.6).
READING: a clearing's day is the day of the last flow out of a bed that ended and was neither tipped nor thrown out.
"""

import json
import os
import sys
import tempfile
from datetime import date
from pathlib import Path

import numpy as np

from castlot_process import run
from farm_parts import LIVE
from mass_balance import Beds, Tests, thrown_whole
from ordering import farm_of
from reading import read_sheets

NOW, SEASONS, SEED = "2026-11-01T09:00:00Z", 20_000, 11
CHANCES = {"low": 0.1, "middle": 0.5, "high": 0.9}
HARVEST = ("castings", "worms", "overs", "cocoons", "liquid")
FEED = ("manure", "feedstock", "feed")


class Weighed(Beds):
    """Beds whose every flow is kept, with its grams; None where nobody knows."""

    def weight(self, flow):
        grams = super().weight(flow)
        quantity = flow.divided[0] if flow.divided is not None else flow.amount
        unknown = flow.share is None and (quantity is None or quantity.value is None)
        self.__dict__.setdefault("kept", []).append((flow, None if unknown else grams))
        return grams


def cycles(farm, beds, sheets):
    """(species, days, castings, worms in, worms out) of each, and its end's day."""
    species_of_bin = {e.get("bin"): e.get("species") for e in sheets.entries if e.sheet == "bins" and e.get("species")}
    made_up = {farm.key(e.get("code")): e.get("species") or species_of_bin.get(e.get("bin"))
               for e in farm.taken if e.sheet == "beds"}
    out, into = {}, {}
    for flow, grams in beds.kept:
        out.setdefault(flow.source, []).append((flow, grams))
        into.setdefault(flow.target, []).append((flow, grams))
    found = []
    for bed in farm.ended - thrown_whole(farm):
        if bed not in made_up or bed not in out:
            continue
        last = out[bed][-1][0]
        live_in = [grams for flow, grams in into.get(bed, []) if flow.flow_class == LIVE]
        if farm.lots[last.target].kind not in HARVEST or not live_in:
            continue
        live_out = [grams for flow, grams in out[bed] if flow.flow_class == LIVE]
        castings = [grams for flow, grams in out[bed] if farm.lots[flow.target].kind == "castings"]
        moved = [flow for flow, _ in out[bed] + into[bed] if flow.share is not None]
        figures = [None if None in part else sum(part) for part in (castings, live_in, live_out)]
        days = last.when.day - farm.lots[bed].when.day
        found.append((made_up[bed], days, *figures, bool(moved), last.when.day))
    return found


def spread(sample):
    return {name: float(np.quantile(sample, chance)) for name, chance in CHANCES.items()} | {
        "mean": float(np.mean(sample))}


def differs(got, wanted):
    return any(abs(got[name] - wanted[name]) > 1e-9 * max(1.0, abs(wanted[name])) for name in wanted)


def seasons(told):
    """castings and worms to spare, by season and week (and herd), thrown anew."""
    chance, weeks = np.random.default_rng(SEED), len(told["weeks"])
    castings = np.zeros((SEASONS, weeks))
    spare = np.zeros((len(told["herds"]), SEASONS, weeks))
    rows = np.arange(SEASONS)

    def put(sums, day, grams):
        here = day < weeks * 7
        np.add.at(sums, (rows[here], day[here] // 7), grams[here])

    for bed in told["beds"]:
        past = told["herds"][bed["herd"]]["cycles"]
        days, gives, takes, back = (np.array([cycle[key] for cycle in past]) for key in
                                    ("days", "castings_g", "worms_in_g", "worms_out_g"))
        fitting = np.flatnonzero(days >= bed["age_days"])
        if len(fitting):
            which = chance.choice(fitting, SEASONS)
            day = days[which] - bed["age_days"]
        else:
            which, day = chance.integers(len(past), size=SEASONS), chance.integers(7, size=SEASONS)
        while (day < weeks * 7).any():
            put(castings, day, gives[which])
            put(spare[bed["herd"]], day, back[which])
            which = chance.integers(len(past), size=SEASONS)
            day = day + told["gap_days"]
            put(spare[bed["herd"]], day, -takes[which])
            day = day + np.maximum(days[which], 1)
    return castings, spare


def judge_quantiles(name, told, sample):
    problems = []
    for key, chance in CHANCES.items():
        below, upto = np.mean(sample < told[key] - 1e-6), np.mean(sample <= told[key] + 1e-6)
        if below > chance + 0.03 or upto < chance - 0.03:
            problems.append(f"{name}: {key} {told[key]:.0f} lies at {below:.3f} to {upto:.3f} of numpy's seasons")
    if abs(told["mean"] - np.mean(sample)) > 0.1 * np.std(sample) + 1:
        problems.append(f"{name}: mean {told['mean']:.0f}, numpy's {np.mean(sample):.0f}")
    return problems


def judge_cycles(told, found):
    problems = []
    today = date.fromisoformat(told["day"]).toordinal()
    for herd in told["herds"]:
        mine = [cycle for cycle in found if cycle[0] == herd["species"] and cycle[-1] <= today]
        if sorted(cycle[1] for cycle in mine) != sorted(herd["days"]):
            problems.append(f"{herd['species']}: {len(herd['days'])} cycles, here {len(mine)}, or of other days")
        # READING: where a split or a tip moved worms, their number is castlot's own business.
        plain = [tuple(cycle[1:5]) for cycle in mine if not cycle[5] and None not in cycle[2:5]]
        is_ = [tuple(round(cycle[key]) for key in ("days", "castings_g", "worms_in_g", "worms_out_g"))
               for cycle in herd["cycles"]]
        for cycle in plain:
            if cycle not in is_:
                problems.append(f"{herd['species']}: no cycle {cycle}")
            else:
                is_.remove(cycle)
        if len(is_) > sum(1 for cycle in mine if cycle[5]):
            problems.append(f"{herd['species']}: cycles too many: {is_[:3]}")
        if differs(herd["length"], spread(herd["days"])):
            problems.append(f"{herd['species']}: length {herd['length']}")
    return problems


def judge_rest(told, farm, beds, sheets):
    problems, today = [], date.fromisoformat(told["day"]).toordinal()
    fed = {}
    feeding = {(farm_key, entry.when.text) for entry in farm.taken if entry.sheet == "feeds"
               for farm_key in [part.split()[0] for part in entry.get("takes").split(";")]}
    names = {name: key for name, key in farm.names.items()}
    feeding = {(names.get(lot), when) for lot, when in feeding}
    bedded = {(names.get(part.split()[0]), entry.when.text) for entry in farm.taken if entry.sheet == "beds"
              for part in entry.get("takes").split(";")}
    for flow, grams in beds.kept:
        if (flow.source, flow.when.text) in feeding - bedded and farm.lots[flow.target].kind == "bed":
            ago = (today - flow.when.day) // 7
            fed[ago] = fed.get(ago, 0) + (grams or 0)
    weeks = [fed.get(ago, 0) for ago in range(min(12, max(fed)))]
    if weeks != [round(grams) for grams in told["feed"]["weeks_g"]]:
        problems.append(f"feed by weeks {told['feed']['weeks_g']}, here {weeks}")
    if differs(told["feed"]["weekly_g"], spread(weeks)):
        problems.append(f"feed a week {told['feed']['weekly_g']}, here {spread(weeks)}")
    litres = [float(entry.get("value")) for entry in farm.taken if entry.sheet == "tests"
              and entry.get("test") == "density" and farm.lots[farm.key(entry.get("lot"))].kind == "castings"]
    if abs(told["g_per_l"] - np.median(litres[-10:])) > 1e-9:
        problems.append(f"a litre {told['g_per_l']}, here {np.median(litres[-10:])}")
    return problems


def judge_waits(castlot, folder, told):
    """The days within which a bed should be ready, by numpy's quantiles."""
    lives = json.loads(run(castlot, "--farm", folder, "bed-life", "--json"))["beds"]
    bins, problems = {bed["bin"]: bed for bed in told["beds"]}, []
    today = date.fromisoformat(told["day"])
    for life in lives:
        if (bed := bins.get(life["bin"])) is None:
            continue
        waits = np.array([d - bed["age_days"] for d in told["herds"][bed["herd"]]["days"] if d >= bed["age_days"]])
        if not len(waits):
            if not life["sieve"]["overdue"]:
                problems.append(f"{life['bin']}: not overdue")
            continue
        wanted = [int(np.floor(np.quantile(waits, 0.1))), int(np.ceil(np.quantile(waits, 0.9)))]
        is_ = [(date.fromisoformat(life["sieve"][key]) - today).days for key in ("from", "to")]
        if is_ != wanted:
            problems.append(f"{life['bin']}: to sieve in {is_} days, here {wanted}")
    return len(lives), problems


def main(castlot, folder):
    os.environ["CASTLOT_NOW"] = NOW
    with tempfile.TemporaryDirectory() as scratch:
        export = Path(scratch) / "export"
        run(castlot, "--farm", folder, "export", "--sheets", export)
        sheets = read_sheets(export, Path(folder) / "castlot.toml")
        farm = farm_of(sheets)
        beds = Weighed(farm, Tests(farm))
        told = json.loads(run(castlot, "--farm", folder, "outlook", "--json"))
        found = cycles(farm, beds, sheets)
        problems = judge_cycles(told, found) + judge_rest(told, farm, beds, sheets)
        lives, more = judge_waits(castlot, folder, told)
        problems += more
        castings, spare = seasons(told)
        for at, week in enumerate([*told["weeks"], told["all"]]):
            name = week["from"] or "all"
            of = (lambda sums: sums[:, at]) if week["from"] else (lambda sums: sums.sum(axis=1))
            problems += judge_quantiles(f"{name} castings", week["castings_g"], of(castings))
            for herd, figures in enumerate(week["spare_g"]):
                problems += judge_quantiles(f"{name} worms of herd {herd}", figures, of(spare[herd]))
    for problem in problems:
        print(problem)
    print(f"outlook judge: {len(found)} cycles, {lives} beds, {len(told['weeks'])} weeks, {len(problems)} differences")
    return 1 if problems or len(found) < 50 or len(told["weeks"]) != 12 else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
