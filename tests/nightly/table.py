"""The table of one night beside the last one: what passed and now fails, and what has become slower or larger.

``python tests/nightly/table.py FOLDER DATE MACHINE`` reads ``parts.tsv`` in the folder (part, result, seconds, a line
each) and of each part ``PART.txt``, in which a line ``figure NAME VALUE UNIT`` is a measured figure, less is better. It
writes ``table-DATE.json`` and ``table-DATE.md``, prints the latter, and ends with 1 if something has become worse than
in the newest earlier table.
"""

from __future__ import annotations

import json
import re
import sys
from pathlib import Path
from typing import Any

SLOWER = 1.5
"""A part may take so many times as long as it did, chosen here: other work on the machine is worth less."""
WORSE = 1.3
"""A figure may be so many times what it was; chosen here."""
FIGURE = re.compile(r"^figure (?P<name>.+) (?P<value>\d+(?:\.\d+)?) (?P<unit>\S+)$", re.MULTILINE)

Table = dict[str, Any]


def made(parts: str, outputs: dict[str, str], date: str, machine: str) -> Table:
    """Return a night's table. parts: ``parts.tsv``; outputs: what each part printed."""
    rows = [line.split("\t") for line in parts.splitlines() if line]
    results = {name: {"result": result, "seconds": int(seconds)} for name, result, seconds in rows}
    figures = {
        f"{part}: {found['name']}": {"value": float(found["value"]), "unit": found["unit"]}
        for part in results
        for found in FIGURE.finditer(outputs.get(part, ""))
    }
    return {"date": date, "machine": machine, "parts": results, "figures": figures}


def regressions(last: Table, now: Table) -> list[str]:
    """Return what is worse than last time, a sentence each; times and figures only of one and the same machine."""
    worse, same = [], last["machine"] == now["machine"]
    for part, row in now["parts"].items():
        then = last["parts"].get(part)
        if then and then["result"] == "passed" and row["result"] == "FAILED":
            worse.append(f"{part} passed on {last['date']} and fails now")
        both = then and same and {then["result"], row["result"]} == {"passed"}
        if both and row["seconds"] > SLOWER * max(then["seconds"], 1):
            worse.append(f"{part} took {row['seconds']} s, {then['seconds']} s on {last['date']}")
    if same:
        for name, figure in now["figures"].items():
            before = last["figures"].get(name)
            if before and before["unit"] == figure["unit"] and figure["value"] > WORSE * before["value"] > 0:
                change = f"{figure['value']:g} {figure['unit']}, {before['value']:g} on {last['date']}"
                worse.append(f"{name} is {change}")
    return worse


def markdown(now: Table, worse: list[str]) -> str:
    lines = [f"# Night of {now['date']}", "", now["machine"], "", "| part | result | s |", "| --- | --- | --- |"]
    lines += [f"| {part} | {row['result']} | {row['seconds']} |" for part, row in now["parts"].items()]
    if now["figures"]:
        lines += ["", "| figure | measured |", "| --- | --- |"]
        lines += [f"| {name} | {each['value']:g} {each['unit']} |" for name, each in now["figures"].items()]
    return "\n".join([*lines, "", *([f"Worse: {each}." for each in worse] or ["Nothing is worse."])]) + "\n"


def main(folder: Path, date: str, machine: str) -> int:
    parts = (folder / "parts.tsv").read_text("utf-8")
    outputs = {path.stem: path.read_text("utf-8", "replace") for path in folder.glob("*.txt")}
    now = made(parts, outputs, date, machine)
    new = folder / f"table-{date}.json"
    earlier = sorted(path for path in folder.glob("table-*.json") if path.name < new.name)
    worse = regressions(json.loads(earlier[-1].read_text("utf-8")), now) if earlier else []
    new.write_text(json.dumps(now, indent=1), "utf-8")
    said = markdown(now, worse)
    new.with_suffix(".md").write_text(said, "utf-8")
    print(said)
    return 1 if worse else 0


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]), sys.argv[2], sys.argv[3]))
