"""What each code on a label must say, worked out from the export and castlot.toml by diary.md section 6."""

import csv
import re
from pathlib import Path

from reading import read_config

LOT_CODE = r"[GBHP]\d{5}-\d{2,}-[0-9A-Z]"
PACK = re.compile(rf"({LOT_CODE})/(\d{{4,}})")
MAKES_LOTS = ("deliveries", "beds", "splits", "sievings", "blends", "packs")
DEFAULT_FORM = "text"


class Farm:
    """Lots by code, runs with their product, bins and racks: what a label can be about."""

    def __init__(self, export, config_path):
        self.config = read_config(config_path)
        self.lots, self.names = {}, {}
        for sheet in MAKES_LOTS:
            for row in rows(export, sheet):
                if row.get("code"):
                    self.lots[row["code"]] = (sheet, row)
                    self.names[row["code"]] = self.names[row.get("ref") or row["code"]] = row["code"]
        places = rows(export, "bins") + rows(export, "moves")
        self.bins = {row["bin"] for row in places}
        self.racks = {row["place"].split("/")[0] for row in places if row.get("place")}

    def packs(self, run):
        """The codes of every pack of a run, or None if it is not a run."""
        sheet, row = self.lots[run]
        if sheet != "packs":
            return None
        return {f"{run}/{serial:04}" for serial in range(1, int(row["count"]) + 1)}

    def subject(self, text):
        """The code that a scanned text is about, or None: the reading side of section 6."""
        upper = text.upper()
        for pattern, form in ((rf"/10/({LOT_CODE})/21/(\d+)$", "{}/{}"), (rf"/({LOT_CODE})\?(\d+)$", "{}/{}"),
                              (rf"/({LOT_CODE})$", "{}"), (r"/BIN/([A-Z][A-Z0-9-]*)$", "BIN {}"),
                              (r"/RACK/([A-Z0-9-]+)$", "RACK {}"), (rf"^({LOT_CODE}(?:/\d{{4,}})?)(?: |$)", "{}")):
            found = re.search(pattern, upper)
            if found:
                return form.format(*found.groups())
        return None

    def wrong(self, text):
        """Why a decoded text is not what the diary says, or None."""
        subject = self.subject(text)
        if subject is None:
            return f"`{text}` is about nothing in particular"
        if subject.startswith(("BIN ", "RACK ")):
            return self.wrong_place(subject, text)
        lot, _, serial = subject.partition("/")
        if lot not in self.lots:
            return f"`{text}` names no lot of the diary"
        if serial and subject not in (self.packs(lot) or ()):
            return f"`{text}` names no pack of the diary"
        wanted = self.pattern(lot, serial)
        return None if re.fullmatch(wanted, text) else f"`{text}` should match `{wanted}`"

    def wrong_place(self, subject, text):
        what, name = subject.split(" ")
        if name not in (self.bins if what == "BIN" else self.racks):
            return f"`{text}` names no {what.lower()} of the diary"
        qr = self.config.get("qr", {})
        shed = qr.get("shed") or qr.get("base") or ""
        wanted = address(shed) + re.escape(f"/{what}/{name}")
        return None if re.fullmatch(wanted, text) else f"`{text}` should match `{wanted}`"

    def pattern(self, lot, serial):
        """A regular expression for the text of a lot's or a pack's code; literal wherever section 6 is."""
        qr = self.config.get("qr", {})
        form, base = qr.get("form", DEFAULT_FORM), qr.get("base", "")
        sheet, row = self.lots[lot]
        gtin = self.product(row).get("gtin") if sheet == "packs" else None
        if form == "gs1" and gtin:
            pack = f"/21/{serial}" if serial else ""
            return address(base) + re.escape(f"/01/{gtin.zfill(14)}/10/{lot}{pack}")
        if form in ("web", "gs1"):
            return re.escape(upper_host(base) + "/" + lot + (f"?{serial}" if serial else ""))
        return self.one_line(lot, serial, row)

    def one_line(self, lot, serial, row):
        who = " ".join(filter(None, (self.config["farm"]["name"], self.config["farm"].get("phone"))))
        if not serial:
            # Section 6 gives the text of a pack; of another lot it says "one line, code first".
            return re.escape(lot) + r"( [^\r\n]*)?"
        product = self.product(row)
        net = re.fullmatch(r"([\d.]+)\s*(\w*)", product["net"]).groups()
        # A count has no unit in castlot.toml; a word after it on the label is welcome.
        size = re.escape(f"{net[0]} {net[1]}") if net[1] else re.escape(net[0]) + r"( \w+)?"
        packed = row["when"][:10]
        return (re.escape(f"{lot}/{serial} {product['name']} ") + size
                + re.escape(f", packed {packed}, {who}"))

    def product(self, row):
        return self.config["product"][row["product"]]


def rows(export, sheet):
    path = Path(export) / f"{sheet}.csv"
    if not path.exists():
        return []
    with open(path, encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def upper_host(base):
    """Scheme and host in upper case; a path is upper case already, or the farm would be refused."""
    return base.rstrip("/").upper()


def address(base):
    """A base whose scheme and host may stand in either case (host names do not care)."""
    base = base.rstrip("/")
    return f"(?:{re.escape(base)}|{re.escape(upper_host(base))})"
