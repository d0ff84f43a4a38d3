"""Judges what a template can hold: bar codes, every letter, and pictures.

judge_items.py CASTLOT FOLDER

FOLDER has PDFs that `tests/label_items.rs` made with castlot's library, and `wanted.json`: what must be found in them.
Bar codes are read by zxing-cpp on whole pages and by zbar cut out, from poppler's pictures at 203 and 300 dpi, grey and
in one bit; letters by pdftotext; the corners of pictures, turned pages among them, from poppler's colours.
"""

import json
import subprocess
import sys
import tempfile
from collections import Counter
from pathlib import Path

import zxingcpp
from PIL import Image, ImageOps
from pdf_reading import output_of, page_texts

DRAWN = [(203, "-gray"), (203, "-mono"), (300, "-gray"), (300, "-mono")]
KINDS = zxingcpp.BarcodeFormat.EAN13 | zxingcpp.BarcodeFormat.EAN8
COLOUR_WITHIN = 30  # of 255: a JPEG's colours are not exact
QUIET = 11 / 95  # of a code's width


def sound(path):
    code, said = output_of("qpdf", "--check", path)
    return [f"{path.name}: qpdf --check: {said.strip()}"] if code != 0 or "WARNING" in said else []


def drawn(path, dpi, mode, folder):
    root = Path(folder) / f"{path.stem}{dpi}{mode}"
    subprocess.run(["pdftoppm", "-r", str(dpi), *mode.split(), path, root], check=True)
    return [Image.open(found) for found in sorted(Path(folder).glob(root.name + "-*.p?m"))]


def judge_bars(path, wanted, folder):
    problems = []
    for dpi, mode in DRAWN:
        [picture] = [page.convert("L") for page in drawn(path, dpi, mode, folder)]
        found = zxingcpp.read_barcodes(picture, formats=KINDS)
        read = Counter(result.text for result in found)
        if read != Counter(wanted):
            problems.append(f"{path.name}, {dpi} dpi {mode}: zxing-cpp reads {sorted(read.elements())}, not {sorted(wanted)}")
        for result in found:
            text = by_zbar(picture, result.position, folder)
            if text != [result.text]:
                problems.append(f"{path.name}, {dpi} dpi {mode}: zbar reads {text}, not {result.text}")
    return problems


def by_zbar(picture, position, folder):
    corners = [getattr(position, c) for c in ("top_left", "top_right", "bottom_left", "bottom_right")]
    xs, ys = [c.x for c in corners], [c.y for c in corners]
    aside = round((max(xs) - min(xs)) * QUIET)
    middle = (min(ys) + max(ys)) // 2
    # zxing-cpp says where its scan lines were; the bars reach further up and down.
    cut = (max(0, min(xs) - aside), max(0, min(min(ys), middle - 40)), max(xs) + aside, max(max(ys), middle + 40))
    file = Path(folder) / "cut.png"
    ImageOps.expand(picture.crop(cut), 10, 255).save(file)
    command = ["zbarimg", "--quiet", "--raw", "-Sdisable", "-Sean13.enable", "-Sean8.enable", file]
    return subprocess.run(command, capture_output=True, text=True).stdout.split()


def judge_letters(path, wanted, times):
    read = Counter("".join(page_texts(path)))
    return [
        f"{path.name}: pdftotext finds `{letter}` (U+{ord(letter):04X}) {read[letter]} times, not {times}"
        for letter in wanted if read[letter] != times
    ]


def judge_pictures(path, points, folder):
    dpi = 150
    [page] = drawn(path, dpi, "", folder)
    page, problems = page.convert("RGB"), []
    for name, x, y, colour in points:
        seen = page.getpixel((round(x / 25.4 * dpi), round(y / 25.4 * dpi)))
        if max(abs(a - b) for a, b in zip(seen, colour)) > COLOUR_WITHIN:
            problems.append(f"{name}: {seen} at {x:.1f}, {y:.1f} mm, not {colour}")
    return problems


def main(_castlot, folder):
    folder = Path(folder)
    wanted = json.loads((folder / "wanted.json").read_text(encoding="utf-8"))
    problems = [problem for path in sorted(folder.glob("*.pdf")) for problem in sound(path)]
    with tempfile.TemporaryDirectory() as scratch:
        for bars in wanted["bars"]:
            problems += judge_bars(folder / bars["file"], bars["codes"], scratch)
        letters = wanted["letters"]
        problems += judge_letters(folder / letters["file"], letters["letters"], letters["times"])
        pictures = wanted["pictures"]
        problems += judge_pictures(folder / pictures["file"], pictures["points"], scratch)
    for problem in problems:
        print(problem)
    codes = sum(len(bars["codes"]) for bars in wanted["bars"])
    print(f"{codes} bar codes in {len(DRAWN)} drawings, {len(letters['letters'])} letters in {letters['times']} faces, "
          f"{len(pictures['points'])} corners of pictures: {len(problems)} differences")
    return 1 if problems else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
