"""Share judge: how much of a lot's bulk came from each delivery, by a numpy mass balance.

One matrix, a row a lot and a column a delivery, in grams; the steps of the farm are played through it
in Order. The rules are those of diary.md, section 5, "share". Choices the page leaves are marked READING.

By hand: shares.py SHEETS FARM CASTLOT
"""

import sys
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from castlot_process import ask
from farm_parts import BULK, WHOLE
from ordering import farm_of
from reading import GUESS, UNKNOWN, WEAKNESS, WEIGHED, read_sheets
from trace_graph import PART, Traces

TOLERANCE = 1.5e-9  # castlot gives nine decimals

COUNTED = {BULK, WHOLE}


@dataclass
class Standing:
    """What is known of one lot beside its row of the matrix."""

    proportions: np.ndarray | None = None  # as they stood last; None before anything went in
    sources: set = field(default_factory=set)  # the lots that have gone in so far
    leaked: bool = False  # an unknown amount has come out
    amount_known: bool = True
    mixture_known: bool = True


class Balance:
    def __init__(self, farm):
        self.farm = farm
        self.row = {key: number for number, key in enumerate(farm.lots)}
        self.deliveries = [key for key, lot in farm.lots.items() if lot.delivered]
        self.column = {key: number for number, key in enumerate(self.deliveries)}
        # One column more than there are deliveries, for mass whose make-up is not known.
        self.mass = np.zeros((len(self.row), len(self.deliveries) + 1))
        self.lots = {key: Standing() for key in farm.lots}
        self.tests = {}  # (lot, density or per_kg) -> [(when, value)]
        for name, *what in farm.steps:
            if name == "test":
                lot, test, when, value = what
                self.tests.setdefault((lot, test), []).append((when.lo, when.hi, value))
        self.marks = {}  # number of a flow -> how sure its amount is
        play = {"flows": self.flows, "drop": self.drop, "end": self.end, "test": lambda *_: None}
        for name, *what in farm.steps:
            play[name](*what)

    # The steps

    def flows(self, made):
        amounts = [self.quantity(flow) for flow in made]  # of all, before any is drawn
        for flow, (grams, mark) in zip(made, amounts):
            self.marks[flow.number] = mark
            if flow.flow_class in COUNTED and grams != "nothing":
                proportions = self.proportions(flow.source)
                self.draw(flow.source, grams)
                self.add(flow.target, flow.source, grams, proportions)

    def end(self, bed):
        pass  # what is left is written off; no later step names this bed

    def drop(self, lot, quantity, when):
        grams, _ = self.in_grams(lot, quantity, when, lot)
        if grams != "nothing":
            self.draw(lot, grams)

    def tested(self, lot, test, when):
        """The value of a test. READING: the last that could come before the draw, else the first after it."""
        values = sorted(self.tests.get((lot, test), []), key=lambda t: t[:2])
        before = [value for lo, _, value in values if lo <= when.hi]
        return before[-1] if before else values[0][2] if values else None

    # How much a flow carries: grams, None for an amount nobody knows, or "nothing" for pieces

    def quantity(self, flow):
        if flow.share is not None:
            return self.of_all(flow.source, flow.share), WEIGHED
        if flow.divided is not None:
            return self.divide(flow)
        return self.in_grams(flow.source, flow.amount, flow.when, flow.target)

    def of_all(self, lot, share):
        standing = self.lots[lot]
        return float(share) * self.total(lot) if standing.amount_known else None

    def divide(self, flow):
        """A whole amount, divided over several beds by what each held.

        READING: where what one of them held is not known, the parts are not known either."""
        whole, beds = flow.divided
        grams, _ = self.in_grams(flow.source, whole, flow.when, flow.target)
        held = [self.total(bed) for bed in beds]
        if grams == "nothing":
            return grams, GUESS
        if grams is None or not all(self.lots[bed].amount_known for bed in beds) or sum(held) == 0:
            return None, UNKNOWN
        return grams * self.total(flow.source) / sum(held), GUESS

    def in_grams(self, lot, quantity, when, target):
        """(grams, mark) of a draw: as it stands, turned by a test (then a guess), or counting as `?`.

        READING: what comes out of a bed in litres is measured as the batch it becomes."""
        own = self.farm.lots[lot].unit
        if quantity.value is None:
            return None, UNKNOWN
        if own not in (None, quantity.unit):
            return self.converted(lot, own, quantity, when)
        if quantity.unit == "pieces":
            return "nothing", quantity.mark
        measured = target if self.farm.lots[lot].kind == "bed" else lot
        density = self.tested(measured, "density", when) or 1000
        factor = density / 1000 if quantity.unit == "mL" else 1
        return float(quantity.value * factor), quantity.mark

    def converted(self, lot, own, quantity, when):
        density, per_kg = self.tested(lot, "density", when), self.tested(lot, "per_kg", when)
        kinds = {own, quantity.unit}
        if kinds == {"g", "mL"} and density is not None:
            factor = density / 1000 if quantity.unit == "mL" else 1
            return float(quantity.value * factor), GUESS
        if kinds == {"g", "pieces"} and per_kg is not None:
            return "nothing" if own == "pieces" else float(quantity.value / per_kg * 1000), GUESS
        return None, UNKNOWN

    # The mass balance

    def total(self, lot):
        return self.mass[self.row[lot]].sum()

    def proportions(self, lot):
        """Fractions by delivery, or None where they are not known."""
        if lot in self.column:
            return np.eye(1, len(self.deliveries) + 1, self.column[lot])[0]
        standing = self.lots[lot]
        if not standing.mixture_known:
            return None
        total = self.total(lot)
        if standing.amount_known and total > 0:
            return self.mass[self.row[lot]] / total
        return standing.proportions

    def draw(self, lot, grams):
        if lot in self.column:
            return
        standing = self.lots[lot]
        standing.proportions = self.proportions(lot)
        if grams is None:
            standing.amount_known = False
            standing.leaked = True
            return
        total = self.total(lot)
        left = max(0.0, total - grams)
        self.mass[self.row[lot]] *= left / total if total > 0 else 0.0

    def add(self, lot, source, grams, proportions):
        standing = self.lots[lot]
        if grams == 0.0:
            return
        alone = standing.sources <= {source}
        same = alone and (not standing.sources or self.is_like(lot, proportions))
        standing.sources.add(source)
        if grams is None:
            standing.amount_known = False
        # READING: an input whose own mixture is unknown makes the whole unknown.
        if proportions is None or standing.leaked:
            standing.mixture_known = False
            if grams is not None:
                self.mass[self.row[lot], -1] += grams
        elif not standing.amount_known:
            # An unknown amount in, now or before: the mixture is known only while it has but one source.
            standing.mixture_known = standing.mixture_known and same
            standing.proportions = proportions
        else:
            self.mass[self.row[lot]] += grams * proportions
            standing.proportions = None

    def is_like(self, lot, proportions):
        mine = self.proportions(lot)
        return mine is not None and proportions is not None and bool(np.allclose(mine, proportions, atol=1e-12))


class Shares:
    """`share` and `basis` of every delivery that is part of a lot."""

    def __init__(self, farm, traces):
        self.farm, self.traces = farm, traces
        self.balance = Balance(farm)

    def of(self, subject):
        proportions = self.balance.proportions(subject)
        found = {}
        for lot, reached in self.traces.back(subject).items():
            if reached.relation != PART or lot not in self.balance.column or lot == subject:
                continue
            if proportions is None:
                found[lot] = (None, UNKNOWN)
            else:
                found[lot] = (proportions[self.balance.column[lot]], self.basis(lot, subject))
        return found

    def basis(self, delivery, subject):
        """READING: the weakest amount of all flows on any way by which the delivery is part of it."""
        marks = [self.balance.marks[n] for n in self.traces.part_flows(delivery, subject)]
        return max(marks, key=WEAKNESS.get)


def compare(farm, subject, expected, answer):
    problems = []
    listed = [item for item in answer["back"] if farm.key(item["code"]) != subject]
    for item in listed:
        lot = farm.key(item["code"])
        share, basis = expected.get(lot, (None, None))
        told = item["share"]
        if (share is None) != (told is None) or share is not None and abs(share - told) > TOLERANCE:
            problems.append(f"{lot}: share should be {share}, is {told}")
        if basis != item["basis"]:
            problems.append(f"{lot}: basis should be {basis}, is {item['basis']}")
    known = [item["share"] for item in listed if item["share"] is not None]
    if known and abs(sum(known) - 1) > TOLERANCE * len(known):
        problems.append(f"shares sum to {sum(known)}")
    return [f"trace {farm.lots[subject].code or subject}: {p}" for p in problems]


def main(sheets_folder, farm_folder, castlot):
    farm = farm_of(read_sheets(sheets_folder, Path(farm_folder) / "castlot.toml"))
    shares = Shares(farm, Traces(farm))
    problems = []
    for lot in farm.lots:
        problems += compare(farm, lot, shares.of(lot), ask(castlot, farm_folder, lot, "back"))
    print("\n".join([*problems, f"share judge: {len(farm.lots)} lots, {len(problems)} differences"]))
    return 1 if problems else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
