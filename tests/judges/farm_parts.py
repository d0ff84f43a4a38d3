"""Lots, flows, and the farm they add up to (diary.md, section 5)."""

from dataclasses import dataclass, field
from fractions import Fraction

from reading import Amount, Moment

BULK, LIVE, WHOLE, TOUCH = "bulk", "live", "whole", "touch"

# Section 5: the class of a flow out of a lot of this kind, where it is not counted in pieces.
CLASS_OF_KIND = {
    "manure": BULK, "feedstock": BULK, "bedding": BULK, "grit": BULK, "packing": BULK, "feed": BULK,
    "castings": BULK, "overs": BULK, "liquid": BULK, "worms": LIVE, "cocoons": WHOLE,
    "pack run": WHOLE,  # packs opened again
}


@dataclass
class Lot:
    key: str
    code: str
    ref: str
    kind: str
    when: Moment
    unit: str | None = None
    count: int = 0
    delivered: bool = False


@dataclass(frozen=True)
class Flow:
    number: int
    source: str
    target: str
    when: Moment
    flow_class: str
    amount: Amount | None  # None: by `share`, or by dividing what `divided` says
    share: Fraction | None = None
    divided: tuple | None = None  # (the whole amount, the source beds)


@dataclass
class Farm:
    lots: dict = field(default_factory=dict)
    names: dict = field(default_factory=dict)
    bins: dict = field(default_factory=dict)  # bin -> key of the bed in it
    flows: list = field(default_factory=list)
    # What happened, in Order: ("flows", [Flow]), ("drop", key, Amount, when), ("end", key), ("test", key, name, when, value)
    steps: list = field(default_factory=list)
    taken: list = field(default_factory=list)
    ended: set = field(default_factory=set)

    def key(self, name):
        return self.names.get(name)

    def where(self, bed):
        return next((bin for bin, key in self.bins.items() if key == bed), None)
