"""Hold judge: what standing holds reach, by plain reachability in a networkx graph.

A farm is put through a few random holds and releases, some of them with `reach all`; what stops or flags each
lot is then asked of castlot (`show --json`), and worked out from `trace_graph.py`. At the end some lots are used,
which castlot must refuse just where a hold stops them.

By hand: holds.py SHEETS FARM CASTLOT
"""

import json
import random
import subprocess
import sys
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path

from castlot_process import run
from ordering import farm_of
from reading import DAY, read_sheets
from trace_graph import CARRIED, Traces

STEPS = 7
USED = 10  # lots of each farm that are used at the end


@dataclass
class Hold:
    origin: str
    everything: bool
    reached: dict  # lot -> relation; the origin itself -> None
    freed: set = field(default_factory=set)

    def how(self, lot):
        """(relation, whether it stops the lot), or None where the hold does not reach it."""
        if lot not in self.reached or lot in self.freed:
            return None
        relation = self.reached[lot]
        return relation, relation != CARRIED or self.everything


class Holds:
    def __init__(self, farm, traces):
        self.farm, self.traces, self.standing = farm, traces, []

    def put_on(self, lot, everything):
        reached = {key: seen.relation for key, seen in self.traces.forward(lot).items()}
        self.standing.append(Hold(lot, everything, reached | {lot: None}))

    def release(self, lot):
        """READING: a release lifts the holds on the lot itself; only where there is none, it frees the lot alone."""
        if any(hold.origin == lot for hold in self.standing):
            self.standing = [hold for hold in self.standing if hold.origin != lot]
            return
        for hold in self.standing:
            if (how := hold.how(lot)) is not None and how[1]:
                hold.freed.add(lot)

    def expected(self, lot):
        found = [(hold.origin, how) for hold in self.standing if (how := hold.how(lot)) is not None]
        return sorted((origin, relation or "", stops) for origin, (relation, stops) in found)

    def stops(self, lot):
        return any(stops for _, _, stops in self.expected(lot))


def last_day(farm):
    return date.fromordinal(max(flow.when.hi for flow in farm.flows) // DAY)


def act(castlot, folder, farm, holds, rng):
    """Some random holds and releases, in castlot and here."""
    day = last_day(farm)
    lots = sorted(farm.lots)
    for _ in range(STEPS):
        day += timedelta(days=1)
        stopped = [lot for lot in lots if holds.stops(lot)]
        said = ["--why", "judged", "--when", day.isoformat()]
        if stopped and rng.random() < 0.45:
            lot = rng.choice(stopped)
            holds.release(lot)
            run(castlot, "--farm", folder, "release", farm.lots[lot].code, *said)
        else:
            lot, everything = rng.choice(lots), rng.random() < 0.3
            holds.put_on(lot, everything)
            reach = ["--reach", "all"] if everything else []
            run(castlot, "--farm", folder, "hold", farm.lots[lot].code, *said, *reach)
    return day + timedelta(days=1)


def compare(castlot, folder, farm, holds):
    problems = []
    for lot in farm.lots:
        shown = json.loads(run(castlot, "--farm", folder, "show", farm.lots[lot].code, "--json"))
        told = sorted((farm.key(h["lot"]), h["relation"] or "", h["stops"]) for h in shown["held"])
        if told != holds.expected(lot):
            problems.append(f"show {farm.lots[lot].code}: held should be {holds.expected(lot)}, is {told}")
    return problems


def use(castlot, folder, farm, holds, rng, day):
    """Packs a gram of some lots: refused for a hold where one stops the lot, and nowhere else."""
    problems = []
    usable = [key for key, lot in farm.lots.items() if lot.kind not in ("bed", "pack run")]
    for lot in rng.sample(sorted(usable), min(USED, len(usable))):
        code = farm.lots[lot].code
        command = [castlot, "--farm", folder, "record", "pack", "--product", "bag1", "--count", "1",
                   "--from", f"{code} ?", "--when", day.isoformat()]
        done = subprocess.run([str(part) for part in command], capture_output=True, text=True)
        refused = done.returncode == 2 and "held" in done.stderr
        if refused != holds.stops(lot):
            problems.append(f"a use of {code} is refused: {refused}; a hold stops it: {holds.stops(lot)} ({done.stderr.strip()})")
    return problems


def judge(castlot, folder, farm, seed):
    rng = random.Random(f"holds {seed}")
    holds = Holds(farm, Traces(farm))
    day = act(castlot, folder, farm, holds, rng)
    return compare(castlot, folder, farm, holds) + use(castlot, folder, farm, holds, rng, day)


def main(sheets_folder, farm_folder, castlot):
    farm = farm_of(read_sheets(sheets_folder, Path(farm_folder) / "castlot.toml"))
    problems = judge(castlot, farm_folder, farm, "by hand")
    print("\n".join([*problems, f"hold judge: {len(farm.lots)} lots, {len(problems)} differences"]))
    return 1 if problems else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
