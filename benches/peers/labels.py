"""Peer for labels: fpdf2 and segno. `labels.py LABELS.json FONTS OUT.pdf` draws the labels that write_farms laid
out: the same words in the same fonts at the same places, and the same text in each QR code.

The peer has less to do: no farm is read, and no words are made, measured or broken into lines. Each QR code is written
as one path of raw PDF operators, the quickest of the ways that were tried with fpdf2, with segno's own choice of mask.
"""

import json
import sys
from pathlib import Path

import segno
from fpdf import FPDF

POINTS = 72 / 25.4
PAGE_HEIGHT = 297


def qr(pdf, x, y, module, text):
    # In two parts, so that the capitals take less room: in one part segno's code would be a size larger than ours.
    head, mark, serial = text.partition("?")
    rows = segno.make([head, mark + serial], error="m", micro=False, boost_error=False).matrix
    path = []
    for down, row in enumerate(rows):
        start = None
        for across, dark in enumerate((*row, 0)):
            if dark and start is None:
                start = across
            elif not dark and start is not None:
                left, width = (x + start * module) * POINTS, (across - start) * module * POINTS
                bottom = (PAGE_HEIGHT - y - (down + 1) * module) * POINTS
                path.append(f"{left:.2f} {bottom:.2f} {width:.2f} {module * POINTS:.2f} re")
                start = None
    pdf._out(" ".join(path) + " f")


def draw(pdf, x, y, item):
    kind, *rest = item
    if kind == "fill":
        left, top, width, height = rest[0]
        pdf.rect(x + left, y + top, width, height, style="F")
    elif kind == "frame":
        (left, top, width, height), stroke = rest
        pdf.set_line_width(stroke)
        pdf.rect(x + left + stroke / 2, y + top + stroke / 2, width - stroke, height - stroke)
    elif kind == "text":
        left, base, face, size, white, text = rest
        pdf.set_font(face, size=size)
        pdf.set_text_color(255 if white else 0)
        pdf.text(x + left, y + base, text)
    elif kind == "qr":
        left, top, module, text = rest
        qr(pdf, x + left, y + top, module, text)
    else:
        raise ValueError(f"`{kind}` is no item of a label")


def main(labels, fonts, out):
    job = json.loads(Path(labels).read_text(encoding="utf-8"))
    pdf = FPDF(unit="mm", format="A4")
    pdf.set_auto_page_break(False)
    for face in job["fonts"]:
        file = face if "-" in face else f"{face}-Regular"
        pdf.add_font(face, fname=Path(fonts) / f"{file}.ttf")
    cells = job["cells"]
    for number, items in enumerate(job["labels"]):
        if number % len(cells) == 0:
            pdf.add_page()
        x, y = cells[number % len(cells)]
        for item in items:
            draw(pdf, x, y, item)
    pdf.output(out)


if __name__ == "__main__":
    main(*sys.argv[1:])
