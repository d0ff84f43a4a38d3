"""Judges every label PDF of the demo farm: file, fonts, text, codes and positions.

judge_pdfs.py CASTLOT DEMO_DIR

A file is named `labels/WHAT.TEMPLATE.SHEET.pdf`; SHEET is one of diary.md section 1. Each page is drawn by
poppler at 203 and 300 dpi (grey and 1 bit), every code on it is read by zxing-cpp on the page and
by zbar cut out, and each must say what the diary says; every label must have exactly one, but for those that have
no room for it or stand beside one that has (`WITHOUT_CODE`). Some labels are then printed again with the codes in
each form of section 6 (`label_forms.py`).
"""

import multiprocessing
import re
import sys
import tempfile
import time
from collections import defaultdict
from pathlib import Path

from castlot_process import run
from label_forms import FORMS, print_again, with_form
from label_texts import LOT_CODE, Farm
from pdf_reading import RENDERINGS, fonts, open_pages, output_of, page_texts, pictures, read_bars, read_codes, read_crops, sheet_named

WITHIN = 0.1  # mm
PAGE_WITHIN = 0.02  # mm: a page is its exact size
# No label on the smallest roll has a code; of these templates, none on these sheets. A label of any other template and
# sheet without a code that can be read is a difference.
SMALLEST_ROLL = "roll-57x32"
WITHOUT_CODE = {
    "bag-back": ("a4-2x3-99x93", "a4-2x2-99x139", "a4-1x2-199x143", "roll-100x150"),
    "tub": ("a4-3x8-63x33",),
    "tub-lid": ("a4-5x13-38x21",),
    "bottle": ("a4-3x8-63x33",),
    "bin": ("a4-5x13-38x21",),
    "rack": ("a4-3x8-63x33", "a4-3x7-63x38", "a4-3x4-63x72", "a4-2x4-99x67", "a4-2x3-99x93"),
    "hold": ("a4-3x8-63x33", "a4-3x7-63x38"),
}
# These have the bar code of the product's GTIN, on these sheets; no other label has one.
WITH_BARS = {
    "bag-front": ("a4-2x3-99x93", "a4-2x2-99x139", "a4-1x2-199x143", "roll-100x150"),
    "bag-small": ("a4-2x2-99x139", "roll-100x150"),
    "tub": ("a4-2x2-99x139", "roll-100x150"),
    "bottle": ("a4-2x2-99x139", "roll-100x150"),
}
PAGES_AT_ONCE = 6


def has_codes(path):
    """Whether labels of this template on this sheet have codes, by the file's name."""
    _, template, sheet = path.stem.rsplit(".", 2)
    return sheet != SMALLEST_ROLL and sheet not in WITHOUT_CODE.get(template, ())


def judge_file(path, farm):
    """Everything that needs no picture: qpdf, fonts, page size, text, cells."""
    what, _, sheet_name = path.stem.rsplit(".", 2)
    sheet, pages, problems = sheet_named(sheet_name), open_pages(path), []
    code, said = output_of("qpdf", "--check", path)
    if code != 0 or "WARNING" in said:
        problems.append(f"qpdf --check: {said.strip()}")
    listed = fonts(path)
    if not listed:
        problems.append("has no fonts")
    problems += [f"font {n}: embedded {e}, subset {s}, unicode {u}" for n, e, s, u in listed if not (e and s and u)]
    for number, page in enumerate(pages, 1):
        if max(abs(a - b) for a, b in zip(page.size, sheet.page)) > PAGE_WITHIN:
            problems.append(f"page {number} is {page.size} mm, not {sheet.page}")
        problems += [f"page {number}: {p}" for p in letters_in_cells(page, sheet)]
    if not has_codes(path):
        problems += codes_in_text(path, farm, pages)
    problems += all_packs(path, farm, what)
    return problems


def letters_in_cells(page, sheet):
    """Nothing is drawn outside the cells; so the first label is in the first cell, and so on."""
    outside = []
    for what, box in [*page.letters, *(("an image", image) for image in page.images)]:
        left, top = sheet.cells[sheet.cell_at(*box.middle)]
        right, bottom = left + sheet.size[0], top + sheet.size[1]
        over = max(left - box.left, top - box.top, box.right - right, box.bottom - bottom)
        if over > WITHIN:
            outside.append(f"`{what}` at {box} is {over:.2f} mm outside its cell")
    return outside[:3]


def codes_in_text(path, farm, pages):
    wordless = []
    for number, text in zip(range(1, len(pages) + 1), page_texts(path)):
        named = set(re.findall(LOT_CODE, text)) & farm.lots.keys()
        places = {word for word in re.split(r"\s+", text)} & (farm.bins | farm.racks)
        if not named and not places:
            wordless.append(f"page {number}: pdftotext finds no code of the diary")
    return wordless


def all_packs(path, farm, what):
    """A run's file has a label for every pack, by the text of the file."""
    packs = farm.packs(farm.names[what]) if what in farm.names else None
    if packs is None:
        return []
    text = re.sub(r"\s+", "", "".join(page_texts(path)))
    missing = sorted(pack for pack in packs if not stands_in(pack, text))
    return [f"pdftotext does not find {missing[:5]} ({len(missing)} packs)"] if missing else []


def stands_in(code, text):
    """Whether a code stands in the clear; its serial may stand on the next line of a narrow label."""
    lot, slash, serial = code.partition("/")
    return code in text or bool(slash) and lot in text and slash + serial in text


def judge_pages(path, farm, first, last):
    """Pictures of some pages; (problems, how many codes, where each stood)."""
    sheet = sheet_named(path.stem.rsplit(".", 1)[1])
    pages, texts = open_pages(path), page_texts(path)
    problems, count, stood = [], 0, []
    for rendering, (dpi, _) in RENDERINGS.items():
        with tempfile.TemporaryDirectory() as folder:
            for number, picture in enumerate(pictures(path, rendering, first, last, folder), first):
                reads = read_codes(picture, dpi)
                page, text = pages[number - 1], texts[number - 1]
                found = judge_reads(farm, sheet, page, text, reads) + judge_crops(picture, reads)
                found += judge_bars(farm, path, page, picture, dpi)
                problems += [f"page {number}, {rendering}: {problem}" for problem in found]
                count += len(reads)
                if rendering == "300 dpi":
                    stood += positions(number, page, sheet, reads)
    return problems, count, stood


def judge_reads(farm, sheet, page, text, reads):
    problems, by_cell = [], defaultdict(list)
    squeezed = re.sub(r"\s+", "", text)
    for read in reads:
        wrong = farm.wrong(read.text)
        if wrong:
            problems.append(wrong)
        by_cell[sheet.cell_at(*read.box.middle)].append(read)
        code = (farm.subject(read.text) or read.text).split(" ")[-1]
        if not stands_in(code, squeezed):
            problems.append(f"pdftotext does not find {code}")
    for cell in sorted({sheet.cell_at(*box.middle) for _, box in page.letters}):
        if len(by_cell[cell]) != 1:
            problems.append(f"label {cell + 1} has {len(by_cell[cell])} codes that can be read, not 1")
            continue
        code = (farm.subject(by_cell[cell][0].text) or "?").split(" ")[-1]
        if not stands_in(code, page.text_in(sheet, cell)):
            problems.append(f"label {cell + 1}: {code} does not stand in the clear beside its code")
    return problems


def judge_bars(farm, path, page, picture, dpi):
    """The bar code on each label is its product's GTIN, by zxing-cpp."""
    _, template, name = path.stem.rsplit(".", 2)
    sheet, wanted = sheet_named(name), []
    if name in WITH_BARS.get(template, ()):
        for cell in {sheet.cell_at(*box.middle) for _, box in page.letters}:
            for lot in set(re.findall(LOT_CODE, page.text_in(sheet, cell))) & farm.lots.keys():
                gtin = farm.product(farm.lots[lot][1]).get("gtin")
                wanted += [(cell, gtin[-13:])] if gtin else []
    read = [(sheet.cell_at(*middle), text) for text, middle in read_bars(picture, dpi)]
    return [] if sorted(read) == sorted(wanted) else [f"reads the bar codes {sorted(read)}, not {sorted(wanted)}"]


def judge_crops(picture, reads):
    return [
        f"zbar reads {texts} where zxing reads `{read.text}`"
        for read, texts in zip(reads, read_crops(picture, reads)) if texts != [read.text]
    ]


def positions(number, page, sheet, reads):
    """(page, cell, size of the code's image, its corner in the cell), as pdfium reads the file."""
    found = []
    for read in reads:
        middle = read.box.middle
        around = [image for image in page.images if image.holds(*middle)]
        cell = sheet.cell_at(*middle)
        if not around:
            found.append((number, cell, None, None))
            continue
        image = min(around, key=lambda box: box.right - box.left)
        left, top = sheet.cells[cell]
        size = (round(image.right - image.left, 1), round(image.bottom - image.top, 1))
        found.append((number, cell, size, (image.left - left, image.top - top)))
    return found


def judge_positions(stood):
    """Codes of one size stand at the same place in every cell: they step by exactly the pitch."""
    problems, first, compared = [], {}, 0
    for number, cell, size, corner in stood:
        if size is None:
            problems.append(f"page {number}, label {cell + 1}: its code is no image that pdfium can place")
            continue
        if size not in first:
            first[size] = corner
            continue
        compared += 1
        off = max(abs(a - b) for a, b in zip(corner, first[size]))
        if off > WITHIN:
            problems.append(f"page {number}, label {cell + 1}: its code is {off:.2f} mm off the grid")
    return problems, compared


def job(what):
    path, farm, first, last = what
    try:
        if first == 0:
            return path, judge_file(path, farm), 0, []
        return path, *judge_pages(path, farm, first, last)
    except Exception as error:  # a file that cannot be judged is a difference too
        return path, [f"{type(error).__name__}: {error}"], 0, []


def jobs(files, farm):
    for path in files:
        yield path, farm, 0, 0
        if has_codes(path):
            pages = len(open_pages(path))
            for first in range(1, pages + 1, PAGES_AT_ONCE):
                yield path, farm, first, min(pages, first + PAGES_AT_ONCE - 1)


def judge(files, farm):
    problems, codes, compared, stood = [], 0, 0, defaultdict(list)
    with multiprocessing.Pool(2) as pool:
        for path, found, count, places in pool.imap_unordered(job, list(jobs(files, farm))):
            problems += [f"{path.name}: {problem}" for problem in found]
            codes += count
            stood[path] += places
    for path, places in sorted(stood.items()):
        found, pairs = judge_positions(places)
        problems += [f"{path.name}: {problem}" for problem in found]
        compared += pairs
    return problems, codes, compared


def main(castlot, demo):
    started, demo = time.monotonic(), Path(demo)
    with tempfile.TemporaryDirectory() as folder:
        export = Path(folder) / "export"
        run(castlot, "--farm", demo, "export", "--sheets", export)
        farm = Farm(export, demo / "castlot.toml")
        files = sorted((demo / "labels").rglob("*.pdf"))
        problems, codes, compared = judge(files, farm)
        for form in FORMS:
            copy = with_form(demo, folder, form)
            other = Farm(export, copy / "castlot.toml")
            problems += print_again(castlot, copy, other, export)
            again = sorted((copy / "labels").glob("*.pdf"))
            found, more, pairs = judge(again, other)
            problems += [f"form {form}: {problem}" for problem in found]
            files, codes, compared = files + again, codes + more, compared + pairs
    for problem in problems[:60]:
        print(problem)
    print(f"pdf judge: {len(files)} files, {codes} codes read in {len(RENDERINGS)} renderings, {compared} positions "
          f"compared, {len(problems)} differences, {time.monotonic() - started:.0f} s")
    return 1 if problems or not codes or not compared else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
