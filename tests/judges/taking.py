"""What each kind of entry needs before it can be taken, and what it does: diary.md, sections 3 to 5.

`POSSIBLE` and `TAKE` are asked by `ordering.Day`; a sheet that is in neither moves no material.
"""

from fractions import Fraction

from farm_parts import CLASS_OF_KIND, WHOLE
from reading import amount, names


def share_of(text):
    text = text.strip()
    if text.endswith("%"):
        return Fraction(text[:-1].strip()) / 100
    if " of " in text:
        part, whole = text.split(" of ")
        return Fraction(int(part), int(whole))
    return Fraction(text)


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


def can_split(day, entry):
    return day.bed_in(entry.get("bin"), entry, first=True) is not None and day.free(entry.get("to_bin"))


def take_split(day, entry):
    source = day.bed_in(entry.get("bin"), entry, first=True)
    target = day.new_lot(entry, "bed")
    day.put(entry.get("to_bin"), target)
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
    day.draw_all(entry, items, day.new_lot(entry, entry.get("kind"), blended_unit(day, items)))


def blended_unit(day, items):
    """READING: a blend is kept in the unit that its sources are kept in, in grams where those differ."""
    kept = [day.farm.lots[day.farm.key(item.lot)].unit or (item.amount and item.amount.unit) for item in items]
    units = {unit for unit in kept if unit}
    return units.pop() if len(units) == 1 else "g" if units else None


def take_pack(day, entry):
    # READING: opened packs have no unit of their own; what is drawn from them counts as it was typed.
    run = day.new_lot(entry, "pack run", None, int(entry.get("count")))
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
            day.farm.steps.append(("drop", key, amount(quantity, day.sheets.measures), entry.when))


def can_test(day, entry):
    return day.farm.key(entry.get("lot")) is not None or day.farm.bins.get(entry.get("lot")) is not None


def take_test(day, entry):
    if entry.get("test") in ("density", "per_kg"):
        key = day.farm.key(entry.get("lot")) or day.farm.bins.get(entry.get("lot"))
        value = Fraction(entry.get("value").split()[0])
        day.farm.steps.append(("test", key, entry.get("test"), entry.when, value))


POSSIBLE = {
    "beds": can_bed, "feeds": can_feed, "splits": can_split, "tips": can_tip, "sievings": can_sieve,
    "blends": can_draw, "packs": can_draw, "sales": can_sell, "thrown": can_throw, "tests": can_test,
    "checks": can_check, "skips": can_check,
}
TAKE = {
    "deliveries": take_delivery, "beds": take_bed, "feeds": take_feed, "splits": take_split, "tips": take_tip,
    "sievings": take_sieving, "blends": take_blend, "packs": take_pack, "thrown": take_thrown,
    "tests": take_test, "checks": remember_vague, "skips": remember_vague,
}
