"""Reads what against_peers.sh measured. `same WORK` fails where castlot and a peer did not do the same work; `table
WORK` prints one table, in Markdown, and fails where a figure is over what it may be."""

import json
import subprocess
import sys
from pathlib import Path

# What is measured, its name, its peer, and the most it may take (issue 2): seconds and MB.
ROWS = [
    ("import of 100,000 rows", "import", None, 3.0, None),
    ("verify of 100,000 entries", "verify", None, 0.5, None),
    ("trace of the last pack run, --json; networkx from the CSV", "trace", "peer_trace", 0.1, 150),
    ("1,000 labels with QR as a PDF; fpdf2 + segno", "label", "peer_labels", 0.3, None),
]
TRACE_RATIO = 6
LABELS, MOST_BYTES = 1000, 1000


def same(work):
    told = json.loads((work / "trace.json").read_text(encoding="utf-8"))
    ours = {lot.get("ref") or lot["code"] for lot in told["back"]}
    theirs = set((work / "peer-trace.txt").read_text(encoding="utf-8").split())
    if ours != theirs:
        sys.exit(f"not the same lots: {sorted(ours ^ theirs)[:10]}, {len(ours)} and {len(theirs)}")
    print(f"trace: both reach the same {len(ours)} lots")
    pages = [words_of(work / name) for name in ("labels.pdf", "peer.pdf")]
    if pages[0] != pages[1]:
        sys.exit("not the same words on the same pages")
    print(f"labels: both say the same {sum(map(len, pages[0])):,} words on {len(pages[0])} pages")


def words_of(pdf):
    """The words on each page, sorted, because the two PDFs join runs of text differently."""
    said = subprocess.run(["pdftotext", "-raw", pdf, "-"], capture_output=True, text=True, check=True)
    return [sorted(page.split()) for page in said.stdout.split("\f")[:-1]]


def times(work):
    found = {}
    for file in work.glob("times-*.json"):
        told = json.loads(file.read_text(encoding="utf-8"))
        for result in told["results"]:
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

    missed = []
    print("| what | castlot: median, peak | at most | peer: median, peak | ratio of medians |")
    print("| --- | --- | --- | --- | --- |")
    for what, ours, peer, seconds, megabytes in ROWS:
        limit = f"{seconds * 1000:,.0f} ms" + (f", {megabytes} MB" if megabytes else "")
        times_quicker = time[peer][0] / time[ours][0] if peer else None
        theirs = told(peer) if peer else "-"
        ratio = f"{times_quicker:.1f}" if peer else "-"
        print(f"| {what} | {told(ours)} | {limit} | {theirs} | {ratio} |")
        if time[ours][0] > seconds or peaks[ours] > (megabytes or peaks[ours]):
            missed.append(f"{what}: more than {limit}")
        if ours == "trace" and times_quicker < TRACE_RATIO:
            missed.append(f"{what}: less than {TRACE_RATIO} times as quick as the peer")
    sizes = [(work / name).stat().st_size / LABELS for name in ("labels.pdf", "peer.pdf")]
    print(f"| bytes a label | {sizes[0]:,.0f} | {MOST_BYTES:,} | {sizes[1]:,.0f} | {sizes[1] / sizes[0]:.1f} |")
    if sizes[0] > MOST_BYTES:
        missed.append(f"a label takes more than {MOST_BYTES} bytes")
    return [f"missed: {line}" for line in missed]


def main(what, work):
    if what == "same":
        same(Path(work))
    elif missed := table(Path(work)):
        sys.exit("\n".join(missed))


if __name__ == "__main__":
    main(*sys.argv[1:])
