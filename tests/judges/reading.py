"""Reads a folder of diary sheets (diary.md, sections 1, 3 and 4) for the outside judges.

Written from the public formats alone. It shares no code and no data structures with castlot, and it
judges nothing itself: it turns CSV rows into moments, amounts and lists of lots.
"""

import csv
import re
import tomllib
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from pathlib import Path

SHEETS = [
    "bins", "deliveries", "beds", "feeds", "skips", "checks", "splits", "tips", "moves", "sievings",
    "blends", "tests", "packs", "weighings", "sales", "returns", "counts", "thrown", "complaints",
    "holds", "recalls", "prints",
]

# diary.md section 3, "natural order": what is not named here is "the rest".
NATURAL = {"deliveries": 0, "beds": 1, "feeds": 2, "splits": 3, "tips": 4, "sievings": 5, "blends": 6,
           "packs": 7, "sales": 8}
THE_REST = 9

DAY = 24 * 60  # minutes

WEIGHED, GUESS, UNKNOWN = "weighed", "guess", "unknown"
WEAKNESS = {WEIGHED: 0, GUESS: 1, UNKNOWN: 2}


@dataclass(frozen=True)
class Moment:
    """A minute, or a whole day; in minutes since year 1, both ends included."""

    lo: int
    hi: int
    text: str

    @property
    def timed(self):
        return self.lo == self.hi

    @property
    def day(self):
        return self.lo // DAY


def moment(text):
    match = re.fullmatch(r"(\d{4})-(\d\d)-(\d\d)(?:[T ](\d\d):(\d\d))?", text.strip())
    if not match:
        raise ValueError(f"`{text}` is not a moment")
    year, month, day, hour, minute = match.groups()
    start = date(int(year), int(month), int(day)).toordinal() * DAY
    if hour is None:
        return Moment(start, start + DAY - 1, text.strip())
    at = start + int(hour) * 60 + int(minute)
    return Moment(at, at, text.strip().replace(" ", "T"))


@dataclass(frozen=True)
class Amount:
    """Whole grams, millilitres or pieces (`value` None where nobody knows), and how sure it is."""

    value: int | None
    unit: str | None
    mark: str


UNITS = {"kg": ("g", 1000), "g": ("g", 1), "L": ("mL", 1000), "mL": ("mL", 1), "": ("pieces", 1)}


def amount(text, measures=None):
    text = text.strip()
    if text in ("", "?"):
        return Amount(None, None, UNKNOWN)
    mark = WEIGHED
    if text.startswith("~"):
        mark, text = GUESS, text[1:].strip()
    match = re.fullmatch(r"(\d+(?:\.\d+)?)\s*([A-Za-z][A-Za-z0-9_-]*)?", text)
    if not match:
        raise ValueError(f"`{text}` is not an amount")
    number, unit = Decimal(match.group(1)), match.group(2) or ""
    if unit not in UNITS:
        one = amount((measures or {})[unit])
        whole = number * one.value
        return Amount(int(whole), one.unit, GUESS if GUESS in (mark, one.mark) else mark)
    name, factor = UNITS[unit]
    whole = number * factor
    if whole != int(whole):
        raise ValueError(f"`{text}` is finer than a whole {name}")
    return Amount(int(whole), name, mark)


@dataclass(frozen=True)
class Draw:
    """One `LOT QUANTITY` of `takes` or `from`; `packs` where packs of a run are opened again."""

    lot: str
    amount: Amount | None
    packs: str | None = None


def draws(text, measures=None):
    found = []
    for part in text.split(";"):
        part = part.strip()
        if not part:
            continue
        name, _, quantity = part.partition(" ")
        lot, _, packs = name.partition("/")
        found.append(Draw(lot, amount(quantity, measures) if quantity.strip() else None, packs or None))
    return found


def names(text):
    """A list of bins or lots without quantities, `;` between them."""
    return [part.strip() for part in text.split(";") if part.strip()]


@dataclass
class Entry:
    """One row. `recorded` is its place in its own sheet: the order of recording within a kind."""

    sheet: str
    recorded: int
    row: dict
    when: Moment

    @property
    def natural(self):
        return NATURAL.get(self.sheet, THE_REST)

    def get(self, column):
        return (self.row.get(column) or "").strip()

    def __str__(self):
        cells = ", ".join(f"{k}={v}" for k, v in self.row.items() if v)
        return f"{self.sheet}.csv row {self.recorded + 2}: {cells}"


@dataclass
class Sheets:
    """All entries of a folder, and what castlot.toml adds to them."""

    entries: list
    measures: dict = field(default_factory=dict)
    nets: dict = field(default_factory=dict)
    config: dict = field(default_factory=dict)


def entry_of(sheet, recorded, row):
    when = (row.get("when") or "").strip()
    return Entry(sheet, recorded, row, moment(when)) if when else None


def read_config(path):
    if path is None or not Path(path).exists():
        return {}
    return tomllib.loads(Path(path).read_text(encoding="utf-8"))


def read_sheets(folder, config_path=None):
    config = read_config(config_path)
    entries = []
    for sheet in SHEETS:
        path = Path(folder) / f"{sheet}.csv"
        if not path.exists():
            continue
        with open(path, encoding="utf-8-sig", newline="") as file:
            for number, row in enumerate(csv.DictReader(file)):
                entry = entry_of(sheet, number, row)
                if entry is not None:
                    entries.append(entry)
    return sheets_of(entries, config)


def sheets_of(entries, config):
    nets = {name: product.get("net", "") for name, product in config.get("product", {}).items()}
    return Sheets(entries, config.get("measure", {}), nets, config)
