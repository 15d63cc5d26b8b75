"""A shaft pulled from another club, as the piece it is now: a raw shaft, its tip further up and some of its butt gone.

A parallel tip was trimmed, so the piece begins ``tip_cut_in`` further up; a taper tip never is, so it begins where its
raw length began. What is missing beyond that is missing at the butt. Standing: derived from the shaft's description.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from dataclasses import replace

from trimkit.club.profiles import profile_of, sections_at_raw_length
from trimkit.mechanics.profile import SAME_PLACE_IN, shaft_profile, steel_profile
from trimkit.parts.components import Material, Shaft, Station, TipKind, TubeSection
from trimkit.parts.errors import TrimRefused
from trimkit.parts.units import say_in
from trimkit.trim.butt import outer_diameter_in
from trimkit.trim.practice import BenchPractice
from trimkit.trim.refusals import finite
from trimkit.trim.wanted import Pulled, ShaftInHand, WantedClub


def piece_of(pulled: Pulled, length_in: float, practice: BenchPractice | None = None) -> Shaft:
    """Return a pulled shaft as the raw piece it is now, described from its own tip to its own butt.

    length_in: of the piece, in. Its raw mass is what its description says (g): the mass of what is left of the profile
    that agrees with the shaft's raw mass as bought; weigh the piece and put that on the card. Of a shaft without walls
    or stations it is not known. Without any section the butt is taken to be as thick as bought. Where two measured
    lengths add up to a little more than the raw length, the butt is taken to be as long as measured.

    Raises TrimRefused for a tip cut that leaves no parallel tip, for any tip cut of a taper tip, and for lengths that
    add up to more than the raw length and a measuring error. Raises ModelError for a raw length no taper tip can have.
    """
    check_piece(pulled, length_in, practice or BenchPractice())
    shaft, tip_in = pulled.as_bought, pulled.tip_cut_in
    missing_in = shaft.raw_length_in - pulled.raw_length_in
    steel, limit = shaft.material is Material.STEEL, shaft.most_tip_trim_in
    sections = sections_at_raw_length(shaft, pulled.raw_length_in) if shaft.sections else ()
    piece = replace(
        shaft,
        raw_length_in=length_in,
        tip_section_in=shaft.tip_section_in - missing_in - tip_in,
        most_tip_trim_in=None if limit is None else max(limit - tip_in, 0.0),
        butt_diameter_in=outer_diameter_in(shaft, min(length_in + tip_in + missing_in, shaft.raw_length_in)),
        sections=tuple(_cut_sections(sections, tip_in, length_in)),
        stations=tuple(_cut_stations(shaft.stations, tip_in, length_in)) if shaft.stations else (),
        raw_mass_g=None if shaft.unknown else shaft.raw_mass_g,
    )
    if shaft.unknown:
        return piece
    factor = profile_of(shaft, pulled.raw_length_in).scale_factor
    if steel:
        profile = steel_profile(piece.sections, wall_factor=factor)
        return replace(piece, raw_mass_g=float(profile.mass_g))
    return replace(piece, raw_mass_g=float(shaft_profile(piece).mass_g) * factor)


def with_pulled(wanted: WantedClub, pulled: Pulled, length_in: float, mass_g: float | None = None) -> WantedClub:
    """Return the same club on a pulled shaft, its length and mass as they are now (in, g; None if it was not weighed).

    The mass of a shaft without walls or stations is the weighed one. Raises as :func:`piece_of`.
    """
    piece = piece_of(pulled, length_in, wanted.practice)
    if piece.unknown:
        piece = replace(piece, raw_mass_g=mass_g)
    return replace(wanted, shaft=piece, in_hand=ShaftInHand(length_in, mass_g, pulled))


def check_piece(pulled: Pulled, length_in: float, practice: BenchPractice) -> None:
    """Raise TrimRefused, in words, if what was measured on a pulled shaft (in) cannot be what is left of it."""
    shaft, off, raw = pulled.as_bought, finite("what is off its tip", pulled.tip_cut_in), pulled.raw_length_in
    finite("the length of the pulled shaft", length_in)
    if shaft.tip_kind is TipKind.TAPER and off:
        raise TrimRefused(
            f"{say_in(off)} is off the tip of the pulled shaft {shaft.name!r}, which has a taper tip: cut, it no "
            "longer fits its bore",
            "a taper tip that was never cut, and the raw length it was bought at",
            "say which raw length it was; do not use a shaft whose taper tip was cut",
        )
    if off < 0:
        raise TrimRefused(f"{say_in(off)} is off its tip", "0 in or more", "measure from its tip to the first step")
    if shaft.tip_kind is TipKind.PARALLEL and off >= shaft.tip_section_in:
        raise TrimRefused(
            f"{say_in(off)} is off the tip of the pulled shaft {shaft.name!r}, whose parallel tip was "
            f"{say_in(shaft.tip_section_in)}: no parallel tip is left",
            f"less than {say_in(shaft.tip_section_in)} off its tip",
            "measure from its tip to the first step; without a parallel tip it fits no bore",
        )
    limit = shaft.most_tip_trim_in
    if limit is not None and off > limit + practice.measuring_error_in:
        raise TrimRefused(
            f"{say_in(off)} is off the tip of the pulled shaft {shaft.name!r}, and its maker allows {say_in(limit)}",
            f"at most {say_in(limit)} off its tip",
            "measure from its tip to the end of the parallel tip; past its maker's limit a shaft can break: scrap it",
        )
    if length_in <= 0 or length_in + off > raw + practice.measuring_error_in + 1e-9:
        cut = f" and {say_in(off)} is off its tip, together {say_in(length_in + off)}" if off else ""
        raise TrimRefused(
            f"the pulled shaft {shaft.name!r} is {say_in(length_in)} long now{cut}; it was bought at {say_in(raw)}",
            f"a length above 0 in, and with what is off its tip at most {say_in(raw)}",
            "measure its length, and from its tip to the first step; or it is another shaft",
        )


def _cut_sections(sections: Iterable[TubeSection], tip_in: float, length_in: float) -> Iterable[TubeSection]:
    kept = [
        (max(each.from_tip_in - tip_in, 0.0), min(each.to_tip_in - tip_in, length_in), each)
        for each in sections
        if each.to_tip_in - tip_in > SAME_PLACE_IN and length_in - (each.from_tip_in - tip_in) > SAME_PLACE_IN
    ]
    last = len(kept) - 1
    for number, (low, high, each) in enumerate(kept):
        ends = (0.0 if number == 0 else low, length_in if number == last else high)
        yield replace(each, from_tip_in=ends[0], to_tip_in=ends[1])


def _cut_stations(stations: tuple[Station, ...], tip_in: float, length_in: float) -> Iterable[Station]:
    end = stations[-1].from_tip_in - tip_in
    yield replace(_station_at(stations, tip_in), from_tip_in=0.0)
    for each in stations:
        if SAME_PLACE_IN < each.from_tip_in - tip_in < min(length_in, end) - SAME_PLACE_IN:
            yield replace(each, from_tip_in=each.from_tip_in - tip_in)
    yield replace(_station_at(stations, min(length_in, end) + tip_in), from_tip_in=length_in)


def _station_at(stations: tuple[Station, ...], place_in: float) -> Station:
    """Return what a graphite shaft is at a place (in from its raw tip), linear between its stations."""
    for low, high in itertools.pairwise(stations):
        if place_in <= high.from_tip_in:
            part = (place_in - low.from_tip_in) / (high.from_tip_in - low.from_tip_in)
            return Station(
                place_in,
                low.ei_n_m2 + part * (high.ei_n_m2 - low.ei_n_m2),
                low.mass_g_per_m + part * (high.mass_g_per_m - low.mass_g_per_m),
                low.outer_diameter_in + part * (high.outer_diameter_in - low.outer_diameter_in),
            )
    return stations[-1]
