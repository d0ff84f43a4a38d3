"""Judges every built-in label on every sheet it is for, new and worn.

judge_every_label.py CASTLOT DEMO_DIR

Each template is printed on each sheet of diary.md section 1 and judged like the demo's own files (`judge_pdfs.py`:
pages by zxing-cpp, cut-out codes by zbar, at 203 and 300 dpi, grey and in 1 bit). Then its codes are worn:
those of bins and racks, which are of level Q, are read under a blot on 5 % and 10 % of the symbol, and those of tubs and bottles as a camera sees
them on a cylinder 75 mm across.
"""

import math
import random
import sys
import tempfile
import time
from pathlib import Path

import zxingcpp
from PIL import Image, ImageDraw

from judge_pdfs import has_codes, judge
from label_texts import Farm
from pdf_reading import GRIDS, open_pages, output_of, pictures, sheet_named

SHEETS = [f"a4-{columns}x{rows}-{int(width)}x{int(height)}" for width, height, columns, rows, *_ in GRIDS]
SHEETS += ["roll-100x150", "roll-57x32"]
# A run of the demo farm for each template of packs, in the order they are tried: one may be on hold.
RUNS = {
    "bag-front": "bag20", "bag-back": "bag20", "bag-small": "bag5", "tub": "tub50", "tub-lid": "tub50", "bottle": "bottle500",
}
LEVEL_Q = ("bin", "rack")
ROUND = ("tub", "bottle")
CYLINDER = 75.0  # mm across: trade.md, "Printing"
BLOTTED = (0.05, 0.10)
TRIES = 20  # blottings of each code, each with its own seed
LEAST_FILES = 60  # so that a judge that prints nothing is not content


def subjects(farm, template):
    """The arguments that name what a template is printed for, the likeliest first."""
    if template in RUNS:
        runs = [code for code, (sheet, row) in farm.lots.items() if sheet == "packs" and row["product"] == RUNS[template]]
        return [[f"{code}/1-2"] for code in runs]
    if template == "bin":
        return [["--bins", *sorted(farm.bins)[:2]]]
    if template == "rack":
        return [["--racks", *sorted(farm.racks)[:2]]]
    if template == "hold":
        return [["--hold", code] for code, (sheet, _) in farm.lots.items() if sheet == "deliveries"]
    sheet = {"delivery": "deliveries", "batch": "sievings"}[template]
    return [[code] for code, (of, _) in farm.lots.items() if of == sheet]


def print_all(castlot, demo, farm, templates):
    """Prints each template on each sheet that castlot has a layout for; (files, problems)."""
    files, problems = [], []
    for template in templates:
        at_first = len(files)
        for sheet in SHEETS:
            out, said = print_one(castlot, demo, subjects(farm, template), template, sheet)
            if out:
                files.append(out)
            elif f"template `{template}` is for labels of" not in said:
                problems.append(f"{template} on {sheet}: {said}")
        if len(files) == at_first:
            problems.append(f"{template} is on no sheet at all")
    return files, problems


def print_one(castlot, demo, choices, template, sheet):
    """The file, or why there is none; lots on hold, which castlot refuses, are passed over."""
    said = "nothing to print it for"
    for arguments in choices:
        out = demo / "labels" / f"{template}.{template}.{sheet}.pdf"
        code, said = output_of(castlot, "--farm", demo, "label", *arguments, "--template", template, "--sheet", sheet,
                               "--out", out)
        if code == 0:
            return out, ""
        if code == 1 or " is for labels of" in said:
            break
    return None, said.strip()


def worn(path):
    """(problems, codes read) of the first page's codes, blotted or bent."""
    template, sheet = path.stem.rsplit(".", 2)[1:]
    if template not in LEVEL_Q + ROUND or not has_codes(path):
        return [], 0
    with tempfile.TemporaryDirectory() as folder:
        page = pictures(path, "300 dpi", 1, 1, folder)[0]
    problems, count = [], 0
    for image in open_pages(path)[0].images:
        symbol = cut_out(page, image)
        text = read(symbol)
        if text is None:
            continue  # a picture or bars; that every label has its code is judged elsewhere
        if template in LEVEL_Q and level(symbol) not in ("Q", "H"):
            problems.append(f"{path.name}: `{text}` is of level {level(symbol)}")
        for name, hurt in hurts(template, symbol, page, image, sheet):
            count += 1
            if read(hurt) != text:
                problems.append(f"{path.name}: `{text}` is not read {name}")
    if count == 0:
        problems.append(f"{path.name}: no code was found to wear")
    return problems, count


def hurts(template, symbol, page, image, sheet):
    if template in LEVEL_Q:
        for share in BLOTTED:
            for seed in range(TRIES):
                yield f"with {share:.0%} blotted (seed {seed})", blotted(symbol, share, seed)
    if template in ROUND:
        yield f"on a cylinder {CYLINDER:g} mm across", bent(page, image, sheet)


def cut_out(page, image):
    """The symbol with four modules of white round it, a whole number of pixels to the module."""
    scale = 300 / 25.4
    box = [round(value * scale) for value in (image.left, image.top, image.right, image.bottom)]
    symbol = page.crop(box)
    edge = max(8, round(symbol.width * 4 / 21))
    whole = Image.new("L", (symbol.width + 2 * edge, symbol.height + 2 * edge), 255)
    whole.paste(symbol, (edge, edge))
    return whole


def level(symbol):
    return zxingcpp.read_barcodes(symbol, formats=zxingcpp.BarcodeFormat.QRCode)[0].ec_level


def read(picture):
    found = zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode)
    return found[0].text if len(found) == 1 else None


def blotted(symbol, share, seed):
    """The symbol with one round blot, of mud or of wear, on so much of it.

    The three corner squares are left: without one no reader finds a code, whatever its level (a known limit of
    the symbol, ISO/IEC 18004), so a blot there would judge the reader.
    """
    left, top, right, bottom = symbol.point(lambda value: 255 if value < 128 else 0).getbbox()
    width, luck, hurt = right - left, random.Random(seed), symbol.copy()
    radius = width * math.sqrt(share / math.pi)
    corner = 8 * width / modules_of(symbol, (left, top, right, bottom))
    corners = [(left, top), (right - corner, top), (left, bottom - corner)]
    while True:
        x, y = luck.uniform(left + radius, right - radius), luck.uniform(top + radius, bottom - radius)
        if not any(near_square(x, y, at, corner) < radius for at in corners):
            break
    shade = luck.choice((0, 255))
    ImageDraw.Draw(hurt).ellipse((x - radius, y - radius, x + radius, y + radius), fill=shade)
    return hurt


def near_square(x, y, at, side):
    """How far a point is from a square."""
    return math.hypot(max(at[0] - x, x - at[0] - side, 0), max(at[1] - y, y - at[1] - side, 0))


def modules_of(symbol, ink):
    """Modules on a side: the corner square at the top left is seven of them wide."""
    left, top, right, _ = ink
    row = [symbol.getpixel((x, top + 1)) < 128 for x in range(left, right)]
    corner = row.index(False)
    return round((right - left) * 7 / corner)


def bent(page, image, sheet):
    """The label on a cylinder seen straight on to the middle of the code: what is s along the skin stands at r sin(s / r)."""
    scale = 300 / 25.4
    middle = (image.left + image.right) / 2 * scale
    radius = CYLINDER / 2 * scale
    top, bottom = (round(value * scale) for value in (image.top - 4, image.bottom + 4))
    half = round(radius * math.sin(min(1.4, ((image.right - image.left) / 2 + 4) * scale / radius)))
    strip = page.crop((0, max(0, top), page.width, bottom))
    seen = Image.new("L", (2 * half, strip.height), 255)
    for x in range(2 * half):
        s = middle + radius * math.asin((x + 0.5 - half) / radius)
        if 0 <= s < strip.width:
            seen.paste(strip.crop((int(s), 0, int(s) + 1, strip.height)), (x, 0))
    return seen


def main(castlot, demo):
    started, demo = time.monotonic(), Path(demo)
    with tempfile.TemporaryDirectory() as folder:
        export, copy = Path(folder) / "export", Path(folder) / "farm"
        output_of(castlot, "--farm", demo, "export", "--sheets", export)
        output_of("cp", "-r", demo, copy)
        for old in (copy / "labels").rglob("*.pdf"):
            old.unlink()
        farm = Farm(export, copy / "castlot.toml")
        templates = [*RUNS, "bin", "rack", "delivery", "batch", "hold"]
        files, problems = print_all(castlot, copy, farm, templates)
        found, codes, _ = judge(files, farm)
        problems += found
        hurt = 0
        for path in files:
            found, count = worn(path)
            problems, hurt = problems + found, hurt + count
    for problem in problems[:60]:
        print(problem)
    print(f"label judge: {len(files)} templates on sheets, {codes} codes read, {hurt} of them again blotted or bent, "
          f"{len(problems)} differences, {time.monotonic() - started:.0f} s")
    return 1 if problems or len(files) < LEAST_FILES or not codes or not hurt else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
