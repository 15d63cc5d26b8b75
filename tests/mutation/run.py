"""Test the tests: change the code in one place at a time, and see whether a test of that room notices.

    pip install -e ".[test,mutation]"
    python tests/mutation/run.py [--jobs 2] [ROOM ...]        rooms: trim check mechanics record saving exercise;
                                                              only where they are named: club tables card

Only the tests beside the code count, in the ordinary size: what is marked ``nightly`` stays out. A survivor is
accepted where ``survivors.md`` says why; the command tells how many are new there, and fails if one is, or if less than
92 of 100 mutants of a room are killed. ``--survivors`` prints the new ones as lines of that file, after their module.
"""

from __future__ import annotations

import argparse
import os
import re
import sys
import time
from collections import Counter, defaultdict
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
sys.path[:0] = [str(ROOT), str(HERE)]

import session  # noqa: E402
from mutants import Module, Mutant  # noqa: E402

WANTED = 0.92
ROOMS: dict[str, tuple[list[str], list[str]]] = {
    "trim": (["trimkit/trim"], ["tests/trim"]),
    "check": (["trimkit/check"], ["tests/check"]),
    "mechanics": (
        ["trimkit/mechanics/balance.py", "trimkit/mechanics/cantilever.py"],
        ["tests/mechanics", "tests/published"],
    ),
    "record": (["trimkit/papers/record"], ["tests/papers/record"]),
    "saving": (["trimkit/parts/saving.py"], ["tests/parts/test_saving.py", "tests/parts/test_saving_system.py"]),
    "exercise": (
        [f"trimkit/study/exercises/{name}.py" for name in ("exercise", "marking", "reading")],
        [f"tests/study/exercises/test_{name}.py" for name in ("exercise", "marking", "reading")],
    ),
}
BY_NAME: dict[str, tuple[list[str], list[str]]] = {
    "club": (
        [
            f"trimkit/club/{name}.py"
            for name in ("pulled", "trimroom", "swingweight", "order/clubs", "order/order", "club")
        ],
        ["tests/club"],
    ),
    "tables": (["trimkit/parts/grid.py", "trimkit/parts/workbook.py"], ["trimkit/parts", "tests/parts"]),
    "card": (
        ["trimkit/papers/benchcard.py", "trimkit/papers/reasons.py"],
        ["tests/papers/test_benchcard.py", "tests/papers/test_reasons.py"],
    ),
}
"""Rooms whose survivors are not all listed yet: run only where they are named."""
LINE = re.compile(r"- `(?P<where>[^`]*)`: `(?P<old>.*)` → `(?P<new>.*)`: (?P<why>.+)")


def files_of(sources: list[str]) -> list[Path]:
    return [
        file
        for source in sources
        for file in (sorted((ROOT / source).rglob("*.py")) if (ROOT / source).is_dir() else [ROOT / source])
    ]


def accepted() -> list[tuple[str, re.Pattern[str]]]:
    """The survivors of survivors.md: the line as it stands there, and what it stands for; … is anything."""
    found, module = [], ""
    for line in (HERE / "survivors.md").read_text("utf-8").splitlines():
        if line.startswith("## "):
            module = line.removeprefix("## ").strip()
        elif match := LINE.fullmatch(line):
            found.append((f"{module} {line}", pattern(module, match["where"], match["old"], match["new"])))
    return found


def pattern(*words: str) -> re.Pattern[str]:
    return re.compile(re.escape("\n".join(words)).replace("…", ".*"))


def test_room(room: str, jobs: int, only: str, every: int) -> tuple[dict[str, Counter[str]], list[Mutant]]:
    """Test all mutants of a room; the counts by module, and the survivors."""
    sources, tests = (ROOMS | BY_NAME)[room]
    modules = [module for file in files_of(sources) if (module := Module(file)).mutants]
    arguments = [str(ROOT / path) for path in [*sources, *tests]]
    known = session.answer_of(*session.fork(lambda: session.baseline(modules, arguments)))
    if known is None or known["failed"]:
        sys.exit(f"{room}: the tests fail as they are: {known and known['failed']}")
    if only:
        for module in modules:
            module.mutants = [
                mutant for mutant in module.mutants if only in f"{module.path.relative_to(ROOT)}:{mutant.where}"
            ]

    for module in modules:
        module.mutants = module.mutants[::every]

    tell = os.dup(sys.stderr.fileno())  # the children's own goes nowhere
    mutants = [mutant for module in modules for mutant in module.mutants]
    number = {id(mutant): index for index, mutant in enumerate(mutants)}

    def inside() -> dict[int, str]:
        found: dict[int, str] = {}

        def report(mutant: Mutant, status: str, detail: str | None) -> None:
            found[number[id(mutant)]] = "same code" if detail == "same code" else status
            if len(found) % 50 == 0:
                os.write(tell, f"{room}: {len(found)} of {len(mutants)}\n".encode())

        session.in_bodies(modules, arguments, known, jobs, report)
        return found

    results = session.answer_of(*session.fork(inside))
    again = [
        mutant
        for index, mutant in enumerate(mutants)
        if session.runs_on_import(mutant, known["lines"][str(mutant.module.path)])
        and results.get(index, session.SURVIVED) == session.SURVIVED
    ]

    def outside() -> dict[int, str]:
        found: dict[int, str] = {}

        def report(mutant: Mutant, status: str, detail: str | None) -> None:
            found[number[id(mutant)]] = status

        session.anew(again, known, jobs, report)
        return found

    if again:
        results |= session.answer_of(*session.fork(outside))
    counts: dict[str, Counter[str]] = defaultdict(Counter)
    survivors = []
    for index, mutant in enumerate(mutants):
        status = results[index]
        if status == "same code":
            continue
        counts[str(mutant.module.path.relative_to(ROOT))][status] += 1
        if status == session.SURVIVED:
            survivors.append(mutant)
    return counts, survivors


def row(name: str, count: Counter[str], new: int, seconds: float | None = None) -> str:
    total = count.total()
    share = (count[session.KILLED] + count[session.TIMEOUT]) / total if total else 1.0
    cells = [name, total, count[session.KILLED], count[session.TIMEOUT], count[session.SURVIVED], new]
    took = "" if seconds is None else f"{seconds:.0f}"
    return "| " + " | ".join(map(str, [*cells, f"{100 * share:.1f} %", took])) + " |"


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("rooms", nargs="*", metavar="ROOM", help=" ".join(ROOMS | BY_NAME))
    parser.add_argument("--jobs", type=int, default=os.cpu_count() or 2)
    parser.add_argument("--only", default="", help="only mutants of modules or functions with this text in their name")
    parser.add_argument(
        "--every", type=int, default=1, help="only every so-manieth mutant of a module, for a first look"
    )
    parser.add_argument("--survivors", action="store_true", help="print the new survivors (stderr)")
    options = parser.parse_args()
    unknown = [room for room in options.rooms if room not in ROOMS | BY_NAME]
    if unknown:
        parser.error(f"no room {unknown[0]!r}; there are {' '.join(ROOMS | BY_NAME)}")
    os.chdir(ROOT)
    os.environ["PYTHONPATH"] = str(ROOT)  # for processes that a test starts: they see the code as it is
    known, failed, met = accepted(), False, set[str]()
    print("| module | mutants | killed | timeouts | survivors | of these new | killed share | s |")
    print("| --- | --- | --- | --- | --- | --- | --- | --- |", flush=True)
    for room in options.rooms or ROOMS:
        start = time.monotonic()
        counts, survivors = test_room(room, options.jobs, options.only, options.every)
        new = Counter()
        for mutant in survivors:
            name = (str(mutant.module.path.relative_to(ROOT)), mutant.where, *mutant.change())
            matching = {line for line, form in known if form.fullmatch("\n".join(name))}
            met |= matching
            if not matching:
                new[name[0]] += 1
                if options.survivors:
                    print(f"{name[0]} - `{name[1]}`: `{name[2]}` → `{name[3]}`: ", file=sys.stderr)
        for module, count in counts.items():
            print(row(module, count, new[module]))
        total = sum(counts.values(), Counter())
        print(row(f"**{room}**", total, new.total(), time.monotonic() - start), flush=True)
        failed |= bool(new) or total[session.SURVIVED] > (1 - WANTED) * total.total()
    if not options.rooms and not options.only and options.every == 1:
        for line, _ in known:
            if line not in met:
                print(f"no longer a survivor: {line}")
    return int(failed)


if __name__ == "__main__":
    sys.exit(main())
