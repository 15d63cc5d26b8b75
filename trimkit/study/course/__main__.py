"""``python -m trimkit.study.course FOLDER``: the sheets of a class and its key, from the shell."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from trimkit.parts.errors import BenchError
from trimkit.study.course.handouts import write_class


def main(arguments: Sequence[str] | None = None) -> int:
    """Write the sheets and the key; return 0, or 1 if refused."""
    parser = argparse.ArgumentParser(
        prog="python -m trimkit.study.course",
        description="Write a class's papers into a folder, as pages to print: a sheet for each student with their own "
        "numbers, and the key of all lessons.",
    )
    parser.add_argument("folder", type=Path, metavar="FOLDER", help="folder to write into; it is made if need be")
    parser.add_argument("--students", type=int, default=12, metavar="NUMBER", help="how many (default: 12)")
    parser.add_argument(
        "--first-seed", type=int, default=1, metavar="NUMBER", help="of the first student; the next have the next ones"
    )
    parser.add_argument("--plan", type=Path, metavar="NOTEBOOK", help="your own copy of the instructor's plan")
    parser.add_argument("--replace", action="store_true", help="replace pages of the same names")
    given = parser.parse_args(arguments)
    try:
        for path in write_class(given.folder, given.students, given.first_seed, plan=given.plan, replace=given.replace):
            print(path)
    except BenchError as error:
        print(error, file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
