"""What there is to do on a random farm: each chore adds rows for one piece of work, or none."""

from dataclasses import dataclass
from datetime import date


@dataclass
class Run:
    ref: str
    product: str
    count: int
    since: date
    next_serial: int = 1
    used: int = 0
    closed: bool = False


def of_the_day(grower):
    """The day's chores: stock at the start of the season, then a mixture of everything."""
    rng = grower.rng
    if not grower.stock:
        return [bring_bedding, bring_bedding, bring_feed, bring_worms, bring_packing, bed_up, bed_up, bed_up]
    return rng.choices(list(OFTEN), weights=list(OFTEN.values()), k=rng.randint(3, 8))


def bring(grower, kind, ref, unit, amount_text, value):
    name = {"manure": "Well rotted, from a loose box", "feedstock": "Vegetable trimmings"}.get(kind, f"Some {kind}")
    extra = {"animal": "horse"} if kind == "manure" else {}
    grower.add("deliveries", kind=kind, name=name, supplier=grower.rng.choice(("A yard upriver", "The mill")),
               amount=amount_text, ref=ref, **extra)
    grower.keep(ref, kind, unit, value)


def bring_bulk(grower, kind, word):
    ref, kilos, roll = grower.ref(word), grower.rng.randint(30, 200), grower.rng.random()
    text, value = f"{kilos}kg", kilos * 1000
    if roll < 0.15:
        text = f"~{text}"
    elif roll < 0.25:
        text, value = "?", None
    bring(grower, kind, ref, "g", text, value)


def bring_bedding(grower):
    bring_bulk(grower, "bedding", "straw")


def bring_feed(grower):
    kind = grower.rng.choice(("manure", "manure", "feedstock", "grit"))
    bring_bulk(grower, kind, kind)


def bring_worms(grower):
    kilos = grower.rng.randint(5, 12)
    bring(grower, "worms", grower.ref("stock"), "g", f"{kilos}kg", kilos * 1000)


def bring_packing(grower):
    bring(grower, "packing", grower.ref("bags"), "pieces", "500", 500)
    bring(grower, "packing", grower.ref("peatless"), "g", "60kg", 60_000)


def start_bed(grower, bin, worms, when=None):
    """A bed starts on weighed bedding that is never a feed, so that its first source is plain."""
    bedding = grower.lots("bedding", "bedding blend")
    if not bedding or worms is None:
        return
    straw = grower.rng.choice(bedding)
    if straw.left is not None and straw.left < 7000:
        return
    grams = grower.rng.randrange(3000, 7000, 50)
    if straw.left is not None:
        straw.left -= grams
    taken, _ = grower.draw(worms, 900)
    ref = grower.ref("bed")
    grower.add("beds", when=when, bin=bin, takes=f"{straw.ref} {grams}g; {taken}", ref=ref)
    grower.held[ref] = grams


def bed_up(grower):
    free, worms = grower.free_bins(), grower.lots("worms", "cocoons")
    if free and worms:
        start_bed(grower, grower.rng.choice(free), grower.rng.choice(worms))


def feed(grower):
    beds, feeds = grower.beds(), grower.lots("manure", "feedstock", "grit", "feed", "overs", "castings")
    if not beds or not feeds:
        return
    bin, bed = grower.rng.choice(beds)
    chosen = grower.rng.sample(feeds, min(len(feeds), grower.rng.choice((1, 1, 2))))
    takes, total = [], 0
    for stock in chosen:
        text, value = grower.draw(stock, 2500)
        takes.append(text)
        total += value or 0
    target = bed if grower.rng.random() < 0.2 else bin
    grower.add("feeds", bin=target, takes="; ".join(takes))
    grower.held[bed] = grower.held.get(bed, 0) + total


def check(grower):
    if grower.beds():
        bin, _ = grower.rng.choice(grower.beds())
        grower.add("checks", bin=bin, feed_left=grower.rng.choice(("none", "some", "lots")), temperature_c="19")


def skip(grower):
    if grower.beds():
        grower.add("skips", bin=grower.rng.choice(grower.beds())[0], why="food left")


def move(grower):
    if grower.beds():
        bin, _ = grower.rng.choice(grower.beds())
        grower.serial += 1
        grower.add("moves", bin=bin, place=f"R{bin[0]}/S2/P{grower.serial}")


def split(grower):
    if not grower.beds():
        return
    bin, bed = grower.rng.choice(grower.beds())
    part, whole = grower.rng.choice(((1, 2), (1, 3), (1, 4), (2, 5)))
    text = grower.rng.choice((f"{part}/{whole}", f"{part} of {whole}", f"{part * 100 // whole}%"))
    if text.endswith("%"):
        whole = 100
        part = int(text[:-1])
    moved = grower.held.get(bed, 0) * part // whole
    if grower.free_bins():
        ref = grower.ref("half")
        grower.add("splits", bin=bin, share=text, to_bin=grower.rng.choice(grower.free_bins()), ref=ref)
        grower.held[bed] = grower.held.get(bed, 0) - moved
        grower.held[ref] = moved


def tip(grower):
    beds = grower.beds()
    if len(beds) < 3:
        return
    (bin, bed), (other_bin, other) = grower.rng.sample(beds, 2)
    if grower.free_bins() and grower.rng.random() < 0.4:
        grower.add("tips", bin=bin, to_bin=grower.rng.choice(grower.free_bins()))
    else:
        grower.add("tips", bin=bin, to_bin=other_bin)
        grower.held[other] = grower.held.get(other, 0) + grower.held.pop(bed, 0)


def sieve(grower):
    """One to three beds, one moment, a row a kind; often cleared and bedded up again the same day."""
    beds = [(bin, bed) for bin, bed in grower.beds() if grower.held.get(bed, 0) > 2500 and bed not in grower.touched]
    if not beds:
        return
    chosen = grower.rng.sample(beds, min(len(beds), grower.rng.choice((1, 1, 2, 3))))
    grower.touched |= {bed for _, bed in chosen}
    when = grower.when()
    kinds = ["castings", *grower.rng.sample(("worms", "overs", "cocoons", "liquid"), grower.rng.randint(0, 3))]
    clears = grower.rng.choice(("", "all", chosen[0][0]))
    made = {kind: harvest(grower, when, kind, chosen, clears if kind == kinds[-1] else "") for kind in kinds}
    emptied = chosen if clears == "all" else chosen[:1] if clears else []
    for bin, bed in emptied:
        grower.held.pop(bed, None)
        if grower.rng.random() < 0.7 and made.get("worms"):
            start_bed(grower, bin, grower.stock[made["worms"]])


def harvest(grower, when, kind, chosen, clears):
    rng, unit = grower.rng, "mL" if kind == "liquid" else "g"
    most = {"castings": 900, "overs": 300, "worms": 500, "cocoons": 40, "liquid": 300}[kind]
    ref, each = grower.ref(kind), [rng.randrange(most // 2, most, 10) for _ in chosen]
    places = [bed if rng.random() < 0.2 else bin for bin, bed in chosen]
    row, total = {"from_": "; ".join(places), "amount": f"{sum(each)}{unit}"}, sum(each)
    roll = rng.random()
    if roll < 0.4:
        marks = [rng.choice(("", "", "~")) for _ in chosen]
        parts = [f"{place} {mark}{part}{unit}" for place, mark, part in zip(places, marks, each)]
        row = {"from_": "; ".join(parts), "amount": ""}
    elif roll < 0.4 + grower.vagueness:
        row, total = {"from_": "; ".join(f"{place} ?" for place in places), "amount": ""}, None
    elif roll < 0.65:
        row["amount"] = "~" + row["amount"]
    grower.add("sievings", when=when, kind=kind, clears=clears, ref=ref, **row)
    grower.keep(ref, kind, unit, total)
    for (_, bed), part in zip(chosen, each):
        grower.held[bed] = grower.held.get(bed, 0) - part
    return ref


def blend(grower):
    kind = grower.rng.choice(("feed", "feed", "bedding", "castings", "liquid"))
    sources = {
        "feed": grower.lots("manure", "feedstock", "grit", "overs"),
        "bedding": grower.lots("bedding", "overs"),
        "castings": [s for s in grower.lots("castings") if s.unit == "g"],
        "liquid": grower.lots("liquid"),
    }[kind]
    if len(sources) < 2:
        return
    texts, total = [], 0
    for stock in grower.rng.sample(sources, min(len(sources), grower.rng.randint(2, 4))):
        text, value = grower.draw(stock, 9000)
        texts.append(text)
        total = None if value is None or total is None else total + value
    opened = open_packs(grower) if kind == "castings" else None
    if opened:
        texts.append(opened)
    ref = grower.ref("mix")
    grower.add("blends", kind=kind, from_="; ".join(texts), ref=ref)
    kept_as = "bedding blend" if kind == "bedding" else kind
    grower.keep(ref, kept_as, "mL" if kind == "liquid" else "g", total)


def open_packs(grower):
    """One or two bags of a run, opened again: `run-7/1-2 2kg`."""
    runs = [r for r in usable_runs(grower) if r.product == "bag1" and r.count - r.used >= 2]
    if not runs or grower.rng.random() < 0.3:
        return None
    run = grower.rng.choice(runs)
    count = grower.rng.randint(1, 2)
    first = take_serials(grower, run, count)
    serials = str(first) if count == 1 else f"{first}-{first + count - 1}"
    return f"{run.ref}/{serials} {count}kg"


def take_serials(grower, run, count):
    first = run.next_serial
    run.next_serial += count
    run.used += count
    grower.touched.add(run.ref)
    return first


def usable_runs(grower):
    return [r for r in grower.runs.values() if not r.closed and r.used < r.count and r.ref not in grower.touched]


def pack(grower):
    product = grower.rng.choice(("bag1", "bag1", "tub30", "bottle"))
    count = grower.rng.randint(3, 8)
    bags = [s for s in grower.lots("packing") if s.unit == "pieces" and s.left > 200]
    filler = [s for s in grower.lots("packing") if s.unit == "g"]
    wanted = {"bag1": ["castings"], "tub30": ["worms"], "bottle": ["liquid"]}[product]
    sources = grower.lots(*wanted)
    if not sources or not bags:
        return
    chosen = grower.rng.sample(sources, min(len(sources), grower.rng.choice((1, 1, 2))))
    if product == "tub30" and filler:
        chosen.append(grower.rng.choice(filler))
    texts = [grower.draw(stock, count * 900)[0] for stock in chosen]
    bag = grower.rng.choice(bags)
    bag.left -= count
    ref = grower.ref("run")
    grower.add("packs", product=product, count=str(count), from_="; ".join([*texts, f"{bag.ref} {count}"]), ref=ref)
    grower.runs[ref] = Run(ref, product, count, grower.today)


def packs_of(grower):
    """A cell of `packs`: serials, a number nobody noted, or all that is left."""
    runs = usable_runs(grower)
    if not runs:
        return None
    cells = []
    for run in grower.rng.sample(runs, min(len(runs), grower.rng.choice((1, 1, 2)))):
        count, roll = grower.rng.randint(1, run.count - run.used), grower.rng.random()
        if roll < 0.15 and run.since < grower.today:
            run.closed = True
            grower.touched.add(run.ref)
            cells.append(f"{run.ref} all")
        elif roll < 0.45:
            run.used += count
            run.closed = True  # later serials might be among these: leave the run alone
            grower.touched.add(run.ref)
            cells.append(f"{run.ref} x{count}")
        else:
            first = take_serials(grower, run, count)
            cells.append(f"{run.ref} #{first}" + (f"-{first + count - 1}" if count > 1 else ""))
    return "; ".join(cells)


def sell(grower):
    packs = packs_of(grower)
    if packs and grower.rng.random() < 0.6:
        grower.add("sales", packs=packs, buyer=f"Grower {grower.rng.randint(1, 9)}", contact="01632 960456")
    elif packs:
        grower.add("sales", packs=packs, market="Quay market")


def throw(grower):
    roll, lots = grower.rng.random(), grower.lots("overs", "castings", "feedstock")
    if roll < 0.5 and lots:
        stock = grower.rng.choice(lots)
        text, _ = grower.draw(stock, 1500)
        grower.add("thrown", what=text, why="mouldy")
    elif roll < 0.7 and len(grower.beds()) > 5:
        bin, bed = grower.rng.choice(grower.beds())
        grower.held.pop(bed, None)
        grower.add("thrown", what=bin, why="a sour bed")
    else:
        packs = packs_of(grower)
        if packs:
            grower.add("thrown", what=packs, why="torn")


def test_density(grower):
    """On a later day than the batch was made; a whole number of grams in 100 mL, so that nothing is rounded."""
    fresh = [s for s in grower.lots("castings") if s.since < grower.today and s.density is None and s.unit == "g"]
    if fresh:
        stock = fresh[-1]
        stock.density, stock.tested = grower.rng.randrange(400, 800, 10), grower.today
        value = str(stock.density)
        grower.add("tests", lot=stock.ref, test="density", value=value, unit="g/L")


OFTEN = {
    bring_bedding: 2, bring_feed: 4, bring_worms: 1, bring_packing: 1, bed_up: 5, feed: 18, check: 4, skip: 1,
    split: 5, tip: 3, sieve: 9, blend: 6, pack: 5, sell: 5, throw: 2, test_density: 3, move: 1,
}
