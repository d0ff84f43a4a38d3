"""Who bought: the names a trace must give, from the sales sheet alone.

Only names are judged here, and only where no pack came home again (`returns`), because diary.md does not
say whether a buyer who brought everything back is still listed.
"""

from taking import sold_runs


def compare(farm, subject, forward, answer):
    if any(entry.sheet == "returns" for entry in farm.taken):
        return []
    runs = {lot for lot in forward if farm.lots[lot].kind == "pack run"} - {subject}
    if farm.lots[subject].kind == "pack run":
        if runs:
            return []  # "of the packs in `forward`, or of the subject": not plain which, where there are both
        runs = {subject}
    wanted = sorted({
        entry.get("buyer") or entry.get("market")
        for entry in farm.taken
        if entry.sheet == "sales" and runs & {farm.key(name) for name in sold_runs(entry.get("packs"))}
    })
    told = sorted({item.get("buyer") or item.get("market") for item in answer["buyers"]})
    problems = [] if wanted == told else [f"buyers should be {wanted}, are {told}"]
    for item in answer["forward"]:
        lot = farm.lots.get(farm.key(item["code"]))
        if lot is not None and lot.kind == "pack run" and item["packs"] != lot.count:
            problems.append(f"{item['code']}: packs should be {lot.count}, is {item['packs']}")
    return [f"trace {farm.lots[subject].code or subject} --forward: {p}" for p in problems]
