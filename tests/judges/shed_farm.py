"""Copies of the demo farm with another castlot.toml, and their pages."""

import re
import shutil
from pathlib import Path

from castlot_process import run

LOT = re.compile(r"[GBHP]\d{5}-\d{2,}-[0-9A-Z]")


def copied(demo, to, settings=()):
    """A copy of a farm; each of `settings` is (what stands in castlot.toml, what shall stand there)."""
    to.mkdir(parents=True)
    for name in ("castlot.toml", "diary.db", "artwork", "templates"):
        if (demo / name).is_dir():
            shutil.copytree(demo / name, to / name)
        elif (demo / name).exists():
            shutil.copy(demo / name, to / name)
    config = to / "castlot.toml"
    text = config.read_text(encoding="utf-8")
    for old, new in settings:
        if old not in text:
            raise RuntimeError(f"castlot.toml has no `{old}` to change")
        text = text.replace(old, new)
    config.write_text(text, encoding="utf-8")
    return to


def published(castlot, farm, to):
    """The pages of a farm: their paths within the folder."""
    run(castlot, "--farm", farm, "publish", to)
    return sorted(str(path.relative_to(to)) for path in Path(to).rglob("*.html"))


def address(path):
    """The way to a page as an address has it: a folder for its index."""
    return re.sub(r"(^|/)index\.html$", r"\1", path)


def some_of_each(folder, paths):
    """Of each kind of page, and of each banner on it, the longest and the shortest."""
    groups = {}
    for path in paths:
        text = (folder / path).read_text(encoding="utf-8")
        lot = LOT.search(path)
        kind = path.count("/21/") and "pack" or (lot[0][0] if lot else path.split("/")[0])
        banner = tuple(sorted(set(re.findall(r'class="banner (\w+)"', text))))
        groups.setdefault((kind, banner), []).append((len(text), path))
    return sorted({pick[1] for group in groups.values() for pick in (min(group), max(group))})
