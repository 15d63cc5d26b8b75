"""The butt cut: what is left beyond the cut length, or what is missing; and how the grip fits what is left.

Cutting the butt last, to length, is common practice, no source.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from trimkit.parts.components import STEEL_DENSITY_KG_M3, Grip, Material, Shaft, TipKind
from trimkit.parts.errors import TrimRefused
from trimkit.parts.sources import Source, Standing
from trimkit.parts.units import M_PER_IN, say_in, say_number
from trimkit.trim.practice import PRACTICE_SOURCE, BenchPractice
from trimkit.trim.refusals import ShaftTooShort
from trimkit.trim.steps import DECIDED, Note, Severity, StepKind, TrimStep, joined

STEEL_DENSITY_SOURCE = Source("density of constructional steel, tables", Standing.PUBLISHED)
RULER_MARK_IN = 1 / 16
"""Shortest extension worth gluing on, in: one mark of the ruler; chosen here."""
_GEOMETRY = Source("lengths along the shaft, from the cap end to the ground line", Standing.DERIVED)


@dataclass(frozen=True)
class ButtCut:
    """The cuts at the butt end: lengths in in, the butt's outer diameter in in, layers of build-up tape, steps, notes.

    raw length + extension = tip trim + cut length + butt trim.
    """

    cut_length_in: float
    butt_trim_in: float
    extension_in: float
    butt_diameter_in: float
    tape_layers: int
    steps: tuple[TrimStep, ...]
    notes: tuple[Note, ...]


def cut_length_in(playing_length_in: float, bbgl_in: float, cap_thickness_in: float) -> float:
    """Return the length (in) of the bare shaft after both cuts.

    cut length = playing length - BBGL - cap thickness (in). Derived from the geometry along the shaft.

    >>> cut_length_in(38.5, 1.5, 0.125)
    36.875
    """
    return playing_length_in - bbgl_in - cap_thickness_in


def butt_cut(
    shaft: Shaft,
    grip: Grip,
    *,
    raw_length_in: float,
    tip_trim_in: float,
    playing_length_in: float,
    bbgl_in: float,
    extend: bool = False,
    why: str = "",
    practice: BenchPractice | None = None,
    cut_before: bool = False,
    kept_by: Iterable[Source] = (),
    left_by: Iterable[Source] = (),
) -> ButtCut:
    """Decide the butt cut of a shaft whose tip is already decided.

    raw_length_in: of the piece on the bench (a taper family's shaft is described at its longest raw length).
    extend: build the club even though the shaft is too short; why: the order's reason. cut_before: whether the butt may
    have been cut for another club. All lengths in in. kept_by: what playing length, BBGL and cap rest on; left_by: raw
    length and tip trim. A step is as good as the worst of its lengths.
    butt trim = raw length - tip trim - cut length. Raises ShaftTooShort if it is negative and no extension is decided
    or it would be too long, TrimRefused if the butt is too far below the grip's core to build up with tape.
    """
    practice = practice or BenchPractice()
    cut = cut_length_in(playing_length_in, bbgl_in, grip.cap_thickness_in)
    left_over = raw_length_in - tip_trim_in - cut
    butt_trim = max(left_over, 0.0)
    shortfall = -left_over if left_over < -1e-9 else 0.0
    lengths = f"{say_in(raw_length_in)} raw, less {say_in(tip_trim_in)} at the tip and {say_in(cut)} to keep"
    below = "below the shaft's end" if bbgl_in >= 0 else "of shaft below the ground line"
    sign = "less" if bbgl_in >= 0 else "plus"
    said = (
        f"{say_in(playing_length_in)} playing length, {sign} {say_in(abs(bbgl_in))} {below}, less "
        f"{say_in(grip.cap_thickness_in)} of grip cap: {say_in(cut)} to keep."
    )
    to_keep = _no_better_than(kept_by)
    left = _no_better_than((to_keep, *left_by))
    steps = [
        TrimStep(StepKind.CUT_LENGTH, cut, said, (to_keep,)),
        TrimStep(StepKind.BUTT_TRIM, butt_trim, f"What is left over: {lengths}: {say_in(left_over)}.", (left,)),
    ]
    notes: list[Note] = []
    if shortfall:
        steps.append(_extension(shaft, shortfall, lengths, extend, why, practice, left))
        notes.append(_EXTENSION_CAUTION)
    # A family's raw lengths are alike at the butt; a parallel-tip piece is alike from its tip.
    end_in = shaft.raw_length_in if shaft.tip_kind is TipKind.TAPER else raw_length_in
    diameter = outer_diameter_in(shaft, end_in - butt_trim)
    layers, grip_notes = grip_fit(diameter, grip, practice)
    if (butt_trim or cut_before) and not (shaft.sections or shaft.stations):
        notes.append(_raw_butt(shaft))
    return ButtCut(cut, butt_trim, shortfall, diameter, layers, tuple(steps), (*notes, *grip_notes))


def _no_better_than(sources: Iterable[Source]) -> Source:
    return replace(_GEOMETRY, standing=joined(_GEOMETRY, *sources).standing)


_EXTENSION_CAUTION = Note(
    Severity.CAUTION,
    "The club gets a butt extension: a joint under the hands, more mass at the grip end and a lighter swingweight.",
    "take a longer shaft if there is one; otherwise only an extension its maker and the shaft's maker allow, glued and "
    "cured as they say, and inspected before play",
    PRACTICE_SOURCE,
)


def _raw_butt(shaft: Shaft) -> Note:
    return Note(
        Severity.NOTE,
        f"The shaft's diameters are not known: the grip is fitted to the raw butt, {say_in(shaft.butt_diameter_in)}; "
        "where it was cut it may be thinner.",
        "measure the butt where the grip goes, before taping and gripping",
        PRACTICE_SOURCE,
    )


def _extension(
    shaft: Shaft,
    shortfall_in: float,
    lengths: str,
    extend: bool,
    why: str,
    practice: BenchPractice,
    left: Source,
) -> TrimStep:
    mass = extension_mass_g(shaft, shortfall_in, practice.extension_insert_in)
    tube = f"tube like the shaft's own butt, {say_in(practice.extension_insert_in)} of it inside"
    estimate = (
        f"{tube}; its mass is not known, weigh it" if mass is None else f"about {say_number(mass, 1)} g as {tube}"
    )
    given = f"the shaft is {say_in(shortfall_in)} too short: {lengths}"
    if shortfall_in > practice.longest_extension_in:
        raise ShaftTooShort(
            shortfall_in,
            given,
            f"an extension of at most {say_in(practice.longest_extension_in)}",
            "take a longer shaft, or agree on a shorter club with the client",
        )
    if not extend and shortfall_in < RULER_MARK_IN:
        raise ShaftTooShort(
            shortfall_in,
            given,
            "a shaft that is long enough",
            "that is less than a ruler's mark: measure the raw shaft again, or agree on a club this much shorter",
        )
    if not extend:
        raise ShaftTooShort(
            shortfall_in,
            given,
            "a shaft that is long enough, or an extension decided on in the order",
            f"take a longer shaft, agree on a shorter club, or decide on a butt extension of {say_in(shortfall_in)} "
            f"({estimate})",
        )
    reason = f"The shaft is {say_in(shortfall_in)} too short; an extension makes it up, {estimate}. Reason: {why}."
    density = [STEEL_DENSITY_SOURCE] if shaft.material is Material.STEEL and mass is not None else []
    return TrimStep(
        StepKind.EXTENSION, shortfall_in, reason, (DECIDED, left, *density, practice.source("extension_insert_in"))
    )


def extension_mass_g(shaft: Shaft, extension_in: float, insert_in: float) -> float | None:
    """Estimate the mass (g) of a butt extension: the shaft's own butt tube, as long as extension plus insert (in).

    m = mass per length at the raw butt * (extension + insert). An estimate chosen here; weigh the real piece. None for
    a shaft whose walls or stations nobody knows.
    """
    if shaft.unknown:
        return None
    if shaft.material is Material.STEEL:
        end = shaft.sections[-1]
        outer, wall = end.outer_diameter_in * M_PER_IN, (end.wall_in or 0.0) * M_PER_IN
        grams_per_m = math.pi * (outer - wall) * wall * STEEL_DENSITY_KG_M3 * 1e3
    else:
        grams_per_m = shaft.stations[-1].mass_g_per_m
    return grams_per_m * (extension_in + insert_in) * M_PER_IN


def outer_diameter_in(shaft: Shaft, from_tip_in: float) -> float:
    """Return a shaft's outer diameter (in) at a place from the raw tip (in); at a step, that of the thinner side.

    Without sections or stations it is the raw butt's, whatever the place. Raises TrimRefused outside the shaft.
    """
    if not 0 <= from_tip_in <= shaft.raw_length_in:
        raise TrimRefused(
            f"a place {say_in(from_tip_in)} from the tip of shaft {shaft.name!r}",
            f"0 in to {say_in(shaft.raw_length_in)}",
            "check the cuts against the raw length",
        )
    for section in shaft.sections:
        if from_tip_in <= section.to_tip_in:
            return section.outer_diameter_in
    for low, high in itertools.pairwise(shaft.stations):
        if from_tip_in <= high.from_tip_in:
            part = (from_tip_in - low.from_tip_in) / (high.from_tip_in - low.from_tip_in)
            return low.outer_diameter_in + part * (high.outer_diameter_in - low.outer_diameter_in)
    return shaft.butt_diameter_in


def grip_fit(
    butt_diameter_in: float, grip: Grip, practice: BenchPractice | None = None
) -> tuple[int, tuple[Note, ...]]:
    """Return how many layers of build-up tape a butt diameter (in) needs under this grip, and the notes to show.

    layers = (core - butt) / (2 * tape thickness), to the nearest whole layer, at least one if the butt is smaller by
    more than a caliper can show. Raises TrimRefused if the butt is further below the core than tape should make up.
    """
    practice = practice or BenchPractice()
    below = grip.core_diameter_in - butt_diameter_in
    if below <= practice.caliper_in:
        return 0, ()
    sizes = (
        f"the butt measures {say_in(butt_diameter_in)} after the cut, the core of grip {grip.name!r} "
        f"{say_in(grip.core_diameter_in)}"
    )
    if below > practice.most_build_up_in + 1e-9:
        raise TrimRefused(
            sizes,
            f"at most {say_in(practice.most_build_up_in)} to build up with tape",
            "choose a grip with a smaller core, or a shaft that keeps its butt diameter further down",
        )
    per_layer = 2 * practice.tape_thickness_in
    layers = max(1, round(below / per_layer))
    note = Note(
        Severity.WARNING,
        f"{sizes[0].upper()}{sizes[1:]}: {say_in(below)} to build up; tape of {say_in(practice.tape_thickness_in)} in "
        f"{layers} layer{'s' if layers > 1 else ''} makes {say_in(layers * per_layer)}.",
        "measure the butt and one layer of your own tape before gripping",
        practice.source("tape_thickness_in"),
    )
    return layers, (note,)
