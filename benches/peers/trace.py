"""Peer for the trace: networkx, from the same CSV sheets. `trace.py SHEETS RUN` prints the refs of what could
have reached a pack run, one a line, sorted.

A lot is a chain of nodes, one for each time something went in; a draw leaves the newest node of its source. So every
path follows time, and one `nx.ancestors` is the whole trace. This is less than castlot answers, all in the peer's
favour: no shares and amounts, no part, live or carried, no first and last, no buyers, no rules and no chain of
digests; days without a time, splits, tips, counts, strikes and opened packs are not understood; sheets that move
nothing are not read; rows of the same minute are taken in the order of FLOWS (enough for this farm, not for all).
"""

import csv
import sys
from pathlib import Path

import networkx as nx

# The sheets that move material, and the columns of: where it goes, what it takes, its ref.
FLOWS = [
    ("beds", "bin", "takes", "ref"),
    ("feeds", "bin", "takes", None),
    ("sievings", None, "from", "ref"),
    ("blends", None, "from", "ref"),
    ("packs", None, "from", "ref"),
]


def rows_of(folder):
    found = []
    for turn, (sheet, *columns) in enumerate(FLOWS):
        with open(folder / f"{sheet}.csv", encoding="utf-8", newline="") as file:
            rows = csv.reader(file)
            header = next(rows)
            header.append(None)  # what the sheet has no column for
            when, into, takes, ref = (header.index(c) for c in ("when", *columns))
            for row in rows:
                row.append(None)
                found.append((row[when], turn, row[into], row[takes], row[ref]))
    found.sort(key=lambda row: row[:2])
    return found


def sources(takes, bed_in):
    for part in takes.split(";"):
        name = part.split(maxsplit=1)[0]
        yield bed_in.get(name, name)


def graph_of(rows):
    graph, newest, bed_in = nx.DiGraph(), {}, {}
    for number, (_, _, bin_code, takes, ref) in enumerate(rows):
        target = bed_in[bin_code] if ref is None else ref
        drawn = [newest.get(source, (source, -1)) for source in sources(takes, bed_in)]
        if bin_code is not None:
            bed_in[bin_code] = target
        node = (target, number)
        if target in newest:
            graph.add_edge(newest[target], node)
        newest[target] = node
        graph.add_edges_from((source, node) for source in drawn)
    return graph, newest


def main(folder, run):
    graph, newest = graph_of(rows_of(Path(folder)))
    reached = {lot for lot, _ in nx.ancestors(graph, newest[run])}
    print("\n".join(sorted(reached - {run})))


if __name__ == "__main__":
    main(*sys.argv[1:])
