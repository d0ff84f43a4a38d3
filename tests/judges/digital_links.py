"""Reads GS1 Digital Links by themselves: the path of a GTIN, a lot and a serial, as GS1's own examples have it.

Written from `tests/reference/digital_link_examples.csv` and python-stdnum alone, and held against every row of that file
which it can be held against before it judges a path.
"""

import csv
import re
from pathlib import Path
from urllib.parse import quote, unquote

from stdnum import ean

EXAMPLES = Path(__file__).resolve().parents[1] / "reference" / "digital_link_examples.csv"
# GS1 General Specifications, figure 7.11-1 (character set 82), as `tests/reference/cset82_percent_encoding.csv` lists it.
CSET_82 = r"""[!"%&'()*+,\-./0-9:;<=>?A-Z_a-z]{1,20}"""
PATH = re.compile(r"^/01/(\d{14})(?:/10/([^/]+))?(?:/21/([^/]+))?$")


def read(path):
    """(GTIN, lot, serial) of a path, or None where it is no Digital Link of an item."""
    found = PATH.match(path)
    if not found or not ean.is_valid(found[1]):
        return None
    lot, serial = (part and unquote(part) for part in found.groups()[1:])
    for part in (lot, serial):
        if part is not None and not re.fullmatch(CSET_82, part):
            return None
    return found[1], lot, serial


def held_against_examples():
    """(problems, rows): every row about an item with nothing but a lot and a serial, written or read."""
    problems, rows = [], 0
    with open(EXAMPLES, encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            path, meant = built(row["input"]) if row["direction"] == "build" else typed(row["input"])
            if path is None:
                continue
            rows += 1
            found, wanted = read(path), row["expect"] == "valid"
            if (found is not None) != wanted or (wanted and meant and found != meant):
                problems.append(f"digital_link_examples.csv: `{row['input']}` is {row['expect']}, but read as {found}")
    return problems, rows


def built(elements):
    """The path for `(01)…(10)…(21)…`, and what it means; None where it holds anything else."""
    found = re.fullmatch(r"\(01\)(\d+)(?:\(10\)([^()]+))?(?:\(21\)([^()]+))?", elements)
    if not found:
        return None, None
    steps = zip(("01", "10", "21"), found.groups())
    return "".join(f"/{key}/{quote(value, safe='')}" for key, value in steps if value), found.groups()


def typed(address):
    """The path of an address from its last `/01/` on; None where it has a query or is about another key."""
    if "?" in address or "/01/" not in address or re.search(r"/(22|235)/", address):
        return None, None
    return address[address.rindex("/01/"):], None
