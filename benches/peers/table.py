"""Reads what against_peers.sh measured. `same WORK` fails where castlot and a peer did not do the same work; `table
WORK` prints one table, in Markdown, and fails where a figure is over what it may be."""

import json
import subprocess
import sys
from pathlib import Path

# What is measured, its name, its peer, and the most it may take: seconds and MB.
ROWS = [
    ("import of 100,000 rows", "import", None, 3.0, None),
    ("verify of 100,000 entries", "verify", None, 0.5, None),
    ("publish of 10,000 lots", "publish", None, 10.0, 200),
    ("the same again, nothing being new", "publish_again", None, 10.0, 200),
    ("trace of the last pack run, --json; networkx from the CSV", "trace", "peer_trace", 0.1, 150),
    ("1,000 labels with QR as a PDF; fpdf2 + segno", "label", "peer_labels", 0.3, None),
    ("10,000 labels; fpdf2 + segno", "label_10k", "peer_labels_10k", None, 150),
    ("100,000 labels", "label_100k", None, None, None),
]
# By how many times castlot has to be quicker.
RATIOS = {"trace": 6, "label_10k": 30}
# Ten times the labels may take ten times as long, and a fifth for a machine that is never quite quiet.
LINEAR = 12
MOST_BYTES = 500


def same(work):
    told = json.loads((work / "trace.json").read_text(encoding="utf-8"))
    ours = {lot.get("ref") or lot["code"] for lot in told["back"]}
    theirs = set((work / "peer-trace.txt").read_text(encoding="utf-8").split())
    if ours != theirs:
        sys.exit(f"not the same lots: {sorted(ours ^ theirs)[:10]}, {len(ours)} and {len(theirs)}")
    print(f"trace: both reach the same {len(ours)} lots")
    for labels in (1000, 10_000):
        pages = [words_of(work / f"{name}-{labels}.pdf") for name in ("labels", "peer")]
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
            # What the processors did, on a machine that others work on too.
            worked = result["user"] + result["system"]
            found[result["command"]] = (result["median"], result["min"], worked)
    return found


def table(work):
    time, peaks = times(work), {}
    for line in (work / "peaks").read_text(encoding="utf-8").splitlines():
        name, kilobytes = line.rsplit(" ", 1)
        peaks[name] = int(kilobytes) * 1024 / 1e6

    def told(name):
        median, least, worked = (part * 1000 for part in time[name])
        return f"{median:,.0f} ms (min {least:,.0f}; processors {worked:,.0f}), {peaks[name]:,.0f} MB"

    missed = []
    print("| what | castlot: median, peak | at most | peer: median, peak | ratio of medians |")
    print("| --- | --- | --- | --- | --- |")
    for what, ours, peer, seconds, megabytes in ROWS:
        limits = [f"{seconds * 1000:,.0f} ms"] * bool(seconds) + [f"{megabytes} MB"] * bool(megabytes)
        limit = ", ".join(limits) or "-"
        times_quicker = time[peer][0] / time[ours][0] if peer else None
        theirs = told(peer) if peer else "-"
        ratio = f"{times_quicker:.1f}" if peer else "-"
        print(f"| {what} | {told(ours)} | {limit} | {theirs} | {ratio} |")
        if time[ours][0] > (seconds or time[ours][0]) or peaks[ours] > (megabytes or peaks[ours]):
            missed.append(f"{what}: more than {limit}")
        if times_quicker and times_quicker < RATIOS.get(ours, 1):
            missed.append(f"{what}: less than {RATIOS.get(ours, 1)} times as quick as the peer")
    longer = time["label_100k"][0] / time["label_10k"][0]
    print(f"| ten times the labels, how many times as long | {longer:.1f} | {LINEAR} | - | - |")
    if longer > LINEAR:
        missed.append(f"100,000 labels take more than {LINEAR} times as long as 10,000")
    sizes = [(work / f"{name}-10000.pdf").stat().st_size / 10_000 for name in ("labels", "peer")]
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
