"""Balance judge: every lot's mass balance again, in plain Python from the sheets, to the gram.

mass_balance.py CASTLOT [DEMO-FARM]

Deliveries and batches are walked through entry by entry in Order (diary.md, section 3), beds flow by flow. Whole
numbers only: what a test turns is cut to whole units, a split takes whole grams, and a weight divided over beds is
divided by the bulk each holds, the grams left over going to the largest remainders. Compared with `castlot balance`.

It also holds castlot's shares against (1 - f)^n: a bed topped up n times by a fraction f, with numpy.
"""

import json
import sys
import tempfile
from fractions import Fraction
from pathlib import Path

import numpy as np

from castlot_process import ask, run
from farm_parts import BULK, TOUCH, WHOLE
from ordering import farm_of
from random_farm import CONFIG
from reading import amount, draws, names, read_sheets

TERMS = ("came_in", "used", "thrown", "lost", "written_off", "in_store", "unaccounted")


class Tests:
    """Densities and counts to the kilogram. The last before a moment, else the first after it."""

    def __init__(self, farm):
        self.found = {}
        for name, *what in farm.steps:
            if name == "test":
                lot, test, when, value = what
                self.found.setdefault((lot, test), []).append((when.lo, when.hi, value))

    def value(self, lot, test, when):
        values = sorted(self.found.get((lot, test), []), key=lambda found: found[:2])
        before = [value for lo, _, value in values if lo <= when.hi]
        return before[-1] if before else values[0][2] if values else None

    def turned(self, lot, quantity, unit, when):
        """An amount in another unit, in whole ones; None where no test turns it."""
        if quantity.unit == unit:
            return quantity.value
        density, per_kg = self.value(lot, "density", when), self.value(lot, "per_kg", when)
        ways = {("mL", "g"): (density, 1000), ("g", "pieces"): (per_kg, 1000)}
        if (quantity.unit, unit) in ways:
            rate, over = ways[quantity.unit, unit]
            return None if rate is None else int(Fraction(quantity.value) * rate / over)
        rate, over = ways.get((unit, quantity.unit), (None, None))
        return None if rate is None else int(Fraction(quantity.value) * over / rate)


class Stuff:
    """Deliveries and batches, each in its own unit."""

    def __init__(self, farm, sheets, tests):
        self.farm, self.sheets, self.tests, self.lots = farm, sheets, tests, {}
        for entry in farm.taken:
            getattr(self, f"on_{entry.sheet}", lambda entry: None)(entry)

    def new(self, entry, quantity):
        key = self.farm.key(entry.get("code"))
        value = quantity.value or 0
        self.lots[key] = dict.fromkeys(TERMS, 0) | {"came_in": value, "left": value, "unit": self.farm.lots[key].unit}

    def take(self, entry, item, term):
        key = self.farm.key(item.lot)
        lot = self.lots.get(key)
        if lot is None or item.amount is None or item.amount.value is None:
            return
        value = self.tests.turned(key, item.amount, lot["unit"], entry.when)
        if value is not None:
            lot[term] += value
            lot["left"] -= value

    def on_deliveries(self, entry):
        self.new(entry, amount(entry.get("amount"), self.sheets.measures))

    def on_sievings(self, entry):
        whole = amount(entry.get("amount"), self.sheets.measures)
        if whole.value is None:
            parts = [item.amount for item in draws(entry.get("from"), self.sheets.measures)]
            whole = type(whole)(sum(part.value for part in parts), parts[0].unit, parts[0].mark)
        self.new(entry, whole)

    def on_blends(self, entry):
        items = draws(entry.get("from"), self.sheets.measures)
        unit = self.farm.lots[self.farm.key(entry.get("code"))].unit
        made = [self.blended(item, unit, entry.when) for item in items]
        for item in items:
            self.take(entry, item, "used")
        self.new(entry, type(items[0].amount)(sum(made), unit, "weighed"))

    def blended(self, item, unit, when):
        """READING: a litre without a density counts as a kilogram where a blend is kept in grams."""
        key = self.farm.key(item.lot)
        own = self.lots[key]["unit"]
        value = self.tests.turned(key, item.amount, own, when)
        if own == unit:
            return value
        drawn = type(item.amount)(value, own, "guess")
        return self.tests.turned(key, drawn, unit, when) or value

    def drawn(self, entry, column):
        for item in draws(entry.get(column), self.sheets.measures):
            self.take(entry, item, "used")

    def on_beds(self, entry):
        self.drawn(entry, "takes")

    on_feeds = on_beds

    def on_packs(self, entry):
        self.drawn(entry, "from")

    def on_thrown(self, entry):
        for part in names(entry.get("what")):
            if self.farm.key(part.split()[0]) in self.lots:  # neither packs nor a whole bed
                self.take(entry, draws(part, self.sheets.measures)[0], "thrown")

    def on_counts(self, entry):
        key = self.farm.key(entry.get("lot"))
        if (lot := self.lots.get(key)) is not None:
            found = amount(entry.get("found"), self.sheets.measures).value
            lot["lost"] += max(lot["left"], 0) - found
            lot["left"] = found

    def terms(self, key):
        lot = self.lots[key]
        return closed(lot | {"in_store": max(lot["left"], 0)})


class Beds:
    """Beds in grams, worms included; weights divided over beds go by bulk alone."""

    def __init__(self, farm, tests):
        self.farm, self.tests = farm, tests
        self.lots = {key: dict.fromkeys((*TERMS, "bulk"), 0) for key, lot in farm.lots.items() if lot.kind == "bed"}
        self.thrown_whole = thrown_whole(farm)
        for name, *what in farm.steps:
            if name == "flows":
                self.flows(what[0])

    def held(self, bed):
        lot = self.lots[bed]
        return max(0, lot["came_in"] - lot["used"] - lot["thrown"])

    def flows(self, made):
        for flow, grams in [(flow, self.weight(flow)) for flow in made]:
            bulk = grams if flow.flow_class in (BULK, WHOLE) else 0
            if (source := self.lots.get(flow.source)) is not None:
                source["used"] += grams
                source["bulk"] = max(0, source["bulk"] - bulk)
            if (target := self.lots.get(flow.target)) is not None:
                target["came_in"] += grams
                target["bulk"] += bulk

    def weight(self, flow):
        if flow.share is not None:
            return int(self.held(flow.source) * flow.share)
        if flow.divided is not None:
            whole, beds = flow.divided
            parts = divided(self.in_grams(flow, whole), [self.lots[bed]["bulk"] for bed in beds])
            return parts[beds.index(flow.source)]
        return self.in_grams(flow, flow.amount)

    def in_grams(self, flow, quantity):
        if quantity.value is None or flow.flow_class == TOUCH:
            return 0
        measured = flow.target if self.farm.lots[flow.source].kind == "bed" else flow.source
        own = self.farm.lots[flow.source].unit
        if own not in (None, quantity.unit):  # first into the lot's own unit, as it is drawn
            value = self.tests.turned(flow.source, quantity, own, flow.when)
            quantity = type(quantity)(value or 0, own, "guess")
        grams = self.tests.turned(measured, quantity, "g", flow.when)
        return grams if grams is not None else quantity.value if quantity.unit == "mL" else 0

    def terms(self, key):
        lot, left = dict(self.lots[key]), self.held(key)
        if key in self.thrown_whole:
            lot["thrown"] = left
        else:
            lot["written_off" if key in self.farm.ended else "in_store"] = left
        return closed(lot)


def thrown_whole(farm):
    """Beds that were thrown out whole: the last one bedded up in, or split into, the bin that the row names."""
    inside, thrown = {}, set()
    for entry in farm.taken:
        if entry.sheet in ("beds", "splits"):
            inside[entry.get("to_bin") or entry.get("bin")] = farm.key(entry.get("code"))
        elif entry.sheet == "thrown" and " " not in entry.get("what"):
            thrown.add(farm.key(entry.get("what")) or inside.get(entry.get("what")))
    return thrown


def divided(whole, weights):
    total = sum(weights)
    if total == 0:
        return [0] * len(weights)
    parts = [whole * weight // total for weight in weights]
    by_rest = sorted(range(len(weights)), key=lambda at: (-(whole * weights[at] % total), at))
    for at in by_rest[: whole - sum(parts)]:
        parts[at] += 1
    return parts


def closed(lot):
    out = sum(lot[term] for term in TERMS if term not in ("came_in", "unaccounted"))
    return {term: lot[term] for term in TERMS} | {"unaccounted": lot["came_in"] - out}


def judge_demo(castlot, folder, scratch):
    run(castlot, "--farm", folder, "export", "--sheets", scratch / "export")
    sheets = read_sheets(scratch / "export", Path(folder) / "castlot.toml")
    farm = farm_of(sheets)
    tests = Tests(farm)
    stuff, beds = Stuff(farm, sheets, tests), Beds(farm, tests)
    told = json.loads(run(castlot, "--farm", folder, "balance", "--from", "2020-01-01", "--to", "2039-12-31", "--json"))
    problems, judged = [], 0
    for balance in told["balances"]:
        key = farm.key(balance["code"])
        if balance["unit"] == "packs":
            continue
        judged += 1
        wanted = (beds if balance["kind"] == "bed" else stuff).terms(key)
        is_ = {term: balance[term] for term in TERMS}
        if wanted != is_:
            odd = {term: (wanted[term], is_[term]) for term in TERMS if wanted[term] != is_[term]}
            problems.append(f"balance {balance['ref'] or balance['code']}: should be, is {odd}")
    return judged, problems


def judge_closed_forms(castlot, scratch):
    problems = []
    for number, (taken, times) in enumerate([(1000, 1), (2500, 6), (300, 15), (5000, 4)]):
        folder = scratch / f"topped-{number}"
        run(castlot, "new", folder)
        (folder / "castlot.toml").write_text(CONFIG, encoding="utf-8")
        rows = [("delivery", "--kind bedding --name first --supplier f --amount 10kg --ref first --when 2026-03-01"),
                ("delivery", "--kind bedding --name then --supplier f --amount 500kg --ref then --when 2026-03-01"),
                ("bed", "--bin A01 --takes first_10kg --ref b1 --when 2026-03-02")]
        for n in range(times):
            day = f"2026-04-{n + 1:02}"
            rows.append(("sieving", f"--kind castings --from A01_{taken}g --ref s{n} --when {day}T09:00"))
            rows.append(("feed", f"--bin A01 --takes then_{taken}g --when {day}T10:00"))
        rows.append(("sieving", "--kind castings --from A01_1kg --ref end --when 2026-05-01"))
        for noun, flags in rows:
            run(castlot, "--farm", folder, "record", noun, *[part.replace("_", " ") for part in flags.split()])
        shares = {item["ref"]: item["share"] for item in ask(castlot, folder, "end", "back")["back"] if item["share"]}
        wanted = np.power(1 - taken / 10_000, times)
        if not np.isclose(shares["first"], wanted, atol=1e-9, rtol=0):
            problems.append(f"{taken} g, {times} times: the first bedding should be {wanted}, is {shares['first']}")
    return problems


def main(castlot, demo=None):
    with tempfile.TemporaryDirectory() as scratch:
        scratch = Path(scratch)
        if demo is None:
            demo = scratch / "demo"
            run(castlot, "demo", demo)
        judged, problems = judge_demo(castlot, demo, scratch)
        problems += judge_closed_forms(castlot, scratch)
    print("\n".join([*problems, f"balance judge: {judged} lots, {len(problems)} differences"]))
    return 1 if problems or not judged else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
