"""The head's bore: how high its bottom is, what that changes at the tip, and whether the tip fits it.

Trimming by the BBGL is common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from trimkit.parts.components import Head, Shaft
from trimkit.parts.errors import TrimRefused
from trimkit.parts.sources import Source, Standing
from trimkit.parts.units import say_in
from trimkit.trim.practice import BenchPractice
from trimkit.trim.refusals import finite
from trimkit.trim.steps import Note, Severity

BORE_RULE = Source("a shaft's steps stand at the same height above the ground line whatever the bore", Standing.DERIVED)
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


def bore_notes(head: Head, dry_fit: DryFit | None, practice: BenchPractice) -> tuple[Note, ...]:
    """Return what to flag about a head's BBGL: a bore that goes through, or two measurements that disagree."""
    notes = []
    bbgl = head.bbgl_in if dry_fit is None else dry_fit.bbgl_in
    if bbgl <= 0:
        notes.append(
            Note(
                Severity.NOTE,
                f"The bore goes through: the shaft's lower end is {say_in(abs(bbgl))} "
                f"{'below the' if bbgl < 0 else 'from the'} ground line.",
                "measure with the tip where it will stay, and finish it flush with the sole after the glue has cured",
                BORE_RULE,
            )
        )
    if dry_fit is not None and abs(dry_fit.bbgl_in - head.bbgl_in) > practice.measuring_error_in:
        notes.append(
            Note(
                Severity.WARNING,
                f"The dry fit gives a BBGL of {say_in(dry_fit.bbgl_in)}, the head's table says {say_in(head.bbgl_in)}; "
                "the dry fit is used.",
                "measure once more before the saw and correct the head's table",
                DRY_FIT,
            )
        )
    return tuple(notes)


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


def check_fill(head: Head, shaft: Shaft, tip_trim_in: float) -> None:
    """Raise TrimRefused if a parallel tip, trimmed this much (in), no longer fills the bore with parallel tube."""
    left = shaft.tip_section_in - tip_trim_in
    if left < head.bore_depth_in - 1e-9:
        raise TrimRefused(
            f"{say_in(tip_trim_in)} of tip trim would leave {say_in(left)} of the {say_in(shaft.tip_section_in)} "
            f"parallel tip of shaft {shaft.name!r}, and the bore of head {head.name!r} takes "
            f"{say_in(head.bore_depth_in)}",
            f"at most {say_in(shaft.tip_section_in - head.bore_depth_in)} of tip trim, or less if the shaft's maker "
            "says so",
            "choose a softer flex or a shaft with a longer parallel tip; past its maker's limit a shaft can break",
        )
