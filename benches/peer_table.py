"""Reads what against_peers.sh measured. `same WORK` fails where castlot and a peer did not do the same work; `table
WORK` prints one table, in Markdown."""

import json
import re
import sys
import zlib
from pathlib import Path

# What is measured, its name, its peer, and the most it may take (issue 2): seconds and MB.
ROWS = [
    ("import of 100,000 rows", "import", None, 3.0, None),
    ("verify of 100,000 entries", "verify", None, 0.5, None),
    ("trace of the last pack run, --json; networkx from the CSV", "trace", "peer_trace", 0.1, 150),
    ("1,000 labels with QR as a PDF; fpdf2 + segno", "label", "peer_labels", 0.3, None),
]


def same(work):
    told = json.loads((work / "trace.json").read_text(encoding="utf-8"))
    ours = {lot.get("ref") or lot["code"] for lot in told["back"]}
    theirs = set((work / "peer-trace.txt").read_text(encoding="utf-8").split())
    if ours != theirs:
        sys.exit(f"not the same lots: {sorted(ours ^ theirs)[:10]}, {len(ours)} and {len(theirs)}")
    print(f"trace: both reach the same {len(ours)} lots")
    pages = [pages_of(work / name) for name in ("labels.pdf", "peer.pdf")]
    if pages[0] != pages[1]:
        sys.exit(f"not as many pages: {pages}")
    print(f"labels: both fill {pages[0]} pages")


def pages_of(pdf):
    """How many pages a PDF has, also where its objects are packed into streams."""
    data = pdf.read_bytes()
    for stream in re.findall(rb"stream\r?\n(.*?)endstream", data, re.DOTALL):
        try:
            data += zlib.decompress(stream)
        except zlib.error:
            pass  # not deflated
    return len(re.findall(rb"/Type ?/Page\b", data))


def times(work):
    found = {}
    for file in work.glob("*.json"):
        told = json.loads(file.read_text(encoding="utf-8"))
        for result in told.get("results", []) if isinstance(told, dict) else []:
            found[result["command"]] = (result["median"], result["min"])
    return found


def table(work):
    time, peaks = times(work), {}
    for line in (work / "peaks").read_text(encoding="utf-8").splitlines():
        name, kilobytes = line.rsplit(" ", 1)
        peaks[name] = int(kilobytes) * 1024 / 1e6

    def told(name):
        median, least = time[name]
        return f"{median * 1000:,.0f} ms (min {least * 1000:,.0f}), {peaks[name]:,.0f} MB"

    print("| what | castlot: median, peak | at most | peer: median, peak | ratio of medians |")
    print("| --- | --- | --- | --- | --- |")
    for what, ours, peer, seconds, megabytes in ROWS:
        limit = f"{seconds * 1000:,.0f} ms" + (f", {megabytes} MB" if megabytes else "")
        theirs = told(peer) if peer else "-"
        ratio = f"{time[peer][0] / time[ours][0]:.1f} x" if peer else "-"
        print(f"| {what} | {told(ours)} | {limit} | {theirs} | {ratio} |")
    sizes = [(work / name).stat().st_size / 1000 for name in ("labels.pdf", "peer.pdf")]
    print(f"| bytes a label | {sizes[0]:,.0f} | 1,000 | {sizes[1]:,.0f} | {sizes[1] / sizes[0]:.1f} x |")


if __name__ == "__main__":
    {"same": same, "table": table}[sys.argv[1]](Path(sys.argv[2]))
