"""Judges what a phone meets that reads a label: each kind of label of the demo farm, drawn, read, and opened.

judge_scans.py CASTLOT DEMO_DIR

Every built-in label is drawn in the printer's dots, read by zxing-cpp, and the very address it holds is opened in Chromium:
upper-case letters, TLS, query and all. Names of hosts lead to this machine: the base to a plain file server over the
published pages, the shed's address to `castlot serve` (see `served.py`). What is read must also be understood by `castlot show`,
by the farm that printed it and by one that has moved since.
"""

import contextlib
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
from served import Served, set_pins, sign_in
from shed_farm import copied, published

TEMPLATES = [*RUNS, "bin", "rack", "delivery", "batch", "hold"]
SHED = "192.168.1.20"
NOW = "2026-11-02T10:00:00Z"
HOST = "lots.marlhythe.example"
OLD_HOST = "marlhythe-worms.example"  # in the demo farm's `old_bases`
FORMS = ("web", "gs1", "text")
NEW_BASE, NEW_SHED = "https://somewhere-else.example", "http://192.168.7.7:8080"
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


def otherwise(text):
    """What was printed under the farm's older base, and what people and scanners make of a text on the way."""
    yield text.lower()
    if urlsplit(text).hostname == HOST:
        yield text.replace(HOST.upper(), OLD_HOST.upper()).replace(HOST, OLD_HOST)
    elif not urlsplit(text).hostname:
        code, _, rest = text.partition(" ")
        yield f"  {code.replace('-', '')} {rest}  "


def judge_form(castlot, demo, form, doors, room):
    """(problems, codes read, pages opened, pages opened by the server) of a farm whose codes are of one form."""
    farm = copied(demo, room / form, [('form = "web"', f'form = "{form}"')])
    moved = copied(farm, room / f"{form}-moved", [
        ('base = "https://lots.marlhythe.example"', f'base = "{NEW_BASE}"'),
        (f'shed = "http://{SHED}:8080"', f'shed = "{NEW_SHED}"'),
        ("old_bases = [", f'old_bases = ["https://lots.marlhythe.example", "http://{SHED}:8080", ')])
    found, known, problems = scanned(castlot, farm, room / f"{form}-labels")
    pages = room / f"{form}-pages"
    published(castlot, farm, pages)
    texts, first = [text for each in found.values() for text in each], {each[0] for each in found.values() if each}
    for text in texts:
        subject = known.subject(text)
        if subject is None or known.wrong(text):
            problems.append(f"{text}: {known.wrong(text)}")
            continue
        for where in (farm, moved):
            problems += shown_by(castlot, where, text, subject)
        for other in otherwise(text) if text in first else ():
            problems += shown_by(castlot, farm, other, subject)
    at_base = [text for text in texts if urlsplit(text).hostname == HOST]
    at_shed = [text for text in texts if urlsplit(text).hostname == SHED]
    with doors.pages(pages) as watch:
        for text in at_base:
            problems += open_page(watch, known, text)
    with doors.served(farm) as watch:
        for text in at_base:
            problems += [f"served: {trouble}" for trouble in open_page(watch, known, text)]
        for text in at_shed:
            problems += [f"served: {trouble}" for trouble in open_shed(watch, known, text)]
    return problems, len(texts), len(at_base), len(at_base) + len(at_shed)


def open_shed(watch, known, text):
    """What is wrong with what a bin's or a rack's code opens: without a sign-in nothing of the shed is shown."""
    status = watch.visit(text)
    words = watch.page.locator("body").inner_text()
    troubles = [] if status == 401 else [f"status {status} without a sign-in"]
    troubles += [f"`{kept}` is shown to anybody" for kept in ("last fed", "g of mix", "feed in use") if kept in words.lower()]
    sign_in(watch.page)
    kind, name = known.subject(text).split(" ")
    here = urlsplit(watch.page.url)
    # The very address that was scanned, or the round of that rack.
    ways = {f"/{kind}/{name}", f"/SHED/ROUND?RACK={name}" if kind == "RACK" else ""}
    if f"{here.path}{here.query and '?' + here.query}".upper() not in ways or name not in watch.page.locator("h1").first.inner_text():
        troubles.append(f"the sign-in leads to {watch.page.url}")
    if watch.page.evaluate("isSecureContext"):
        troubles.append("the browser takes it for this machine, not for one on the network")
    watch.context.clear_cookies()
    return [f"{text}: {trouble}" for trouble in troubles]


class Doors:
    """Chromiums for which the farm's hosts are on this machine: a folder of pages, or a server of the farm."""

    def __init__(self, castlot, room):
        self.castlot, self.certificate = castlot, certificate_for(HOST, room)

    @contextlib.contextmanager
    def pages(self, folder):
        with shown(folder, self.certificate) as port, chromium({HOST: f"127.0.0.1:{port}"}) as browser:
            with Watch(browser, 360) as watch:
                yield watch

    @contextlib.contextmanager
    def served(self, farm):
        """With TLS at the base, and plain at the shed's address: of two copies, as a farm has one server."""
        rack = copied(farm, farm.with_name(farm.name + "-rack"))
        set_pins(self.castlot, rack)
        tls = [part for pair in zip(("--cert", "--key"), self.certificate) for part in pair]
        with Served(self.castlot, farm, NOW, tls) as base, Served(self.castlot, rack, NOW) as shed:
            with chromium({HOST: f"127.0.0.1:{base.port}", SHED: f"127.0.0.1:{shed.port}"}) as browser:
                with Watch(browser, 360) as watch:
                    yield watch


def main(castlot, demo):
    started, demo, problems, counts = time.monotonic(), Path(demo), [], [0, 0, 0]
    with tempfile.TemporaryDirectory() as room:
        room = Path(room)
        doors = Doors(castlot, room)
        for form in FORMS:
            found, *seen = judge_form(castlot, demo, form, doors, room)
            problems += [f"{form}: {problem}" for problem in found]
            counts = [before + more for before, more in zip(counts, seen)]
    read, opened, served = counts
    for problem in problems[:60]:
        print(problem)
    print(f"scan judge: {len(TEMPLATES)} kinds of label in {len(FORMS)} forms, {read} codes read, {opened} pages opened by them, {served} by the server, "
          f"{len(problems)} differences, {time.monotonic() - started:.0f} s")
    return 1 if problems or read < len(TEMPLATES) * len(FORMS) or not opened else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
