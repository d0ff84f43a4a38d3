"""Puts the entries of a farm in the Order of diary.md section 3, and finds lots, beds and flows.

Which bed was in a bin, which lot a name means and what flowed where all follow from that Order. The
two judges of traces (`trace_graph.py`, `shares.py`) start from what is found here.

Where the page leaves a choice, the choice made is marked READING, here and in the other judges.
"""

from collections import defaultdict

from farm_parts import CLASS_OF_KIND, TOUCH, Farm, Flow, Lot
from reading import UNKNOWN, Amount, draws
from taking import POSSIBLE, TAKE


class Refused(Exception):
    """The entries cannot all stand: one of them is never possible, or could mean two beds."""


class Day:
    """One day's entries being taken in Order."""

    def __init__(self, farm, entries, sheets):
        self.farm, self.sheets = farm, sheets
        self.left = sorted(entries, key=lambda e: (e.natural, e.recorded))
        self.held = {bin: [bed] for bin, bed in farm.bins.items()}
        self.clearing = []  # (bed, moment of the sieving that clears it)
        self.vague = []  # untimed feeds and checks that name a bin

    def run(self):
        while self.left:
            entry = next((e for e in self.left if self.possible(e)), None)
            if entry is None:
                raise Refused("never possible: " + "; ".join(str(e) for e in self.left))
            self.left.remove(entry)
            self.take(entry)
            self.farm.taken.append(entry)
        for entry in self.vague:
            if len(self.held.get(entry.get("bin"), [])) > 1:
                raise Refused(f"could mean either bed: {entry}")

    def possible(self, entry):
        if entry.when.timed and any(e.when.timed and e.when.lo < entry.when.lo for e in self.left):
            return False
        return POSSIBLE.get(entry.sheet, lambda day, e: True)(self, entry)

    def take(self, entry):
        TAKE.get(entry.sheet, lambda day, e: None)(self, entry)

    # Beds and bins

    def bed_in(self, name, entry, first=False):
        """The living bed that `name` means now, if it means one."""
        key = self.farm.key(name)
        if key is not None:
            return key if key not in self.farm.ended and self.farm.where(key) else None
        bed = self.farm.bins.get(name)
        if bed is not None and first and not entry.when.timed and self.held[name][0] != bed:
            return None  # an untimed sieving, tip or split means the bed that was there first
        return bed

    def put(self, bin, bed):
        self.farm.bins[bin] = bed
        self.held.setdefault(bin, []).append(bed)

    def end(self, bed):
        self.farm.bins.pop(self.farm.where(bed), None)
        self.farm.ended.add(bed)
        self.farm.steps.append(("end", bed))

    def free(self, bin):
        return self.farm.key(bin) is None and bin not in self.farm.bins

    def lots_exist(self, items):
        return all(self.farm.key(item.lot) is not None for item in items)

    def drawn(self, entry, column):
        return draws(entry.get(column), self.sheets.measures)

    # Lots and flows

    def new_lot(self, entry, kind, unit=None, count=0):
        code, ref = entry.get("code"), entry.get("ref")
        key = code or ref or f"{entry.sheet}#{entry.recorded + 2}"
        lot = Lot(key, code, ref, kind, entry.when, unit, count, entry.sheet == "deliveries")
        self.farm.lots[key] = lot
        for name in {code, ref, key} - {""}:
            self.farm.names[name] = key
        return key

    def flow(self, source, target, entry, flow_class, quantity, share=None, divided=None):
        made = Flow(len(self.farm.flows), source, target, entry.when, flow_class, quantity, share, divided)
        self.farm.flows.append(made)
        return made

    def draw_all(self, entry, items, target):
        made = []
        for item in items:
            source = self.farm.key(item.lot)
            quantity = item.amount or Amount(None, None, UNKNOWN)
            made.append(self.flow(source, target, entry, self.class_of(source, quantity), quantity))
        self.farm.steps.append(("flows", made))

    def class_of(self, source, quantity):
        lot = self.farm.lots[source]
        if lot.kind == "packing" and "pieces" in (lot.unit, quantity.unit):
            return TOUCH  # bags, tubs, lids
        return CLASS_OF_KIND[lot.kind]

    def close_cleared(self):
        """A bed that a sieving clears ends after the last sieving of the same `when`.

        READING: the last one of that `when` that draws from this bed; it comes to the same."""
        for bed, when in list(self.clearing):
            waiting = [e for e in self.left if e.sheet == "sievings" and (e.when.lo, e.when.hi) == (when.lo, when.hi)]
            if not any(bed == self.bed_in(item.lot, e) for e in waiting for item in self.drawn(e, "from")):
                self.clearing.remove((bed, when))
                self.end(bed)


def take_day(farm, entries, sheets):
    Day(farm, entries, sheets).run()


def farm_of(sheets):
    """The farm that the sheets add up to, taken day by day in Order."""
    days = defaultdict(list)
    for entry in sheets.entries:
        if entry.sheet != "bins":
            days[entry.when.day].append(entry)
    farm = Farm()
    for day in sorted(days):
        take_day(farm, days[day], sheets)
    return farm
