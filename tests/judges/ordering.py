"""Puts the entries of a farm in the Order of diary.md section 3, and finds lots, beds and flows.

Which bed was in a bin, which lot a name means and what flowed where all follow from that Order. The
two judges of traces (`trace_graph.py`, `shares.py`) start from what is found here.

Where the page leaves a choice, the choice made is marked READING.
"""

from collections import defaultdict
from dataclasses import dataclass, field
from fractions import Fraction

from reading import Amount, Moment, UNKNOWN, amount, draws, names

BULK, LIVE, WHOLE, TOUCH = "bulk", "live", "whole", "touch"

# Section 5: the class of a flow out of a lot of this kind, where it is not counted in pieces.
CLASS_OF_KIND = {
    "manure": BULK, "feedstock": BULK, "bedding": BULK, "grit": BULK, "packing": BULK, "feed": BULK,
    "castings": BULK, "overs": BULK, "liquid": BULK, "worms": LIVE, "cocoons": WHOLE,
    "pack run": WHOLE,  # packs opened again
}


class Refused(Exception):
    """The entries cannot all stand: one of them is never possible, or could mean two beds."""


@dataclass
class Lot:
    key: str
    code: str
    ref: str
    kind: str
    when: Moment
    unit: str | None = None
    count: int = 0
    delivered: bool = False


@dataclass(frozen=True)
class Flow:
    number: int
    source: str
    target: str
    when: Moment
    flow_class: str
    amount: Amount | None  # None: by `share`, or by dividing what `divided` says
    share: Fraction | None = None
    divided: tuple | None = None  # (the whole amount, the source beds)


@dataclass
class Farm:
    lots: dict = field(default_factory=dict)
    names: dict = field(default_factory=dict)
    bins: dict = field(default_factory=dict)  # bin -> key of the bed in it
    flows: list = field(default_factory=list)
    # What happened, in Order: ("flows", [Flow]), ("drop", key, Amount), ("end", key), ("test", key, name, value)
    steps: list = field(default_factory=list)
    taken: list = field(default_factory=list)
    ended: set = field(default_factory=set)

    def key(self, name):
        return self.names.get(name)

    def where(self, bed):
        return next((bin for bin, key in self.bins.items() if key == bed), None)


def share_of(text):
    text = text.strip()
    if text.endswith("%"):
        return Fraction(text[:-1].strip()) / 100
    if " of " in text:
        part, whole = text.split(" of ")
        return Fraction(int(part), int(whole))
    return Fraction(text)


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


def can_bed(day, entry):
    return day.free(entry.get("bin")) and day.lots_exist(day.drawn(entry, "takes"))


def take_bed(day, entry):
    bed = day.new_lot(entry, "bed")
    day.put(entry.get("bin"), bed)
    day.draw_all(entry, day.drawn(entry, "takes"), bed)


def can_feed(day, entry):
    return day.bed_in(entry.get("bin"), entry) is not None and day.lots_exist(day.drawn(entry, "takes"))


def take_feed(day, entry):
    remember_vague(day, entry)
    day.draw_all(entry, day.drawn(entry, "takes"), day.bed_in(entry.get("bin"), entry))


def remember_vague(day, entry):
    if not entry.when.timed and day.farm.key(entry.get("bin")) is None:
        day.vague.append(entry)


def can_check(day, entry):
    return day.bed_in(entry.get("bin"), entry) is not None


def makes_a_bed(entry):
    return bool(entry.get("code") or entry.get("ref"))


def can_split(day, entry):
    if day.bed_in(entry.get("bin"), entry, first=True) is None:
        return False
    to_bin = entry.get("to_bin")
    if makes_a_bed(entry):
        return day.free(to_bin)
    return day.bed_in(to_bin, entry) is not None or day.free(to_bin)


def take_split(day, entry):
    source = day.bed_in(entry.get("bin"), entry, first=True)
    to_bin = entry.get("to_bin")
    target = None if makes_a_bed(entry) else day.bed_in(to_bin, entry)
    if target is None:
        target = day.new_lot(entry, "bed")
        day.put(to_bin, target)
    made = day.flow(source, target, entry, WHOLE, None, share=share_of(entry.get("share")))
    day.farm.steps.append(("flows", [made]))


def can_tip(day, entry):
    return day.bed_in(entry.get("bin"), entry, first=True) is not None


def take_tip(day, entry):
    source = day.bed_in(entry.get("bin"), entry, first=True)
    target = day.bed_in(entry.get("to_bin"), entry)
    if target is None:  # into an empty bin: the bed moves and keeps its code
        day.farm.bins.pop(day.farm.where(source))
        day.put(entry.get("to_bin"), source)
        return
    made = day.flow(source, target, entry, WHOLE, None, share=Fraction(1))
    day.farm.steps.append(("flows", [made]))
    day.end(source)


def can_sieve(day, entry):
    return all(day.bed_in(item.lot, entry, first=True) for item in day.drawn(entry, "from"))


def take_sieving(day, entry):
    items = day.drawn(entry, "from")
    beds = [day.bed_in(item.lot, entry, first=True) for item in items]
    whole = amount(entry.get("amount"), day.sheets.measures)
    given = [item.amount for item in items]
    kind = entry.get("kind")
    unit = next((a.unit for a in [whole, *given] if a is not None and a.unit), None)
    batch = day.new_lot(entry, kind, unit)
    made = []
    for bed, quantity in zip(beds, given):
        divided = None
        if quantity is None and len(beds) == 1:
            quantity = whole  # READING: nothing to divide, so it keeps its own mark
        elif quantity is None:
            divided = (whole, tuple(beds))
        made.append(day.flow(bed, batch, entry, CLASS_OF_KIND[kind], quantity, divided=divided))
    day.farm.steps.append(("flows", made))
    clears = names(entry.get("clears"))
    for name, bed in zip((item.lot for item in items), beds):
        if clears == ["all"] or name in clears or bed in [day.bed_in(c, entry) for c in clears]:
            day.clearing.append((bed, entry.when))
    day.close_cleared()


def can_draw(day, entry):
    return day.lots_exist(day.drawn(entry, "from"))


def take_blend(day, entry):
    items = day.drawn(entry, "from")
    unit = next((item.amount.unit for item in items if item.amount and item.amount.unit), None)
    day.draw_all(entry, items, day.new_lot(entry, entry.get("kind"), unit))


def take_pack(day, entry):
    net = amount(day.sheets.nets.get(entry.get("product"), ""))
    run = day.new_lot(entry, "pack run", net.unit, int(entry.get("count")))
    day.draw_all(entry, day.drawn(entry, "from"), run)


def take_delivery(day, entry):
    day.new_lot(entry, entry.get("kind"), amount(entry.get("amount"), day.sheets.measures).unit)


def sold_runs(text):
    """Names of the runs in a `packs` cell: `run-7 #1-12; run-8 x5`, and `run-7/3` in scanned form."""
    return [part.split()[0].split("/")[0] for part in names(text)]


def can_sell(day, entry):
    return all(day.farm.key(run) is not None for run in sold_runs(entry.get("packs")))


def thrown_bed(day, entry):
    """The bed that ends, where a bin (or a bed's name) stands alone in `what`."""
    what = entry.get("what")
    return None if " " in what or ";" in what else day.bed_in(what, entry)


def can_throw(day, entry):
    if thrown_bed(day, entry) is not None:
        return True
    parts = [part.split()[0].split("/")[0] for part in names(entry.get("what"))]
    return all(day.farm.key(part) is not None for part in parts)


def take_thrown(day, entry):
    bed = thrown_bed(day, entry)
    if bed is not None:
        day.end(bed)
        return
    for part in names(entry.get("what")):
        name, _, quantity = part.partition(" ")
        key = day.farm.key(name.split("/")[0])
        if day.farm.lots[key].kind != "pack run":
            day.farm.steps.append(("drop", key, amount(quantity, day.sheets.measures)))


def can_test(day, entry):
    return day.farm.key(entry.get("lot")) is not None or day.farm.bins.get(entry.get("lot")) is not None


def take_test(day, entry):
    if entry.get("test") in ("density", "per_kg"):
        key = day.farm.key(entry.get("lot")) or day.farm.bins.get(entry.get("lot"))
        day.farm.steps.append(("test", key, entry.get("test"), Fraction(entry.get("value").split()[0])))


POSSIBLE = {
    "beds": can_bed, "feeds": can_feed, "splits": can_split, "tips": can_tip, "sievings": can_sieve,
    "blends": can_draw, "packs": can_draw, "sales": can_sell, "thrown": can_throw, "tests": can_test,
    "checks": can_check,
}
TAKE = {
    "deliveries": take_delivery, "beds": take_bed, "feeds": take_feed, "splits": take_split, "tips": take_tip,
    "sievings": take_sieving, "blends": take_blend, "packs": take_pack, "thrown": take_thrown,
    "tests": take_test, "checks": remember_vague,
}


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
