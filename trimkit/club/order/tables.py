"""What an order may hold, table by table: names, units, ranges and what they mean, for a TOML file and a form alike.

The example with every key and the schema are made from these fields (``trimkit.papers.orderschema``).
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field

from trimkit.mechanics.clamped import CLAMP_IN
from trimkit.parts.rows import Club, Length, Mass, Plain, Row

MOST_CLUBS = 200
"""Clubs in one order: many more than a bag holds, and few enough to be computed at once; chosen here."""

MEASURABLE = ("head_mass_g", "bore_depth_in", "bbgl_in")
"""What an order may give of a head, measured, in place of the data's value."""

MOST_TIP_WEIGHT_G = 20
"""Most tip weight that an order may name, g; chosen here."""

YesNo = Annotated[bool, Field(strict=True)]
Words = Annotated[str, Field(min_length=1, max_length=200)]


def said(words: str, example: Any, **limits: Any) -> Any:
    """Return the field of a key: what it means in the trade's words, a value as an example, and its range."""
    return Field(description=words, examples=[example], **limits)


_SWINGWEIGHT = "the swingweight wished for, on the letter scale"
_FLEX = "the flex: a letter of the shaft, or a place between two of them such as R/S 0.5"
_STEPS = "taper tips only: raw lengths softer than its own, or harder, below 0"
_TIP_WEIGHT = "weight in the tip of the shaft"


class OrderHeader(Row):
    """The part of an order file before its first table: what counts for every club that says nothing else itself."""

    title: Annotated[Words, said("what the order is called on the sheet", "Example order, every key")]
    client: Annotated[Words, said("who the clubs are for", "example client")]
    shaft: Annotated[Words, said("the shaft, by its name in shafts.csv", "example steel parallel")]
    grip: Annotated[Words, said("the grip, by its name in grips.csv", "example grip")]
    ladder: Annotated[Words, said("the ladder of head masses and lengths, from head_ladder.csv", "example ladder")]
    flex: Annotated[Words, said(_FLEX, "R")]
    wanted_swingweight: Annotated[Words | None, said(_SWINGWEIGHT, "D1")] = None
    soft_steps: Annotated[int | None, said(_STEPS, 1, ge=-3, le=3, strict=True)] = None


class LengthTable(Row):
    """``[length]``: the club that is built to a length, and the step between clubs (the ladder's unless given)."""

    club: Annotated[Club, said("the club that is built to this length", "7-iron")]
    playing_length_in: Annotated[float, Length, said("its playing length", 37.0, ge=18, le=50)]
    step_in: Annotated[
        float | None, Length, said("what the next club is shorter by; left out: the ladder's", 0.5, ge=0, le=1.5)
    ] = None


class AssemblyTable(Row):
    """``[assembly]``: what else is in each club, where it was weighed, and the clamp that will measure it."""

    ferrule_mass_g: Annotated[float, Mass, said("mass of the ferrule", 1.5, ge=0, le=10)] = 0.0
    tape_mass_g: Annotated[float, Mass, said("mass of the tape under the grip", 2.0, ge=0, le=10)] = 0.0
    epoxy_mass_g: Annotated[float, Mass, said("mass of the epoxy in the hosel", 1.5, ge=0, le=10)] = 0.0
    tip_weight_g: Annotated[float, Mass, said(_TIP_WEIGHT, 2.0, ge=0, le=MOST_TIP_WEIGHT_G)] = 0.0
    root_spring_n_m_per_rad: Annotated[
        float | None,
        Plain,
        said("how stiffly the clamp turns, N m per rad; left out: it does not give", 5000.0, ge=10, le=1e6),
    ] = None
    clamp_in: Annotated[
        float, Length, said("how much of the butt is in the clamp of the frequency meter", CLAMP_IN, ge=3, le=9)
    ] = CLAMP_IN


class ClubTable(Row):
    """``[[club]]``: one head, and what was measured or decided for this club alone.

    A shaft, grip, ladder, flex, number of soft steps (hard ones below 0), tip weight or wanted swingweight given here
    counts for this club in place of the order's. raw_length_in, raw_mass_g: of the shaft in hand, measured and weighed.
    pulled: it comes from another club; its length and mass are those of now, tip_cut_in is what is off its parallel tip
    already, bought_length_in which raw length of its family a taper tip was.
    """

    head: Annotated[Words, said("the head, by its name in heads.csv", "example 7-iron head")]
    shaft: Annotated[Words | None, said("a shaft of its own, by its name in shafts.csv", "example steel parallel")] = (
        None
    )
    grip: Annotated[Words | None, said("a grip of its own, by its name in grips.csv", "example grip")] = None
    ladder: Annotated[Words | None, said("a ladder of its own, from head_ladder.csv", "example ladder")] = None
    flex: Annotated[Words | None, said(_FLEX, "R")] = None
    soft_steps: Annotated[int | None, said(_STEPS, 1, ge=-3, le=3, strict=True)] = None
    raw_length_in: Annotated[float | None, Length, said("bare length of the shaft in hand", 39.0, ge=20, le=50)] = None
    raw_mass_g: Annotated[float | None, Mass, said("mass of the shaft in hand", 112.5, ge=30, le=160)] = None
    pulled: Annotated[YesNo, said("the shaft comes from another club; its length and mass are those of now", True)] = (
        False
    )
    tip_cut_in: Annotated[
        float | None, Length, said("what is off the tip of a pulled parallel shaft already", 1.0, ge=0, le=20)
    ] = None
    bought_length_in: Annotated[
        float | None, Length, said("which raw length of its family a pulled taper tip was", 37.75, ge=20, le=50)
    ] = None
    tip_weight_g: Annotated[float | None, Mass, said(_TIP_WEIGHT, 2.0, ge=0, le=MOST_TIP_WEIGHT_G)] = None
    wanted_swingweight: Annotated[Words | None, said(_SWINGWEIGHT, "D1")] = None
    head_mass_g: Annotated[
        float | None, Mass, said("mass of the bare head in hand, in place of the table's", 265.0, ge=150, le=400)
    ] = None
    bore_depth_in: Annotated[
        float | None, Length, said("how far the shaft goes into the hosel, measured", 1.25, ge=0.5, le=4)
    ] = None
    bbgl_in: Annotated[
        float | None, Length, said("bottom of bore to ground line along the shaft, measured", 1.0, ge=-0.5, le=4)
    ] = None
    bare_shaft_in: Annotated[
        float | None, Length, said("dry fit: the shaft bare; with dry_fitted_in it gives the BBGL", 41.0, ge=20, le=50)
    ] = None
    dry_fitted_in: Annotated[
        float | None,
        Length,
        said("dry fit: the same shaft with the head on it, cap end to ground line", 42.0, ge=20, le=54),
    ] = None
    playing_length_in: Annotated[float | None, Length, said("a playing length of its own", 37.25, ge=18, le=50)] = None
    trim_as: Annotated[
        Literal["mass", "number"] | None,
        said("which iron it is trimmed as: by its head's mass, or by its number", "mass"),
    ] = None
    bore: Annotated[
        Literal["correct", "leave", "as far as it goes"],
        said("what the tip trim does about a bore off the schedule's", "correct"),
    ] = "correct"
    extend: Annotated[YesNo, said("a shaft that is too short may be lengthened at the butt", True)] = False
    outside_rules: Annotated[YesNo, said("it is not meant for play under the rules", True)] = False
    why: Annotated[str, said("why it is decided so, in the client's words", "asked for it", max_length=200)] = ""
