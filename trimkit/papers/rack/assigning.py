"""Measured bare shafts into the heads of an order: which into which, in words and as a CSV file."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from trimkit.club.clamp import FrequencyBench
from trimkit.club.club import ClubBuild, finished_club
from trimkit.club.set import SetBuild
from trimkit.papers.rack.bareshaft import RackShaft, made_in
from trimkit.parts.csvtext import csv_text
from trimkit.parts.errors import BenchError, DataFileError, Place, WallsUnknown
from trimkit.parts.units import signed
from trimkit.shop.assignment import SAME_LENGTH_IN, Assignment, as_they_lie, best_assignment, frequency_matrix
from trimkit.shop.rawshaft import MeasuredShaft

FAR_OFF = 0.1
"""A shaft this much stiffer or softer than described is named: misread, or of another kind. Chosen here."""


@dataclass(frozen=True, eq=False)
class KindAssigned:
    """The clubs of an order on one kind of shaft: the best assignment, and the one of a bench that does not sort.

    clubs: in the order's sequence. left: the shafts of this kind that stay.
    """

    shaft: str
    clubs: tuple[ClubBuild, ...]
    best: Assignment
    lying: Assignment

    @property
    def left(self) -> tuple[int, ...]:
        """The numbers, in the matrix, of the shafts that no club takes."""
        return tuple(j for j in range(len(self.best.matrix.shafts)) if j not in self.best.chosen)


@dataclass(frozen=True, eq=False)
class Assigned:
    """Measured shafts in the heads of an order.

    own: clubs that have their own shaft. others: marks of shafts of a kind that no club of the order has.
    """

    kinds: tuple[KindAssigned, ...]
    own: tuple[str, ...]
    others: tuple[str, ...]


def assign_shafts(built: SetBuild, shafts: Iterable[RackShaft]) -> Assigned:
    """Answer which measured shaft to put into which head of an order, within each kind of shaft.

    Each club's target is what it would measure with the shaft as described, and as the shop has calibrated it, cpm,
    with the tip weight in that its wanted swingweight needs. A shaft was read as its row says, else as the shop's own
    file does, in the clamp of the order. A club whose order says what was measured on its shaft has that shaft.

    Raises DataFileError for rows that do not say enough, without a mark or with that of another; BenchError if every
    club has its shaft; WallsUnknown for a kind that has no predictions; ModelError as
    :func:`trimkit.shop.assignment.best_assignment`.
    """
    shafts, order = tuple(shafts), built.order
    takes = [club for club in built.clubs if club.plan.wanted.in_hand is None]
    names = list(dict.fromkeys(club.plan.wanted.shaft.name for club in takes))
    if not names:
        given, allowed = "every club of the order has a shaft of its own in hand", "a club that takes a measured shaft"
        raise BenchError(given, allowed, "take raw_length_in, raw_mass_g or pulled out of its [[club]] table")
    for club in takes:
        if club.no_prediction:
            raise WallsUnknown(club.no_prediction, "walls or stations that are known", "measure them, or sort by hand")
    faults, read = _unmarked(shafts), list[tuple[str, MeasuredShaft, FrequencyBench]]()
    for each in shafts:
        try:
            kind, measured, bench = each.kind(order.catalogue, names), each.measured, each.bench(order.shop)
            if (raw_in := measured.raw_length_in) is not None:
                raw_in = made_in(kind, raw_in, SAME_LENGTH_IN, each.at("raw_length_in"), order.catalogue)
                measured = replace(measured, raw_length_in=raw_in)
        except BenchError as error:
            faults.append(error)
            continue
        clamp = replace(bench, root_spring_n_m_per_rad=order.assembly.root_spring_n_m_per_rad)
        read.append((kind.name, measured, clamp))
    if faults:
        raise DataFileError(tuple(faults))
    made = []
    for name in names:
        clubs = tuple(club for club in takes if club.plan.wanted.shaft.name == name)
        mine = [(measured, bench) for kind, measured, bench in read if kind == name]
        matrix = frequency_matrix(
            [club.plan for club in clubs],
            [measured for measured, _ in mine],
            [bench for _, bench in mine],
            assembly=[finished_club(club).assembly for club in clubs],
        )
        made.append(KindAssigned(name, clubs, best_assignment(matrix), as_they_lie(matrix)))
    own = tuple(club.plan.club for club in built.clubs if club.plan.wanted.in_hand is not None)
    others = tuple(measured.mark for kind, measured, _ in read if kind not in names)
    return Assigned(tuple(made), own, others)


def _unmarked(shafts: Iterable[RackShaft]) -> list[BenchError]:
    """Return a fault for each row without a mark, and for each mark that an earlier row has."""
    first, faults = dict[str, Place](), list[BenchError]()
    for each in shafts:
        mark = each.measured.mark
        if not mark or mark in first:
            given = f"the mark {mark!r} is in row {first[mark].row} as well" if mark else "it has no mark"
            step = "write a mark on it, and a row for each shaft: one reading is enough here"
            faults.append(BenchError(given, "a mark of its own for each shaft", step, each.at("mark")))
        first.setdefault(mark, each.place)
    return faults


CLUB_HEADS = ("club", "shaft", "raw cpm", "raw g", "target cpm", "expected cpm", "off by cpm")

MEANING = (
    "target: what the club measures with the shaft as described, or as shop.toml has calibrated its kind, and the",
    "tip weight in that its swingweight needs.",
    "The sum of the squared deviations is as small as these shafts allow. Mark each shaft before it is cut.",
)


def club_rows(kind: KindAssigned) -> list[tuple[str, ...]]:
    """Return a row for each club of a kind, with the shaft that it gets, in the columns of :data:`CLUB_HEADS`."""
    best, matrix, rows = kind.best, kind.best.matrix, list[tuple[str, ...]]()
    for club, j, target, expected, off in zip(
        kind.clubs, best.chosen, matrix.target_cpm, best.frequency_cpm, best.deviation_cpm, strict=True
    ):
        shaft = matrix.shafts[j]
        numbers = (f"{shaft.raw_frequency_cpm:.1f}", f"{shaft.raw_mass_g:.1f}", f"{target:.1f}", f"{expected:.1f}")
        rows.append((club.plan.club, shaft.mark, *numbers, signed(off, 1)))
    return rows


def assigned_lines(assigned: Assigned) -> list[str]:
    """Return the assignment in lines of text: shaft by head, target and expected cpm, what is gained, what stays."""
    lines = list[str]()
    for kind in assigned.kinds:
        rows = [CLUB_HEADS, *club_rows(kind)]
        widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
        lines.append(kind.shaft)
        for row in rows:
            words = "  ".join(map(str.ljust, row[:2], widths[:2]))
            lines.append(f"{words}  {'  '.join(map(str.rjust, row[2:], widths[2:]))}")
        lines += [*gain_lines(kind), ""]
    return [*lines, *left_out_lines(assigned), *MEANING]


def gain_lines(kind: KindAssigned) -> list[str]:
    """Return what sorting the shafts of a kind gains, which are left over, and which are far off their description."""
    best, lying, matrix = kind.best, kind.lying, kind.best.matrix
    lines = [
        f"Off target, root mean square and worst: {best.rms_cpm:.1f} and {best.worst_cpm:.1f} cpm; "
        f"as they lie: {lying.rms_cpm:.1f} and {lying.worst_cpm:.1f} cpm; gained: "
        f"{lying.rms_cpm - best.rms_cpm:.1f} and {signed(lying.worst_cpm - best.worst_cpm, 1)} cpm.",
        f"Left over: {', '.join(matrix.shafts[j].mark for j in kind.left) or 'none'}.",
    ]
    factors = np.array([]) if matrix.ei_factor is None else matrix.ei_factor
    far = [
        f"{shaft.mark} ({'stiffer' if factor > 1 else 'softer'} by {abs(factor - 1):.0%})"
        for shaft, factor in zip(matrix.shafts, factors, strict=True)
        if abs(factor - 1) > FAR_OFF
    ]
    if far:
        lines.append(f"Far off their description: {', '.join(far)}. Read them again; or they are of another kind.")
    return lines


def left_out_lines(assigned: Assigned) -> list[str]:
    """Return which clubs and which shafts were left out."""
    lines = list[str]()
    if assigned.own:
        lines.append(f"Their order gives them a shaft of their own: {', '.join(assigned.own)}.")
    if assigned.others:
        lines.append(f"Of a kind that no club of the order takes: {', '.join(assigned.others)}.")
    return lines


def assigned_csv(assigned: Assigned, file: str | None = None) -> str:
    """Return the assignment as CSV text, a row a club, then a row for each shaft left over, without a club. cpm, g."""
    columns = ["shaft", "club", "place", "mark", "raw_frequency_cpm", "raw_mass_g", "target_cpm", "expected_cpm"]
    rows: list[list[object]] = []
    for kind in assigned.kinds:
        best, matrix = kind.best, kind.best.matrix
        found = zip(kind.clubs, best.chosen, matrix.target_cpm, best.frequency_cpm, strict=True)
        for place, (club, j, target, expected) in enumerate(found, start=1):
            read = matrix.shafts[j]
            told = [read.mark, read.raw_frequency_cpm, read.raw_mass_g]
            rows.append([kind.shaft, club.plan.club, place, *told, *_tenths(target, expected, expected - target)])
        for j in kind.left:
            read = matrix.shafts[j]
            rows.append([kind.shaft, None, None, read.mark, read.raw_frequency_cpm, read.raw_mass_g, None, None, None])
    return csv_text([*columns, "off_by_cpm"], rows, file)


def _tenths(*cpm: float) -> list[float]:
    return [round(float(each), 1) + 0.0 for each in cpm]
