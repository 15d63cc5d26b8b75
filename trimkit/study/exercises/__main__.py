"""``python -m trimkit.study.exercises --lesson 02 --seed 7 [--key] [--output FILE]``: exercises from the shell."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from trimkit.parts.errors import BenchError
from trimkit.study.exercises.bank import LESSONS, exercises_of
from trimkit.study.exercises.wording import numbered, questions_text, slips, write_handout


def main(arguments: Sequence[str] | None = None) -> int:
    """Print the questions or the key, or write them as a page to print; return 0, or 1 if refused."""
    parser = argparse.ArgumentParser(
        prog="python -m trimkit.study.exercises",
        description="The lessons' exercises, with numbers drawn by seed, to read or print; and the answer key.",
    )
    parser.add_argument("--lesson", action="append", help="two digits; may be given several times (default: all)")
    parser.add_argument("--seed", type=int, nargs="+", default=[1], help="one for the class, or one per student")
    parser.add_argument("--key", action="store_true", help="give the answers, for the instructor")
    parser.add_argument("--output", type=Path, help="write an HTML page to print instead of text")
    parser.add_argument("--replace", action="store_true", help="replace a page of the same name")
    given = parser.parse_args(arguments)
    lessons = given.lesson or list(LESSONS)
    try:
        if given.output is not None:
            print(write_handout(given.output, lessons, given.seed, with_key=given.key, replace=given.replace))
            return 0
        for seed in given.seed:
            for lesson in lessons:
                print(f"Lesson {lesson}, seed {seed}")
                print(_key(lesson, seed) if given.key else questions_text(exercises_of(lesson, seed)))
                print()
    except BenchError as error:
        print(error, file=sys.stderr)
        return 1
    return 0


def _key(lesson: str, seed: int) -> str:
    return "\n".join(
        f"{number} {each.answer_text}  ({each.key[3:]}; {slips(each)})"
        for number, each in numbered(exercises_of(lesson, seed))
    )


if __name__ == "__main__":
    sys.exit(main())
