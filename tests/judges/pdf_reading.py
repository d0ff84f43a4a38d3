"""Reads label PDFs with tools that we did not write: qpdf, poppler, zxing-cpp, zbar and pdfium.

It reads and measures; `judge_pdfs.py` says what is right.
"""

import re
import subprocess
import tempfile
import xml.etree.ElementTree as ElementTree
from dataclasses import dataclass
from pathlib import Path

import pypdfium2
import pypdfium2.raw as pdfium
import zxingcpp
from PIL import Image, ImageOps

MM = 72 / 25.4  # points in a millimetre
RENDERINGS = {"203 dpi": (203, "-gray"), "300 dpi": (300, "-gray"), "203 dpi, 1 bit": (203, "-mono"),
              "300 dpi, 1 bit": (300, "-mono")}

# trade.md, "Printing": width, height, columns, rows, left, top, pitch across, pitch down, all in mm.
GRIDS = [
    (38.1, 21.2, 5, 13, 4.75, 10.70, 40.6, 21.2),
    (63.5, 33.9, 3, 8, 7.25, 12.90, 66.0, 33.9),
    (63.5, 38.1, 3, 7, 7.25, 15.15, 66.0, 38.1),
    (99.1, 38.1, 2, 7, 4.65, 15.15, 101.6, 38.1),
    (63.5, 72.0, 3, 4, 7.25, 4.50, 66.0, 72.0),
    (99.1, 67.7, 2, 4, 4.65, 13.10, 101.6, 67.7),
    (99.1, 93.1, 2, 3, 4.65, 8.85, 101.6, 93.1),
    (99.1, 139.0, 2, 2, 4.65, 9.50, 101.6, 139.0),
    (199.6, 143.5, 1, 2, 5.20, 5.00, 199.6, 143.5),
]


@dataclass(frozen=True)
class Sheet:
    """A page and the cells on it, in millimetres from the top left."""

    name: str
    page: tuple
    size: tuple
    cells: tuple

    def cell_at(self, x, y):
        """Number of the cell that a point is in, or the nearest one."""
        def outside(cell):
            left, top = cell
            return max(left - x, x - left - self.size[0], 0) + max(top - y, y - top - self.size[1], 0)

        return min(range(len(self.cells)), key=lambda number: outside(self.cells[number]))


def sheet_named(name):
    roll = re.fullmatch(r"roll-(\d+)x(\d+)", name)
    if roll:
        size = (float(roll.group(1)), float(roll.group(2)))
        return Sheet(name, size, size, ((0.0, 0.0),))
    for width, height, columns, rows, left, top, across, down in GRIDS:
        if name == f"a4-{columns}x{rows}-{int(width)}x{int(height)}":
            cells = tuple((left + c * across, top + r * down) for r in range(rows) for c in range(columns))
            return Sheet(name, (210.0, 297.0), (width, height), cells)
    raise ValueError(f"`{name}` is no sheet of diary.md section 1")


@dataclass(frozen=True)
class Box:
    """In millimetres from the top left of the page."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def middle(self):
        return (self.left + self.right) / 2, (self.top + self.bottom) / 2

    def holds(self, x, y):
        return self.left <= x <= self.right and self.top <= y <= self.bottom


@dataclass
class Page:
    size: tuple
    images: list
    letters: list  # (letter, Box)

    def text_in(self, sheet, cell):
        """Letters of a cell in the order the file gives them, without spaces: enough to find a code."""
        return "".join(letter for letter, box in self.letters if sheet.cell_at(*box.middle) == cell)


@dataclass(frozen=True)
class Read:
    """A code as read from a picture of a page; `box` in millimetres."""

    text: str
    box: Box
    crop: tuple


def open_pages(path):
    document = pypdfium2.PdfDocument(str(path))
    pages = [read_page(document[number]) for number in range(len(document))]
    document.close()
    return pages


def read_page(page):
    width, height = page.get_size()

    def box(left, bottom, right, top):
        return Box(left / MM, (height - top) / MM, right / MM, (height - bottom) / MM)

    images = [box(*found.get_bounds()) for found in page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_IMAGE])]
    text, letters = page.get_textpage(), []
    for number in range(text.count_chars()):
        letter = chr(pdfium.FPDFText_GetUnicode(text, number))
        if not letter.isspace() and letter.isprintable():
            letters.append((letter, box(*text.get_charbox(number))))
    return Page((width / MM, height / MM), images, letters)


def output_of(*command):
    """(exit code, everything it said)"""
    done = subprocess.run([str(part) for part in command], capture_output=True, text=True)
    return done.returncode, done.stdout + done.stderr


def fonts(path):
    """(name, embedded, subset, has ToUnicode) of every font, as pdffonts lists them."""
    lines = output_of("pdffonts", path)[1].splitlines()
    found = []
    for line in lines[2:]:
        match = re.match(r"(\S+).*\s(yes|no)\s+(yes|no)\s+(yes|no)\s+\d+\s+\d+\s*$", line)
        found.append((match.group(1), *(match.group(n) == "yes" for n in (2, 3, 4))) if match else (line, False, False, False))
    return found


def page_texts(path):
    return output_of("pdftotext", "-layout", path, "-")[1].split("\f")


def pictures(path, rendering, first, last, folder):
    """Pages `first` to `last` (from 1) as pictures."""
    dpi, mode = RENDERINGS[rendering]
    root = Path(folder) / f"page-{dpi}{mode}"
    code, said = output_of("pdftoppm", "-r", dpi, mode, "-f", first, "-l", last, path, root)
    if code != 0:
        raise RuntimeError(f"pdftoppm {path}: {said}")
    return [Image.open(found).convert("L") for found in sorted(Path(folder).glob(root.name + "-*.p?m"))]


def read_codes(picture, dpi):
    """Every QR code that zxing-cpp finds on the page."""
    found = []
    for result in zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode):
        corners = [getattr(result.position, c) for c in ("top_left", "top_right", "bottom_left", "bottom_right")]
        xs, ys = [c.x for c in corners], [c.y for c in corners]
        box = Box(*(value * 25.4 / dpi for value in (min(xs), min(ys), max(xs), max(ys))))
        quiet = round((max(xs) - min(xs)) * 4 / 29)  # four modules of a middling code
        found.append(Read(result.text, box, (min(xs) - quiet, min(ys) - quiet, max(xs) + quiet, max(ys) + quiet)))
    return found


def read_bars(picture, dpi):
    """Every EAN-13 that zxing-cpp finds on the page, with its middle in mm."""
    found = []
    for result in zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.EAN13):
        corners = [getattr(result.position, c) for c in ("top_left", "top_right", "bottom_left", "bottom_right")]
        middle = (sum(c.x for c in corners) / 4, sum(c.y for c in corners) / 4)
        found.append((result.text, tuple(value * 25.4 / dpi for value in middle)))
    return found


def read_crops(picture, reads):
    """What zbar reads in each code cut out by itself; one list of texts for each."""
    if not reads:
        return []
    with tempfile.TemporaryDirectory() as folder:
        files = []
        for number, read in enumerate(reads):
            files.append(str(Path(folder) / f"{number:05}.png"))
            inside = (max(0, read.crop[0]), max(0, read.crop[1]), min(picture.width, read.crop[2]), min(picture.height, read.crop[3]))
            ImageOps.expand(picture.crop(inside), 8, 255).save(files[-1])
        done = subprocess.run(["zbarimg", "--quiet", "--xml", "-Sdisable", "-Sqrcode.enable", *files],
                              capture_output=True)
        texts = {name: [] for name in files}
        root = ElementTree.fromstring(done.stdout)
        for source in root.iter("{http://zbar.sourceforge.net/2008/barcode}source"):
            for data in source.iter("{http://zbar.sourceforge.net/2008/barcode}data"):
                texts[source.get("href")].append(data.text)
        return [texts[name] for name in files]
