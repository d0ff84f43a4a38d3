"""Judges lot codes against python-stdnum's MOD 37,36 (ISO/IEC 7064), which we did not write.

judge_codes.py CASTLOT FARM

Every code in the farm's export: its shape, its check character, its day, given once. Numbers left out that
no check character (`I`, `O`) explains are counted here, since a lot may have been struck; on the random
farms of `judge_traces.py` nothing is struck, and there each of them is a difference.
"""

import re
import sys
import tempfile
from collections import defaultdict
from datetime import date
from pathlib import Path

from stdnum.iso7064 import mod_37_36

from castlot_process import run
from label_texts import MAKES_LOTS, rows

LETTER = {"deliveries": "G", "beds": "B", "splits": "B", "sievings": "H", "blends": "H", "packs": "P"}
SHAPE = re.compile(r"([GBHP])(\d\d)(\d\d\d)-(\d{2,})-([0-9A-HJ-NP-Z])")
GS1_LOT_LENGTH = 20  # AI (10)


def judge_code(code, sheet, when):
    match = SHAPE.fullmatch(code)
    if not match:
        return [f"{code} is not shaped like a lot code"]
    letter, year, day, number, _ = match.groups()
    problems = []
    if letter != LETTER[sheet]:
        problems.append(f"{code} of {sheet} should begin with {LETTER[sheet]}")
    happened = date.fromisoformat(when[:10])
    if (year, day) != (happened.strftime("%y"), happened.strftime("%j")):
        problems.append(f"{code} is not of {when}")
    if not mod_37_36.is_valid(code.replace("-", "")):
        right = mod_37_36.calc_check_digit(code[:-1].replace("-", ""))
        problems.append(f"{code} should end with {right}")
    if len(code) > GS1_LOT_LENGTH:
        problems.append(f"{code} is longer than GS1 allows")
    if len(number) > 2 and number.startswith("0"):
        problems.append(f"{code} has an idle nought")
    return problems


def left_out(codes):
    """Numbers passed over in a day of one letter that no check character explains."""
    numbers = defaultdict(set)
    for code in codes:
        stem, number, _ = code.split("-")
        numbers[stem].add(int(number))
    return [
        f"{stem}-{number:02}"
        for stem, used in sorted(numbers.items())
        for number in range(1, max(used))
        if number not in used and mod_37_36.calc_check_digit(f"{stem}{number:02}") not in "IO"
    ]


def judge(export):
    """(how many codes, differences, numbers left out)"""
    seen, problems = [], []
    for sheet in MAKES_LOTS:
        for row in rows(export, sheet):
            if row.get("code"):
                seen.append(row["code"])
                problems += judge_code(row["code"], sheet, row["when"])
            elif sheet != "splits":  # a split into a bed that is already there makes no lot
                problems.append(f"a row of {sheet} has no code: {row}")
    problems += [f"{code} was given twice" for code in sorted({c for c in seen if seen.count(c) > 1})]
    return len(seen), problems, left_out(c for c in seen if SHAPE.fullmatch(c))


def main(castlot, farm):
    with tempfile.TemporaryDirectory() as folder:
        export = Path(folder) / "export"
        run(castlot, "--farm", farm, "export", "--sheets", export)
        codes, problems, gaps = judge(export)
    for problem in problems:
        print(problem)
    print(f"code judge: {codes} codes, {len(gaps)} numbers left out (struck lots), {len(problems)} differences")
    return 1 if problems or not codes else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
