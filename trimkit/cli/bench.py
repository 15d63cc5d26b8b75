"""The verb of the bench's own machine: make the predictions agree with what it reads."""

from __future__ import annotations

import argparse
from datetime import datetime
from pathlib import Path

from trimkit.cli.arguments import add_parts


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb ``calibrate``."""
    calibrate = verbs.add_parser(
        "calibrate",
        help="find how stiff your shafts are and how far your clamp gives, from frequency readings",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        description="""Find, from frequencies that your own machine read, how stiff each kind of shaft is beside its
description (EI factor) and how far the clamp gives (rad for each N m), with their uncertainties.

READINGS are CSV files, or workbooks with sheets of these names:
  to_measure      finished clubs: the form that trimkit tables ORDER writes, frequency_cpm filled in.
                  A column clamp_in (in) may be added, where a club was not clamped as the order says.
  bare_shafts     bare shafts, a row for each reading, a test weight at the tip: the file of trimkit assign.

shop.toml beside your parts says the clamp of the order's clubs and the usual test weight; its calibrated shafts are
not used here, and how far its clamp gives only with --clamp-as-stated.""",
        epilog="""One bare shaft at several depths in the clamp, and another. Lengths are in inches, masses in grams.
An empty test_mass_g or clamp_in is that of [test_weight] in shop.toml, an empty test_offset_in is 0:

  mark,shaft,raw_length_in,raw_mass_g,raw_frequency_cpm,test_mass_g,test_offset_in,clamp_in
  1,steel parallel 110 g combination,,109.6,264.4,205,,5
  1,steel parallel 110 g combination,,109.6,287.8,205,,8
  1,steel parallel 110 g combination,,109.6,353.4,205,,14
  1,steel parallel 110 g combination,,109.6,461.9,205,,20
  1,steel parallel 110 g combination,,109.6,674.0,205,,26
  2,graphite wood 60 g regular,,62.3,216.7,205,,5

For example, nine irons of one order and bare shafts together:
  trimkit calibrate to_measure.csv bare_shafts.csv --order class.toml --picture residuals.png --keep my_parts

Clamp a bare shaft only as its maker allows; pad the jaws, and never crush graphite.""",
    )
    calibrate.add_argument("readings", type=Path, nargs="+", metavar="READINGS", help="readings, CSV file or workbook")
    calibrate.add_argument("--order", type=Path, metavar="ORDER", help="order (TOML) whose finished clubs were read")
    add_parts(calibrate)
    calibrate.add_argument(
        "--reading-error",
        type=float,
        metavar="CPM",
        help="standard deviation of one reading, cpm: read one club ten times (default: 0.5, from memory)",
    )
    calibrate.add_argument(
        "--clamp-as-stated",
        action="store_true",
        help="do not fit the clamp: as the order says (root_spring_n_m_per_rad), or else shop.toml beside your parts",
    )
    calibrate.add_argument(
        "--picture",
        type=Path,
        metavar="FILE",
        help="also draw the residuals over the free length: FILE.svg or FILE.png",
    )
    calibrate.add_argument("--replace", action="store_true", help="overwrite an older picture")
    calibrate.add_argument(
        "--keep", type=Path, metavar="FOLDER", help="also write the result into FOLDER/shop.toml; the rest of it stays"
    )
    calibrate.set_defaults(run=_calibrate)


def _calibrate(chosen: argparse.Namespace) -> str:
    from trimkit.club.order.order import load_order
    from trimkit.club.set import build_set
    from trimkit.club.shopfile import parts_and_shop
    from trimkit.papers.calibration.form import read_readings, stated_compliance
    from trimkit.papers.calibration.kept import check_keeping, keep
    from trimkit.papers.calibration.words import calibration_lines
    from trimkit.shop.calibration import READING_ERROR_CPM, calibrate

    catalogue, shop = parts_and_shop(chosen.data, chosen.own_parts)
    if shop is not None:  # the shafts as their tables describe them, not as an earlier calibration found them
        shop = shop.model_copy(update={"calibrated": ()})
    built = None if chosen.order is None else build_set(load_order(chosen.order, catalogue, shop))
    read = read_readings(chosen.readings, catalogue, built, shop)
    found = calibrate(
        read.readings,
        stated_compliance_rad_per_n_m=stated_compliance(built, shop) if chosen.clamp_as_stated else None,
        reading_error_cpm=READING_ERROR_CPM if chosen.reading_error is None else chosen.reading_error,
        could_read=read.could_read,
    )
    lines = [*calibration_lines(found), *(f"Read {line}." for line in read.how_read)]
    today = datetime.now().astimezone().date()
    if chosen.keep is not None:
        check_keeping(chosen.keep, found, today)  # before the picture is there
    if chosen.picture is not None:
        from trimkit.study.figures.calibration import calibration_picture, save_picture

        lines.append(f"Wrote {save_picture(chosen.picture, calibration_picture(found), replace=chosen.replace)}.")
    if chosen.keep is not None:
        lines.append(f"Wrote {keep(chosen.keep, found, today)}: it counts for orders made with the parts beside it.")
    return "\n".join(lines)
