"""Prints some labels of a farm again with its codes in the other forms of diary.md section 6.

The demo farm uses one form; these make sure that all three are read back.
"""

import re
import shutil
from pathlib import Path

from castlot_process import run
from label_texts import rows

FORMS = ("text", "web", "gs1")
TRIES = 5  # runs of a product, in case the smallest is on hold
LOT_SHEET, BIN_SHEET = "a4-2x4-99x67", "a4-2x4-99x67"
RACK_SHEET = "a4-2x2-99x139"  # on smaller ones a rack has no code
SHOWN_BINS = 8


def with_form(demo, folder, form):
    """A copy of the farm, its codes in another form."""
    copy = Path(folder) / f"form-{form}"
    shutil.copytree(demo, copy, ignore=lambda _, names: {n for n in names if n in ("labels", "pages")})
    config = copy / "castlot.toml"
    text = config.read_text(encoding="utf-8")
    changed, times = re.subn(r'(?m)^form\s*=\s*"\w+"', f'form = "{form}"', text)
    if times == 0:
        changed = re.sub(r"(?m)^\[qr\]", f'[qr]\nform = "{form}"', text)
    config.write_text(changed, encoding="utf-8")
    (copy / "labels").mkdir()
    return copy


def print_again(castlot, copy, farm, export):
    """Labels of one run of each product that has one template, and of a few lots, bins and racks."""
    problems = []
    for name, product in farm.config["product"].items():
        if len(product["label"]) == 1 and product["sheet"] != "roll-57x32":
            problems += print_run(castlot, copy, name, product, export)
    lots = [rows(export, sheet)[0]["code"] for sheet in ("deliveries", "sievings")]
    bins, racks = sorted(farm.bins)[:SHOWN_BINS], sorted(farm.racks)
    for name, arguments, sheet in (
        ("lots.any", lots, LOT_SHEET),
        ("bins.bin", ["--bins", *bins], BIN_SHEET),
        ("racks.rack", ["--racks", *racks], RACK_SHEET),
    ):
        out = copy / "labels" / f"{name}.{sheet}.pdf"
        run(castlot, "--farm", copy, "label", *arguments, "--sheet", sheet, "--out", out)
    return problems


def print_run(castlot, copy, name, product, export):
    runs = sorted((row for row in rows(export, "packs") if row["product"] == name), key=lambda row: int(row["count"]))
    reason = "no run of it was packed"
    for row in runs[:TRIES]:
        out = copy / "labels" / f"{row['code']}.{product['label'][0]}.{product['sheet']}.pdf"
        try:
            run(castlot, "--farm", copy, "label", row["code"], "--again", "--why", "in another form", "--out", out)
            return []
        except RuntimeError as error:
            reason = error
    return [f"no label of {name}: {reason}"]
