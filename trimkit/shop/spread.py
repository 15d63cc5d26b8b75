"""How sure each club's predicted frequency is, for the record: its standard deviation, and what that is based on."""

from __future__ import annotations

from dataclasses import dataclass

from trimkit.club.set import SetBuild
from trimkit.parts.errors import ModelError
from trimkit.shop.tolerance import TOLERANCE_SOURCES, first_order
from trimkit.trim.steps import Note, Severity, joined

SCATTER = joined(*TOLERANCE_SOURCES.values())
"""The sources of the usual tolerances together: from memory, and in part invented for the demo."""


@dataclass(frozen=True)
class Spread:
    """The standard deviation of one club's predicted frequency, cpm, and a note on it.

    sd_cpm: None where the club leaves no room for the usual tolerances; the note says why.
    """

    sd_cpm: float | None
    note: Note


def frequency_spread(built: SetBuild) -> tuple[Spread, ...]:
    """Return how far each club's frequency spreads with the usual tolerances of a bench, in the order of the clubs.

    To first order, by :func:`trimkit.shop.tolerance.first_order`. The tolerances are from memory or chosen for the
    demo; no shop measured them. A club with less room at its tip than six standard deviations gets None, and so does
    one without a prediction. Raises nothing for a set that could be built.
    """
    try:
        plans, assemblies = [club.plan for club in built.clubs], [club.assembly for club in built.clubs]
        every: list[float | ModelError] = first_order(plans, None, assemblies).sd_cpm.tolist()
    except ModelError:
        every = [_alone(built, place) for place in range(len(built.clubs))]
    return tuple(_said(each) for each in every)


def _alone(built: SetBuild, place: int) -> float | ModelError:
    try:
        return float(first_order((built.clubs[place].plan,), None, built.clubs[place].assembly).sd_cpm[0])
    except ModelError as error:
        return error


def _said(sd: float | ModelError) -> Spread:
    if isinstance(sd, ModelError):
        text = f"No standard deviation of its predicted frequency: {sd.given}."
        return Spread(None, Note(Severity.NOTE, text, sd.next_step, SCATTER))
    text = (
        f"Standard deviation of its predicted frequency: {sd:.1f} cpm, to first order, with usual tolerances of saw, "
        "ruler, scale and shaft that are from memory or chosen for the demo. The model's own error is not in it."
    )
    return Spread(sd, Note(Severity.NOTE, text, "set your shop's own tolerances before you rely on it", SCATTER))
