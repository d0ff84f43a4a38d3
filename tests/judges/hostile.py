"""The demo farm with hostile words in every column that takes free text, and in castlot.toml.

Whatever a supplier, a buyer or a spreadsheet can put into the diary must come out as words: on pages, on the phone, on paper.
Each of the texts would be noticed in a browser if it were taken for anything else: by a dialog, on the console, by a request,
or by an element that castlot never writes.
"""

import csv
import shutil

from castlot_process import run
from shed_farm import copied

CANARY = "castlot-canary"  # stands in every word that the console, a dialog or a request would show
# Ours, after the kinds of place in which a text can be taken for markup: content, attribute, address, template, direction.
WORDS = (
    f"<script>alert('{CANARY}')</script>",
    f"\"><img src=x onerror=alert('{CANARY}')>",
    f"'><svg onload=console.error('{CANARY}')>",
    f"</title></style></textarea><script>console.error('{CANARY}')</script>",
    f"javascript:alert('{CANARY}')",
    "{{ 7*7 }} {% include \"/etc/passwd\" %} ${7*7} <%= 7*7 %>",
    f"<iframe srcdoc=\"<script>parent.alert('{CANARY}')</script>\"></iframe>",
    f"<a href=//elsewhere.example/{CANARY}>x</a><base href=//elsewhere.example/>",
    f"<form action=//elsewhere.example/{CANARY}><input name=pin></form><meta http-equiv=refresh content=0;url=//elsewhere.example/>",
    "\u202egnol era sdrow eht\u202c \u2066\u05d0\u05d1\u05d2\u2069 \u200f\u200b",
    "&lt;script&gt; &#60;b&#62; &amp;amp; --> ]]> <!-- <![CDATA[",
    f"x' onmouseover='alert(\"{CANARY}\")' y=' \" onfocus=\"alert('{CANARY}')\" autofocus tabindex=1 z=\"",
)
# What castlot's own pages never have, wherever a hostile text puts it: elements that fetch or frame, scripts and forms that
# are not the shed's own, links to elsewhere, attributes that run.
FOREIGN = """() => {
    const own = (address) => address.startsWith(location.origin + '/shed/');
    const found = [...document.querySelectorAll('img, iframe, object, embed, base, frame, [srcdoc], meta[http-equiv=refresh]')];
    found.push(...[...document.scripts].filter(e => !own(e.src)));
    found.push(...[...document.forms].filter(e => !own(e.getAttribute('action') ? e.action : location.href)));
    found.push(...[...document.querySelectorAll('[href]')].filter(e => {
        const where = new URL(e.getAttribute('href'), location.href);
        return where.origin !== location.origin && where.href !== 'data:,' && where.protocol !== 'tel:';
    }));
    found.push(...[...document.querySelectorAll('*')].filter(e => [...e.attributes].some(a => a.name.startsWith('on'))));
    return found.map(e => e.outerHTML.slice(0, 90));
}"""
# Columns of diary.md section 4 that are words and nothing else.
FREE = {
    "deliveries": "name supplier supplier_lot animal origin wormer said_by certificate note",
    "bins": "material note", "beds": "note", "feeds": "note", "skips": "why note", "checks": "smell pests note", "splits": "note",
    "tips": "note", "moves": "note", "sievings": "note", "blends": "note", "tests": "unit method lab result note",
    "packs": "despite note", "weighings": "note", "sales": "buyer market contact document despite note",
    "returns": "buyer market note", "counts": "why note", "thrown": "why note",
    "complaints": "sign heard bought_at contact note", "settlements": "why note", "holds": "reason note",
    "recalls": "buyer why note", "prints": "printer why note",
}
# Who bought and where joins sales, returns and recalls: the same words for the same person.
PEOPLE = ("buyer", "market", "bought_at", "supplier")
ALWAYS = ("note", "why", "reason", "supplier", "name", "heard", "contact")


class Spoiler:
    """Puts a hostile text beside each honest one, the same beside the same person."""

    def __init__(self):
        self.count, self.people, self.columns = 0, {}, set()

    def word(self):
        self.count += 1
        return WORDS[self.count % len(WORDS)]

    def cell(self, sheet, column, text):
        if not text and column not in ALWAYS:
            return text
        if text and column in PEOPLE:
            return self.people.setdefault(text, f"{text} {self.word()}")
        if not text and column in ("name", "contact", "supplier"):
            return text
        self.columns.add((sheet, column))
        return f"{text} {self.word()}".strip()


def spoil(sheets):
    """Rewrites a folder of exported sheets; (columns that were spoiled, cells)."""
    spoiler = Spoiler()
    for sheet, columns in FREE.items():
        path = sheets / f"{sheet}.csv"
        if not path.exists():
            continue
        with open(path, encoding="utf-8-sig", newline="") as file:
            rows = list(csv.DictReader(file))
        for row in rows:
            for column in columns.split():
                if column in row:
                    row[column] = spoiler.cell(sheet, column, row[column])
        with open(path, "w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, rows[0].keys() if rows else ["when"])
            writer.writeheader()
            writer.writerows(rows)
    return len(spoiler.columns), spoiler.count


def quoted(text):
    """As a TOML basic string."""
    return '"' + "".join({'"': '\\"', "\\": "\\\\"}.get(letter, letter) for letter in text) + '"'


def hostile_farm(castlot, demo, to):
    """A farm of the demo's own entries in hostile words; (columns, cells) that were spoiled."""
    sheets = to.with_name(to.name + "-sheets")
    run(castlot, "--farm", demo, "export", "--sheets", sheets)
    spoiled = spoil(sheets)
    run(castlot, "new", to)
    worded = copied(demo, to.with_name(to.name + "-worded"), [
        ('name = "Marlhythe Wormery"', "name = " + quoted("Marlhythe " + WORDS[0])),
        ('"The Old Drying Shed"', quoted("The Old " + WORDS[1])),
        ('name = "Worm-worked compost"', "name = " + quoted("Worked " + WORDS[2])),
        ('name = "Castings extract"', "name = " + quoted("Extract " + WORDS[5] + WORDS[9])),
    ])
    shutil.copy(worded / "castlot.toml", to / "castlot.toml")
    run(castlot, "--farm", to, "import", sheets)
    return to, spoiled


def look_at(watch, where, origin):
    """What a page did, once opened, that only a hostile text can have made it do."""
    watch.visit(where)
    return done_by(watch, origin)


def done_by(watch, origin):
    """The same of the page that is open, since what was seen was last forgotten."""
    found = [f"a dialog: {word}" for word in watch.dialogs]
    found += [f"on the console: {text}" for _, text in watch.console if CANARY in text]
    found += [f"asks for {url}" for url in watch.elsewhere(origin)]
    found += [f"kept out by the policy: {word}" for word in watch.policy_reports()]
    found += [f"an element: {html}" for html in watch.page.evaluate(FOREIGN)]
    if not watch.page.url.startswith(origin + "/"):
        found.append(f"led to {watch.page.url}")
    return found
