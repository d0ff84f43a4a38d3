"""Packs by what became of them, from the sheets alone: how many of each run are, or were, with people.

READING: a pack counts as sold while it is with a buyer, and when it came back because somebody complained; one that
came back unsold does not. A serial that comes home though only a number of its run was sold is one of that number.
"""

from collections import defaultdict

from reading import draws, names

OUT, THROWN, OPENED, BACK = "out", "thrown", "opened", "back with a complaint"


class Shelf:
    """The packs of one run."""

    def __init__(self, count):
        self.count = count
        self.fates = {}  # serial -> fate; a serial that is not there is in store
        self.loose = defaultdict(int)  # fate -> how many whose serials nobody noted

    def left(self):
        return self.count - len(self.fates) - sum(self.loose.values())

    def take(self, which, fate):
        if which.startswith("x"):
            self.loose[fate] += int(which[1:])
        elif which == "all":
            if any(self.loose.values()):
                self.loose[fate] += max(self.left(), 0)
            else:
                for serial in range(1, self.count + 1):
                    self.fates.setdefault(serial, fate)
        else:
            for serial in serials(which):
                self.fates[serial] = fate

    def bring(self, which, complained):
        if which.startswith("x"):
            number = min(int(which[1:]), self.loose[OUT])
            self.loose[OUT] -= number
            if complained:
                self.loose[BACK] += int(which[1:])
            return
        if which == "all":
            raise NotImplementedError("packs that come back all at once")
        for serial in serials(which):
            if serial not in self.fates and self.loose[OUT]:
                self.loose[OUT] -= 1
            elif self.fates.get(serial) != OUT:
                continue
            self.fates.pop(serial, None)
            if complained:
                self.fates[serial] = BACK

    def sold(self):
        numbered = sum(fate in (OUT, BACK) for fate in self.fates.values())
        return numbered + self.loose[OUT] + self.loose[BACK]


def serials(which):
    first, _, last = which.lstrip("#/").partition("-")
    return range(int(first), int(last or first) + 1)


def picks(text):
    """(run, which) of each item: `run-7 #1-12`, `run-7 x5`, `run-7 all`, `run-7/1-3`."""
    for item in names(text):
        if " " in item:
            run, which = item.split(" ", 1)
        else:
            run, which = item.split("/", 1)
        yield run, which.strip()


def shelves(farm, sheets):
    """Every run's shelf at the end of what was taken."""
    runs = {key: Shelf(lot.count) for key, lot in farm.lots.items() if lot.kind == "pack run"}
    for entry in farm.taken:
        if entry.sheet == "sales":
            for run, which in picks(entry.get("packs")):
                runs[farm.key(run)].take(which, OUT)
        elif entry.sheet == "returns":
            for run, which in picks(entry.get("packs")):
                runs[farm.key(run)].bring(which, entry.get("state") == "complained")
        elif entry.sheet == "thrown":
            for run, which in thrown_packs(farm, entry, runs):
                runs[run].take(which, THROWN)
        for column in ("takes", "from"):
            if entry.sheet in ("beds", "feeds", "blends", "packs"):
                for item in draws(entry.get(column), sheets.measures):
                    if item.packs:
                        runs[farm.key(item.lot)].take(f"#{item.packs}", OPENED)
    return runs


def thrown_packs(farm, entry, runs):
    for item in names(entry.get("what")):
        run, _, which = item.replace("/", " ").partition(" ")
        if farm.key(run) in runs:
            yield farm.key(run), which.strip()
