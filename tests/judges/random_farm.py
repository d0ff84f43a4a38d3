"""Random farms: a season of valid diary sheets from a seed.

Each day a few things are tried; what would leave the day impossible in the Order of diary.md section 3
(as `ordering.py` reads it) is dropped again, so a farm that comes out is valid by the page's own rules.
Amounts are kept within what each lot holds, so no draw is refused. What there is to do on a farm stands in
`chores.py`.

By hand: random_farm.py SEED times|dates|mixed FOLDER
"""

import copy
import csv
import random
import sys
import tomllib
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

import chores
from farm_parts import Farm
from ordering import Refused, farm_of, take_day
from reading import Entry, moment, sheets_of

TIMINGS = ("times", "dates", "mixed")
DAYS = 34
BINS = [f"{rack}{number:02}" for rack in "AB" for number in range(1, 5)]

CONFIG = """\
[farm]
name = "A farm out of a seed"
address = ["The Old Drying Shed", "Quay Lane", "Marlhythe"]
country = "GB"
timezone = "Europe/London"
phone = "01632 960123"
dates = "year-month-day"

[qr]
form = "text"

[measure]
scoop = "~350g"

[product.bag1]
name = "Worm-worked compost"
kind = "bag"
net = "1kg"
label = ["bag-small"]
sheet = "a4-3x7-63x38"

[product.tub30]
name = "Dendrobaena"
kind = "tub"
net = "30"
label = ["tub"]
sheet = "a4-3x7-63x38"

[product.bottle]
name = "Worm extract"
kind = "bottle"
net = "250mL"
label = ["bottle"]
sheet = "a4-3x7-63x38"
"""

COLUMNS = {
    "bins": "bin place",
    "deliveries": "when kind name supplier amount ref animal",
    "beds": "when bin takes ref",
    "feeds": "when bin takes",
    "skips": "when bin why",
    "checks": "when bin feed_left temperature_c",
    "splits": "when bin share to_bin ref",
    "tips": "when bin to_bin",
    "moves": "when bin place",
    "sievings": "when kind from amount clears ref",
    "blends": "when kind from ref",
    "tests": "when lot test value unit",
    "packs": "when product count from ref",
    "sales": "when packs buyer market contact",
    "thrown": "when what why",
}
# How many of the rows on which nothing else hangs are recorded after everything else.
LATE_SHARE = 0.1


@dataclass
class Stock:
    """What the generator may still use of a lot: never more than it had."""

    ref: str
    kind: str
    unit: str
    left: int | None  # None: delivered or made in an amount nobody knows, so never overdrawn
    since: date
    density: int | None = None  # g/L, once it was tested
    tested: date | None = None


@dataclass
class Grown:
    entries: list
    late: list
    timing: str

    def sheets(self):
        return sheets_of(self.entries + self.late, tomllib.loads(CONFIG))


class Grower:
    def __init__(self, seed, timing):
        self.rng = random.Random(f"{seed} {timing}")
        self.timing = timing
        self.vagueness = self.rng.choice((0, 0.01, 0.03, 0.08))  # how often an amount is `?`
        self.config = tomllib.loads(CONFIG)
        self.farm = Farm()
        self.entries, self.numbers = [], {}
        self.stock, self.runs, self.held = {}, {}, {}
        self.serial = 0
        self.today = date(2026, 2, 20)

    # A season

    def season(self):
        for _ in range(DAYS):
            self.day()
            self.today += timedelta(days=self.rng.choice((1, 1, 1, 2, 3)))
        return self.entries

    def day(self):
        morning, self.done, self.clock = self.farm, [], self.rng.randint(6 * 60, 9 * 60)
        self.touched = set()
        for chore in chores.of_the_day(self):
            before = self.copy_of_books()
            self.new = []
            chore(self)
            for entry in self.new:
                entry.recorded = self.numbers.get(entry.sheet, 0) + sum(e.sheet == entry.sheet for e in self.done)
                self.done.append(entry)
            evening = copy.deepcopy(morning)
            try:
                take_day(evening, self.done, sheets_of([], self.config))
                self.farm = evening
            except Refused:
                self.done = self.done[: len(self.done) - len(self.new)]
                self.stock, self.runs, self.held, self.touched = before
        for entry in self.done:
            self.numbers[entry.sheet] = self.numbers.get(entry.sheet, 0) + 1
        self.entries += self.done

    def copy_of_books(self):
        return copy.deepcopy((self.stock, self.runs, self.held, self.touched))

    # What the chores use

    def add(self, sheet, when=None, **row):
        row = {"when": when or self.when(), **{k.rstrip("_"): v for k, v in row.items()}}
        self.new.append(Entry(sheet, 0, row, moment(row["when"])))

    def when(self):
        """The next moment; often enough the same minute as the last one."""
        self.clock = min(self.clock + self.rng.choice((0, 1, 7, 20, 41)), 23 * 60)
        if self.timing == "dates" or self.timing == "mixed" and self.rng.random() < 0.5:
            return self.today.isoformat()
        between = self.rng.choice("T ")
        return f"{self.today.isoformat()}{between}{self.clock // 60:02}:{self.clock % 60:02}"

    def ref(self, what):
        self.serial += 1
        return f"{what}-{self.serial}"

    def beds(self):
        """(bin, ref) of the beds that stand now."""
        return sorted(self.farm.bins.items())

    def free_bins(self):
        return [bin for bin in BINS if bin not in self.farm.bins]

    def keep(self, ref, kind, unit, left):
        self.stock[ref] = Stock(ref, kind, unit, left, self.today)

    def lots(self, *kinds):
        return [s for s in self.stock.values() if s.kind in kinds and (s.left is None or s.left > 200)]

    def draw(self, stock, most):
        """`LOT QUANTITY`, within what is left: exact, a guess, or unknown now and then."""
        roll = self.rng.random()
        limit = min(most, stock.left if stock.left is not None else most)
        value = self.rng.randint(max(1, limit // 4), max(1, limit))
        if stock.unit != "pieces" and value > 100:
            value -= value % 10
        if roll < self.vagueness:
            return f"{stock.ref} ?", None
        if stock.left is not None:
            stock.left -= value
        if stock.density and stock.tested < self.today and self.rng.random() < 0.4:
            litres = max(1, value // stock.density)  # in tenths, see chores.test_density
            return f"{stock.ref} {litres * 0.1:.1f}L", litres * stock.density // 10
        mark = "~" if roll < 0.3 else ""
        return f"{stock.ref} {mark}{written(value, stock.unit, self.rng)}", value


def written(value, unit, rng):
    if unit == "pieces":
        return str(value)
    small, large = ("g", "kg") if unit == "g" else ("mL", "L")
    if rng.random() < 0.5:
        return f"{value}{small}"
    kilos = f"{value // 1000}.{value % 1000:03}".rstrip("0").rstrip(".")
    return f"{kilos}{rng.choice(('', ' '))}{large}"


def grow(seed, timing):
    """A farm whose rows stand in shuffled order, some of them to be recorded late; valid all the same."""
    for attempt in range(50):
        grower = Grower(f"{seed}.{attempt}", timing)
        entries = grower.season()
        late = [e for e in loose(entries) if grower.rng.random() < LATE_SHARE]
        early = [e for e in entries if e not in late]
        grower.rng.shuffle(early)
        grown = Grown(early, late, timing)
        renumber(early + late)
        try:
            farm_of(sheets_of(early, grower.config))
            farm_of(grown.sheets())
        except Refused:
            continue
        return grown
    raise RuntimeError(f"no valid farm from seed {seed}, {timing}")


def loose(entries):
    """Rows without which all the others could stand: feeds, sales, and lots that no other row names."""
    named = " ".join(e.get(c) for e in entries for c in ("bin", "takes", "from", "packs", "what", "lot"))
    words = set(named.replace("/", " ").replace(";", " ").split())
    for entry in entries:
        if entry.sheet in ("feeds", "checks", "skips", "sales", "thrown", "moves"):
            if entry.sheet != "thrown" or " " in entry.get("what"):
                yield entry
        elif entry.sheet in ("deliveries", "sievings", "blends", "packs"):
            if entry.get("ref") not in words and not entry.get("clears"):
                yield entry


def renumber(entries):
    """Recording follows the order of rows in each sheet."""
    counts = {}
    for entry in entries:
        entry.recorded = counts[entry.sheet] = counts.get(entry.sheet, -1) + 1


def write_sheets(grown, folder):
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    rows = {sheet: [] for sheet in COLUMNS}
    rows["bins"] = [{"bin": bin, "place": f"R{bin[0]}/S1/P{bin[2]}"} for bin in BINS]
    for entry in grown.entries:
        rows[entry.sheet].append(entry.row)
    for sheet, columns in COLUMNS.items():
        with open(folder / f"{sheet}.csv", "w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, columns.split())
            writer.writeheader()
            writer.writerows(rows[sheet])


def main(seed, timing, folder):
    grown = grow(seed, timing)
    write_sheets(grown, folder)
    (Path(folder) / "castlot.toml").write_text(CONFIG, encoding="utf-8")
    print(f"{len(grown.entries)} rows, and {len(grown.late)} more to be recorded late")


if __name__ == "__main__":
    main(*sys.argv[1:])
