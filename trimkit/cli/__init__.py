"""The command line: one verb for each thing to do with an order, its parts and its record.

Exit codes: 0 done (a measured club outside its tolerance is a verdict, not a refusal), 1 refused (the reason is on
standard error and nothing was written; ``records`` still lists what is whole beside a damaged file), 2 wrong arguments.
"""

from __future__ import annotations

import argparse
import gc
import io
import os
import sys
from collections.abc import Sequence

import trimkit
from trimkit.cli import bench, checking, lessons, orders, pages, recordlists, records, shafts, stick, swings
from trimkit.parts.errors import BenchError
from trimkit.parts.plaintext import shown


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="trimkit", description="Cut golf shafts by rule, checked by a beam calculation."
    )
    parser.add_argument("--version", action="version", version=f"trimkit {trimkit.__version__}")
    verbs = parser.add_subparsers(dest="verb", required=True, metavar="VERB")
    for group in (lessons, pages, stick, checking, orders, records, recordlists, swings, bench, shafts):
        group.add(verbs)
    return parser


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one verb and return the exit code; arguments as in the shell (default: those of the command line)."""
    chosen = _parser().parse_args(arguments)
    try:
        # No plugin of pydantic is used here, and looking for one takes some 4 ms of 115.
        os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
        said: str = chosen.run(chosen)
        print(shown(said))
    except BenchError as refused:
        print(f"trimkit: {shown(str(refused))}", file=sys.stderr)
        return 1
    except BrokenPipeError:  # whoever read the output has gone, as head does: there is nobody to tell
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1
    except OSError as refused:  # such as a path that the system does not accept
        why = f"{refused.filename}: {refused.strerror}. Allowed: a path that can be read. Do next: check the path."
        print(f"trimkit: {shown(why)}", file=sys.stderr)
        return 1
    return 0


def run() -> int:
    """Run one verb as a process of its own, and return the exit code.

    The process is short: without collecting garbage it starts and ends about 5 % sooner.
    """
    gc.disable()
    if isinstance(sys.stdout, io.TextIOWrapper):  # a terminal without UTF-8 gets \\xbd for ½, not an error
        sys.stdout.reconfigure(errors="backslashreplace")
    return main()
