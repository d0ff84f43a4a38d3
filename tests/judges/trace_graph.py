"""Trace judge: who could have reached whom, by plain reachability in a networkx graph.

Every flow is a node; every lot is a chain of moments. A flow leaves its source at the *end* of its own
moment and enters its target at the *start* of it, so that what overlaps counts as before (diary.md,
section 3, "Reach"). A lot is reached when a path exists; how it is reached (section 5) is the same
question asked of three graphs: bulk and whole flows only, live and whole flows only, and all flows.

By hand: trace_graph.py SHEETS FARM CASTLOT
"""

import sys
from collections import defaultdict
from dataclasses import dataclass
from pathlib import Path

import networkx as nx

from castlot_process import ask
from farm_parts import BULK, LIVE, TOUCH, WHOLE
from ordering import farm_of
from reading import moment, read_sheets

PART, ALIVE, CARRIED = "part", "live", "carried"
WAYS = {PART: {BULK, WHOLE}, ALIVE: {LIVE, WHOLE}, CARRIED: {BULK, LIVE, WHOLE, TOUCH}}


@dataclass(frozen=True)
class Reached:
    relation: str
    first: str
    last: str


class TimeGraph:
    """One lot a chain of moments, one flow a node between two chains; only flows of `classes`."""

    def __init__(self, flows, classes):
        self.flows = [flow for flow in flows if flow.flow_class in classes]
        self.graph = nx.DiGraph()
        moments = defaultdict(set)
        for flow in self.flows:
            here = ("flow", flow.number)
            self.graph.add_edge(("lot", flow.source, flow.when.hi), here)
            self.graph.add_edge(here, ("lot", flow.target, flow.when.lo))
            moments[flow.source].add(flow.when.hi)
            moments[flow.target].add(flow.when.lo)
        for lot, times in moments.items():
            in_order = sorted(times)
            for earlier, later in zip(in_order, in_order[1:]):
                self.graph.add_edge(("lot", lot, earlier), ("lot", lot, later))

    def back(self, subject, at=None):
        """Numbers of the flows from which a path leads to `subject` (as it was at the moment `at`)."""
        starts = [f for f in self.flows if f.target == subject and (at is None or f.when.lo <= at.hi)]
        return self.spread(starts, nx.ancestors)

    def forward(self, subject, at=None):
        starts = [f for f in self.flows if f.source == subject and (at is None or f.when.hi >= at.lo)]
        return self.spread(starts, nx.descendants)

    def spread(self, starts, neighbours):
        # One extra node in front of (or behind) all starts, so that one search serves them all.
        edges = [(("flow", f.number), "subject") for f in starts]
        if neighbours is nx.descendants:
            edges = [(end, begin) for begin, end in edges]
        if not edges:
            return set()
        self.graph.add_edges_from(edges)
        found = {node[1] for node in neighbours(self.graph, "subject") if node[0] == "flow"}
        self.graph.remove_node("subject")
        return found


class Traces:
    """Back and forward of every lot of a farm."""

    def __init__(self, farm):
        self.farm = farm
        self.searched = {}
        self.graphs = {relation: TimeGraph(farm.flows, classes) for relation, classes in WAYS.items()}

    def back(self, subject, at=None):
        return self.reached(lambda graph: graph.back(subject, at), lambda flow: flow.source)

    def forward(self, subject, at=None):
        return self.reached(lambda graph: graph.forward(subject, at), lambda flow: flow.target)

    def reached(self, search, far_end):
        flows = {relation: search(graph) for relation, graph in self.graphs.items()}
        by_lot = defaultdict(list)
        for number in flows[CARRIED]:
            by_lot[far_end(self.farm.flows[number])].append(self.farm.flows[number])
        lots = {relation: {far_end(self.farm.flows[n]) for n in numbers} for relation, numbers in flows.items()}
        return {
            lot: Reached(next(r for r in WAYS if lot in lots[r]), earliest(counted), latest(counted))
            for lot, counted in by_lot.items()
        }

    def part_flows(self, source, target):
        """Flows on some way by which `source` is part of `target`: where `basis` is read."""
        graph, found = self.graphs[PART], []
        for search, subject in ((graph.back, target), (graph.forward, source)):
            if (search.__name__, subject) not in self.searched:
                self.searched[search.__name__, subject] = search(subject)
            found.append(self.searched[search.__name__, subject])
        return found[0] & found[1]


# READING: a day without a time begins before and ends after every minute of it.
def earliest(flows):
    return min((f.when.lo, f.when.hi, f.when.text) for f in flows)[2]


def latest(flows):
    return max((f.when.hi, -f.when.lo, f.when.text) for f in flows)[2]


def compare(farm, subject, side, expected, answer):
    """Differences between the judge's lots and castlot's, as lines a person can read.

    READING: a lot that reaches itself (overs that go back to their own bed) is left out on both sides."""
    wanted = {key: seen for key, seen in expected.items() if key != subject}
    told, problems = {}, []
    for item in answer[side]:
        key = farm.key(item["code"])
        if key in told:
            problems.append(f"{item['code']} is listed twice")
        told[key] = item
    told.pop(subject, None)
    for key in sorted(wanted.keys() - told.keys()):
        problems.append(f"{key} is missing: {wanted[key]}")
    for key in told.keys() - wanted.keys():
        problems.append(f"{told[key]['code']} should not be there: {told[key]}")
    for key in sorted(wanted.keys() & told.keys()):
        problems += differences(farm.lots[key], wanted[key], told[key])
    return [f"trace {farm.lots[subject].code or subject} --{side}: {p}" for p in problems]


def differences(lot, wanted, told):
    pairs = [
        ("relation", wanted.relation, told["relation"]),
        ("first", moment(wanted.first).text, moment(told["first"]).text),
        ("last", moment(wanted.last).text, moment(told["last"]).text),
        ("kind", lot.kind, told["kind"]),
        ("ref", lot.ref or None, told.get("ref") or None),
    ]
    return [f"{lot.key}: {what} should be {a!r}, is {b!r}" for what, a, b in pairs if a != b]


def judge(farm, traces, castlot, folder, subject):
    problems = []
    for side, expected in (("back", traces.back(subject)), ("forward", traces.forward(subject))):
        problems += compare(farm, subject, side, expected, ask(castlot, folder, subject, side))
    return problems


def main(sheets_folder, farm_folder, castlot):
    farm = farm_of(read_sheets(sheets_folder, Path(farm_folder) / "castlot.toml"))
    traces = Traces(farm)
    problems = [p for lot in farm.lots for p in judge(farm, traces, castlot, farm_folder, lot)]
    print("\n".join([*problems, f"trace judge: {len(farm.lots)} lots, {len(problems)} differences"]))
    return 1 if problems else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
