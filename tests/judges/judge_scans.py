"""Judges what a phone meets that reads a label: each kind of label of the demo farm, drawn, read, and opened.

judge_scans.py CASTLOT DEMO_DIR

Every built-in label is drawn in the printer's dots, read by zxing-cpp, and the very address it holds is opened in Chromium:
upper-case letters, TLS, query and all. Names of hosts lead to this machine: the base to a plain file server over the
published pages, the shed's address to `castlot serve` (see `served.py`). What is read must also be understood by `castlot show`,
by the farm that printed it and by one that has moved since.
"""

import json
import sys
import tempfile
import time
from pathlib import Path
from urllib.parse import urlsplit

import zxingcpp
from PIL import Image

from browser import Watch, chromium
from castlot_process import run
from judge_every_label import RUNS, subjects
from label_texts import Farm
from page_server import certificate_for, shown
from pdf_reading import output_of
from shed_farm import copied, published

TEMPLATES = [*RUNS, "bin", "rack", "delivery", "batch", "hold"]
HOST = "lots.marlhythe.example"
FORMS = ("web", "gs1", "text")
NEW_BASE = "https://somewhere-else.example"
# Labels without a square code, by their template: the code is on the pack's other label.
NO_CODE = ("bag-back",)


def codes_on(castlot, farm, out, arguments, template):
    """The texts of the codes on a label of a template, or why there is none."""
    out.mkdir(exist_ok=True)
    for old in out.glob("*"):
        old.unlink()
    code, said = output_of(castlot, "--farm", farm, "label", *arguments, "--template", template, "--png",
                           "--out", out / "label.pdf")
    if code != 0:
        return [], said.strip()
    texts = []
    for picture in sorted(out.glob("*.png")):
        # White round the page, as any paper has beyond a label's edge.
        page = Image.open(picture).convert("L")
        found = zxingcpp.read_barcodes(page, formats=zxingcpp.BarcodeFormat.QRCode)
        texts += [each.text for each in found]
    return texts, ""


def scanned(castlot, farm, out):
    """{template: texts of its codes}, and the problems of those that cannot be had."""
    exported = out.with_name(out.name + "-export")
    run(castlot, "--farm", farm, "export", "--sheets", exported)
    known, found, problems = Farm(exported, farm / "castlot.toml"), {}, []
    for template in TEMPLATES:
        said = "nothing to print it for"
        for arguments in [["--racks", "all"]] if template == "rack" else subjects(known, template):
            texts, said = codes_on(castlot, farm, out, arguments, template)
            if texts or not said:
                break
        found[template] = texts if not said else []
        if said:
            problems.append(f"{template} cannot be printed: {said}")
        if not texts and template not in NO_CODE:
            problems.append(f"{template}: no code is read on it")
    return found, known, problems


def open_page(watch, known, text):
    """What is wrong with the page that a scanned address opens."""
    lot, _, serial = known.subject(text).partition("/")
    status = watch.visit(text)
    if status != 200:
        return [f"{text}: status {status}"]
    shows = watch.page.locator(".plate code").first.inner_text()
    troubles = [f"the browser says: {word}" for word in watch.policy_reports() + watch.errors()]
    if lot not in shows:
        troubles.append(f"the page is about {shows}")
    if serial and "/21/" in text and serial not in watch.page.locator("main").inner_text():
        troubles.append(f"the page does not name pack {serial}")
    return [f"{text}: {trouble}" for trouble in troubles]


def shown_by(castlot, farm, text, subject):
    """Whether `castlot show` takes a scanned text for what it is."""
    code, said = output_of(castlot, "--farm", farm, "show", text, "--json")
    try:
        seen = json.loads(said[:said.rindex("}") + 1])["code"] if code == 0 else None
    except (ValueError, KeyError):
        seen = None
    wanted = subject.split(" ")[-1]
    return [] if seen == wanted else [f"`castlot show {text}` says {seen or said.strip()}, not {wanted}"]


def judge_form(castlot, demo, form, browser_of, room):
    """(problems, codes read, pages opened) of a farm whose codes are of one form."""
    farm = copied(demo, room / form, [('form = "web"', f'form = "{form}"')])
    moved = copied(farm, room / f"{form}-moved", [
        ('base = "https://lots.marlhythe.example"', f'base = "{NEW_BASE}"'),
        ("old_bases = [", 'old_bases = ["https://lots.marlhythe.example", ')])
    found, known, problems = scanned(castlot, farm, room / f"{form}-labels")
    pages = room / f"{form}-pages"
    published(castlot, farm, pages)
    texts = [text for each in found.values() for text in each]
    for text in texts:
        subject = known.subject(text)
        if subject is None or known.wrong(text):
            problems.append(f"{text}: {known.wrong(text)}")
            continue
        for where in (farm, moved):
            problems += shown_by(castlot, where, text, subject)
    opened = [text for text in texts if (urlsplit(text).hostname or "") == HOST]
    if opened:
        with browser_of(pages) as watch:
            for text in opened:
                problems += open_page(watch, known, text)
    return problems, len(texts), len(opened)


class OverTls:
    """A browser for which the farm's host is a folder of pages on this machine."""

    def __init__(self, certificate):
        self.certificate = certificate

    def __call__(self, folder):
        self.folder = folder
        return self

    def __enter__(self):
        self.server = shown(self.folder, self.certificate)
        self.chromium = chromium({HOST: f"127.0.0.1:{self.server.__enter__()}"})
        self.watch = Watch(self.chromium.__enter__(), 360)
        return self.watch

    def __exit__(self, *_):
        self.watch.close()
        self.chromium.__exit__(None, None, None)
        self.server.__exit__(None, None, None)


def main(castlot, demo):
    started, demo, problems, read, opened = time.monotonic(), Path(demo), [], 0, 0
    with tempfile.TemporaryDirectory() as room:
        room = Path(room)
        over_tls = OverTls(certificate_for(HOST, room))
        for form in FORMS:
            found, texts, pages = judge_form(castlot, demo, form, over_tls, room)
            problems += [f"{form}: {problem}" for problem in found]
            read, opened = read + texts, opened + pages
    for problem in problems[:60]:
        print(problem)
    print(f"scan judge: {len(TEMPLATES)} kinds of label in {len(FORMS)} forms, {read} codes read, {opened} pages opened by them, "
          f"{len(problems)} differences, {time.monotonic() - started:.0f} s")
    return 1 if problems or read < len(TEMPLATES) * len(FORMS) or not opened else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
