"""The head's bore: how high its bottom is, what that changes at the tip, and whether the tip fits it.

Trimming by the BBGL is common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from trimkit.parts.components import Head, HeadKind, Material, Shaft
from trimkit.parts.errors import TrimRefused
from trimkit.parts.sources import Source, Standing
from trimkit.parts.units import say_in
from trimkit.trim.practice import BenchPractice
from trimkit.trim.refusals import finite
from trimkit.trim.steps import Note, Severity

BORE_RULE = Source("a shaft's steps stand at the same height above the ground line whatever the bore", Standing.DERIVED)
TIP_LIMIT = Source("makers limit how far a graphite tip may be trimmed", Standing.COMMON_PRACTICE)
DRY_FIT = Source("bare shaft and dry fit, measured", Standing.MEASURED)


class BoreChoice(StrEnum):
    """What to do about a bore that differs from the schedule's: follow it, leave it, or go as far as possible."""

    CORRECT = "correct for the bore"
    LEAVE = "leave the bore uncorrected"
    AS_FAR_AS_IT_GOES = "correct as far as the tip goes"


@dataclass(frozen=True)
class DryFit:
    """Two measurements with the same shaft: its bare length, and cap end to ground line with the head dry-fitted, in.

    Raises TrimRefused if one is not a finite length of more than 0.
    """

    bare_shaft_in: float
    dry_fitted_in: float

    def __post_init__(self) -> None:
        for what, value in (("the bare shaft", self.bare_shaft_in), ("the dry-fitted club", self.dry_fitted_in)):
            if finite(what, value) <= 0:
                raise TrimRefused(f"{what} measures {say_in(value)}", "more than 0 in", "measure it again")

    @property
    def bbgl_in(self) -> float:
        """Bottom of bore to ground line, in: dry-fitted length less bare length; 0 or less if the bore goes through.

        >>> DryFit(bare_shaft_in=40.0, dry_fitted_in=41.25).bbgl_in
        1.25
        """
        return self.dry_fitted_in - self.bare_shaft_in


def bbgl_correction_in(bbgl_in: float, bbgl_reference_in: float) -> float:
    """Return how much a head's BBGL adds to the tip trim: BBGL less the BBGL the schedule is written for, all in in.

    BBGL + parallel tip section - tip trim is the height of the first step above the ground line; it must stay the
    same. Derived. Raises TrimRefused if a value is not finite.

    >>> bbgl_correction_in(1.25, 1.0)
    0.25
    """
    return finite("BBGL", bbgl_in) - finite("the schedule's BBGL reference", bbgl_reference_in)


def bore_notes(
    head: Head, shaft: Shaft, dry_fit: DryFit | None, bbgl_reference_in: float | None, practice: BenchPractice
) -> tuple[Note, ...]:
    """Return what to flag about a head's bore: one that goes through, a wood's, two measurements that disagree.

    bbgl_reference_in: what the shaft's table is written for, in; None where nobody knows.
    """
    bbgl = head.bbgl_in if dry_fit is None else dry_fit.bbgl_in
    error = practice.measuring_error_in
    notes = []
    if bbgl <= 0:
        notes.append(_through(bbgl, shaft))
    elif bbgl_reference_in is not None and head.kind in (HeadKind.DRIVER, HeadKind.FAIRWAY):
        off = bbgl_correction_in(bbgl, bbgl_reference_in)
        if abs(off) > error + 1e-9:
            notes.append(_wood_bore(head, off))
    if dry_fit is not None and abs(dry_fit.bbgl_in - head.bbgl_in) > error:
        notes.append(
            Note(
                Severity.WARNING,
                f"The dry fit gives a BBGL of {say_in(dry_fit.bbgl_in)}, the head's table says "
                f"{say_in(head.bbgl_in)}; the dry fit is used.",
                "measure once more before the saw and correct the head's table",
                DRY_FIT,
            )
        )
    return tuple(notes)


def other_bbgl_notes(head: Head, table_bbgl_in: float | None, practice: BenchPractice) -> tuple[Note, ...]:
    """Return the warning about an order's BBGL that is off the head's table (in) by more than a measuring error."""
    if table_bbgl_in is None or abs(head.bbgl_in - table_bbgl_in) <= practice.measuring_error_in + 1e-9:
        return ()
    own, listed = say_in(head.bbgl_in), say_in(table_bbgl_in)
    text = f"The order gives a BBGL of {own}, the head's table {listed}; the order's is used."
    step = "measure it once more before the saw: bare shaft against dry fit; then correct the one that is wrong"
    return (Note(Severity.WARNING, text, step, head.source),)


def _through(bbgl_in: float, shaft: Shaft) -> Note:
    where = f"{say_in(abs(bbgl_in))} {'below the' if bbgl_in < 0 else 'from the'} ground line"
    dust = "; wet or with extraction: graphite dust" if shaft.material is Material.GRAPHITE else ""
    return Note(
        Severity.NOTE,
        f"The bore goes through: the shaft's lower end is {where}.",
        f"measure with the tip where it will stay, and finish it flush with the sole after the glue has cured{dust}",
        BORE_RULE,
    )


def _wood_bore(head: Head, off_in: float) -> Note:
    depth = f"{say_in(head.bore_depth_in)} of tip go in"
    if off_in > 0:
        text = f"A shallow bore: it ends {say_in(off_in)} higher than the shaft's table expects, and {depth}."
        step = "ask the shaft's maker whether that is enough tip to glue"
    else:
        text = f"A deep bore: it ends {say_in(-off_in)} lower than the shaft's table expects, and {depth}."
        step = "clear the bore to its bottom and dry-fit the shaft until it sits there; what stands higher plays softer"
    return Note(Severity.NOTE, text, step, BORE_RULE)


def check_fit(head: Head, shaft: Shaft, practice: BenchPractice) -> None:
    """Raise TrimRefused if the shaft's tip diameter does not fit the head's bore."""
    gap = head.bore_diameter_in - shaft.tip_diameter_in
    if -practice.caliper_in - 1e-9 <= gap < practice.widest_bore_in - 1e-9:
        return
    sizes = (
        f"the tip of shaft {shaft.name!r} measures {shaft.tip_diameter_in:.3f} in, the bore of head {head.name!r} "
        f"{head.bore_diameter_in:.3f} in"
    )
    remedy = (
        "take a shaft with the tip for this bore; do not grind the tip down or drill the bore out without its maker's "
        "approval"
        if gap < 0
        else "take a shaft with the tip for this bore, or a sleeve that both makers allow"
    )
    raise TrimRefused(sizes, "a tip that fills its bore (common sizes 0.335, 0.350, 0.355, 0.370 in)", remedy)


def most_tip_trim_in(head: Head, shaft: Shaft) -> float:
    """Return the most that may come off a tip for this head, in; below 0 where the tip is too short for the bore.

    min(tip section - bore depth, its maker's limit where one is known). Derived.
    """
    fills = shaft.tip_section_in - head.bore_depth_in
    return fills if shaft.most_tip_trim_in is None else min(fills, shaft.most_tip_trim_in)


def check_fill(head: Head, shaft: Shaft, tip_trim_in: float) -> None:
    """Raise TrimRefused for a tip trim (in) past the maker's limit, or one that leaves too little tip for the bore."""
    limit, left = shaft.most_tip_trim_in, shaft.tip_section_in - tip_trim_in
    if limit is not None and tip_trim_in > limit + 1e-9:
        raise TrimRefused(
            f"{say_in(tip_trim_in)} of tip trim, and the maker of shaft {shaft.name!r} allows {say_in(limit)}",
            f"at most {say_in(limit)} of tip trim",
            "choose a softer flex or another shaft; past its maker's limit a shaft can break",
        )
    if left < head.bore_depth_in - 1e-9:
        raise TrimRefused(
            f"{say_in(tip_trim_in)} of tip trim would leave {say_in(left)} of the {say_in(shaft.tip_section_in)} "
            f"parallel tip of shaft {shaft.name!r}, and the bore of head {head.name!r} takes "
            f"{say_in(head.bore_depth_in)}",
            f"at most {say_in(most_tip_trim_in(head, shaft))} of tip trim, or less if the shaft's maker says so",
            "choose a softer flex or a shaft with a longer parallel tip; past its maker's limit a shaft can break",
        )


def tip_limit_notes(shaft: Shaft, tip_trim_in: float) -> tuple[Note, ...]:
    """Return the caution about a graphite tip that is cut although nobody wrote down how far its maker allows."""
    if shaft.material is not Material.GRAPHITE or shaft.most_tip_trim_in is not None or tip_trim_in <= 0:
        return ()
    text = f"This graphite tip loses {say_in(tip_trim_in)}, and nobody wrote down how much its maker allows."
    step = "ask its maker before the saw and write it into shafts.csv, most_tip_trim_in"
    return (Note(Severity.CAUTION, text, step, TIP_LIMIT),)
