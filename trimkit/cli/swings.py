"""The verb that finds a club's frequency without a frequency machine: from a film, or from a sensor's readings."""

from __future__ import annotations

import argparse
from pathlib import Path

from trimkit.papers.swingwords import CAUTION
from trimkit.parts.errors import BenchError

_MORE = f"""\
From a film: film the head from the side in slow motion, find a frame in which it passes the middle, count whole swings
(there and back) and the frames until it passes the middle the same way again. The rate is that of the filming. Many
phones play slow motion at 30 a second, or save it so: then the file's own rate is wrong; film a clock with seconds and
count its frames if in doubt.

From a sensor: any reading that follows the head (acceleration, distance, light, strain), 40 a second or more, in a CSV
file with the columns time_s (seconds) and reading, or with these two columns and no header. Pull straight,
let go without a twist, wait a second, record ten. Turn the club a quarter in the clamp and record again: two directions
that differ by little look like one frequency between them.

{CAUTION}
The maker's instructions and the person in charge of the shop come first."""


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb ``frequency``."""
    verb = verbs.add_parser(
        "frequency",
        help="find a frequency without a machine: from a slow-motion film or a sensor's readings",
        description="Find the frequency of a club or shaft that swings freely in a clamp, and how sure it is.",
        epilog=_MORE,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    what = verb.add_mutually_exclusive_group(required=True)
    what.add_argument("series", type=Path, nargs="?", metavar="SERIES", help="readings of a sensor (CSV)")
    what.add_argument("--film", action="store_true", help="from a film: with --swings, --frames, --frames-per-second")
    verb.add_argument("--swings", type=int, metavar="NUMBER", help="whole swings counted, there and back")
    verb.add_argument("--frames", type=int, metavar="NUMBER", help="frames from the first pass to the last")
    verb.add_argument("--frames-per-second", type=float, metavar="RATE", help="rate of the filming, not of the playing")
    verb.add_argument(
        "--rate-error-percent",
        type=float,
        metavar="PERCENT",
        help="standard uncertainty of that rate (default: it is taken as exact)",
    )
    verb.add_argument("--into", type=Path, metavar="FORM", help="write it into this form (to_measure.csv of tables)")
    verb.add_argument("--club", metavar="CLUB", help="the club in the form, such as 7-iron")
    verb.add_argument("--place", type=int, metavar="NUMBER", help="its place in the form, if two clubs have one name")
    verb.add_argument("--replace", action="store_true", help="replace a frequency that is in the form already")
    verb.set_defaults(run=_frequency)


def _frequency(chosen: argparse.Namespace) -> str:
    counts = (chosen.swings, chosen.frames, chosen.frames_per_second)
    if chosen.film and None in counts:
        raise BenchError(
            "a film without its counts", "--swings, --frames and --frames-per-second", "count, and give all three"
        )
    if not chosen.film and (*counts, chosen.rate_error_percent) != (None,) * 4:
        raise BenchError("counts of a film as well as a series", "one of them", "leave the counts out, or give --film")
    row = (chosen.club, chosen.place)
    if (chosen.into is None) != (row == (None, None)) or None not in row or (chosen.replace and chosen.into is None):
        raise BenchError(
            "a form or a club alone, or a club in two ways",
            "--into FORM with either --club CLUB or --place NUMBER",
            "say which row of which form, or leave them all out",
        )
    frequency_cpm, lines = _from_film(chosen) if chosen.film else _from_series(chosen.series)
    if chosen.into is not None:
        from trimkit.papers.formcell import write_frequency

        what = write_frequency(chosen.into, frequency_cpm, chosen.club, chosen.place, replace=chosen.replace)
        lines = [*lines, f"Wrote {chosen.into}: {what}, {frequency_cpm:.1f} cpm."]
    return "\n".join([*lines, CAUTION])


def _from_film(chosen: argparse.Namespace) -> tuple[float, list[str]]:
    from trimkit.papers.swingwords import film_lines
    from trimkit.shop.swings import film_frequency

    rate, off = chosen.frames_per_second, (chosen.rate_error_percent or 0.0) / 100
    found = film_frequency(chosen.swings, chosen.frames, rate, off)
    return found.frequency_cpm, film_lines(found, rate, off)


def _from_series(path: Path) -> tuple[float, list[str]]:
    from trimkit.papers.swingwords import series_lines
    from trimkit.shop.seriesfile import read_series
    from trimkit.shop.swingseries import series_frequency

    found = series_frequency(*read_series(path))
    return found.frequency_cpm, series_lines(found)
