"""A flex as an order names it: one of a shaft's flexes, or a place between two neighbours cut from one master."""

from __future__ import annotations

import itertools
import re
from dataclasses import dataclass

from trimkit.parts.components import FlexKind, Shaft, TipKind
from trimkit.parts.errors import TrimRefused
from trimkit.parts.units import say_number
from trimkit.trim.refusals import finite

_TEXT = re.compile(r"^\s*([^\s/]+)\s*(?:/\s*([^\s/]+)\s+(\S+)\s*)?$")


@dataclass(frozen=True)
class FlexPlace:
    """A place on a shaft's flexes, always counted from the softer one: ``fraction`` of the way to the stiffer one.

    A pure flex has ``softer == stiffer`` and ``fraction == 0``, so that equal places are equal objects. Use
    :meth:`at`, :meth:`between` or :meth:`parse`, which know which of two flexes is the softer.
    Raises TrimRefused if the fraction does not lie between the two.
    """

    softer: str
    stiffer: str
    fraction: float

    def __post_init__(self) -> None:
        finite("the fraction of the way between two flexes", self.fraction)
        pure = self.softer == self.stiffer
        if (pure and self.fraction != 0) or (not pure and not 0 < self.fraction < 1):
            raise TrimRefused(
                f"the order asks for {say_number(self.fraction)} of the way from flex {self.softer} to {self.stiffer}",
                "a fraction of more than 0 and less than 1 between two flexes, 0 for one flex alone",
                "name the flex alone, or a fraction between 0 and 1",
            )

    @classmethod
    def at(cls, flex: str) -> FlexPlace:
        """Return the place of one flex alone."""
        return cls(flex, flex, 0.0)

    @classmethod
    def between(cls, start: str, toward: str, fraction: float, shaft: Shaft) -> FlexPlace:
        """Return the place ``fraction`` of the way (0 to 1) from flex ``start`` toward its neighbour ``toward``.

        Counted from either flex, a place is the same: half-way from R toward S is half-way from S toward R.
        Raises TrimRefused if the shaft does not have both flexes, if another flex lies between them, if it is a
        discrete shaft, or if the fraction is not a number from 0 to 1.
        """
        finite("the fraction of the way between two flexes", fraction)
        if start == toward or fraction in (0, 1):
            ends = (_known(start, shaft), _known(toward, shaft))
            return cls.at(ends[fraction == 1])
        _refuse_discrete(start, toward, shaft)
        softer, stiffer = sorted((_known(start, shaft), _known(toward, shaft)), key=shaft.flexes.index)
        if (softer, stiffer) not in neighbours(shaft):
            middle = shaft.flexes[shaft.flexes.index(softer) + 1]
            raise TrimRefused(
                f"the order asks for a place between flexes {softer} and {stiffer} of shaft {shaft.name!r}, but "
                f"{middle} lies in between",
                "a place between two neighbors: " + ", ".join(map("/".join, neighbours(shaft))),
                f"say how far from {softer} to {middle}, or from {middle} to {stiffer}",
            )
        return cls(softer, stiffer, fraction if start == softer else 1 - fraction)

    @classmethod
    def parse(cls, text: str, shaft: Shaft) -> FlexPlace:
        """Read a flex as an order writes it: ``"R"``, or ``"R/S 0.5"`` for half-way from R toward S.

        The fraction, written 0.5 or 1/2, counts from the flex named first. Raises TrimRefused if the text is written
        in any other way or the shaft cannot be cut there.
        """
        match = _TEXT.match(text)
        if match is None:
            raise TrimRefused(
                f"the flex {text!r} cannot be read",
                "one flex, such as R, or two and the fraction of the way from the first to the second, such as R/S 0.5",
                "write the flex in one of these forms",
            )
        start, toward, fraction = match.groups()
        if toward is None:
            return cls.at(_known(start, shaft))
        try:
            # Two floats, not a Fraction: a Fraction of 1e99999999 would take hours to compute.
            over, under = (fraction if "/" in fraction else f"{fraction}/1").replace("_", "no digit").split("/")
            return cls.between(start, toward, float(over) / float(under), shaft)
        except (ValueError, ZeroDivisionError) as error:
            if isinstance(error, TrimRefused):
                raise
            raise TrimRefused(
                f"the fraction {fraction!r} of the flex {text!r} is not a number",
                "a decimal or fraction between 0 and 1",
                "write it like R/S 0.5 or R/S 1/2",
            ) from None

    def __str__(self) -> str:
        return self.softer if self.fraction == 0 else f"{self.softer}/{self.stiffer} {say_number(self.fraction)}"


def neighbours(shaft: Shaft) -> tuple[tuple[str, str], ...]:
    """Return the pairs of flexes that a shaft can be cut between, softer first; none for a discrete shaft."""
    return tuple(itertools.pairwise(shaft.flexes))


def _known(flex: str, shaft: Shaft) -> str:
    if flex in shaft.flexes:
        return flex
    raise TrimRefused(
        f"shaft {shaft.name!r} has no flex {flex!r}",
        "its flexes are " + ", ".join(shaft.flexes),
        "choose one of them, or another shaft",
    )


def _refuse_discrete(start: str, toward: str, shaft: Shaft) -> None:
    if shaft.flex_kind is not FlexKind.DISCRETE:
        return
    own, asked = shaft.flexes[0], f"the order asks for a place between flexes {start} and {toward}"
    if shaft.tip_kind is TipKind.TAPER:
        raise TrimRefused(
            f"{asked}, but shaft {shaft.name!r} has a taper tip and is made for {own} alone",
            f"flex {own}, stepped soft or hard",
            "step it (about a quarter of a flex per step, others say a third), or take the shaft in another flex",
        )
    raise TrimRefused(
        f"{asked}, but shaft {shaft.name!r} is made for {own} alone",
        "places between two flexes of one combination-flex shaft",
        f"take a combination-flex shaft that can be cut to {start} or {toward}, or a shaft made for {start} or for "
        f"{toward} alone",
    )
