"""What an order may hold, table by table: names, units and ranges, for a TOML file and for a form alike."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from trimkit.mechanics.clamped import CLAMP_IN
from trimkit.parts.rows import Length, Mass, Plain, Row

MOST_CLUBS = 200
"""Clubs in one order: many more than a bag holds, and few enough to be computed at once; chosen here."""

MEASURABLE = ("head_mass_g", "bore_depth_in", "bbgl_in")
"""What an order may give of a head, measured, in place of the data's value."""

Steps = Annotated[int | None, Field(ge=-3, le=3, strict=True)]
MOST_TIP_WEIGHT_G = 20
"""Most tip weight that an order may name, g; chosen here."""

YesNo = Annotated[bool, Field(strict=True)]
Words = Annotated[str, Field(min_length=1, max_length=200)]


class OrderHeader(Row):
    """The part of an order file before its first table: what counts for every club that says nothing else itself."""

    title: Words
    client: Words
    shaft: Words
    grip: Words
    ladder: Words
    flex: Words
    wanted_swingweight: Words | None = None
    soft_steps: Steps = None


class LengthTable(Row):
    """``[length]``: the club that is built to a length, and the step between clubs (the ladder's unless given)."""

    club: Words
    playing_length_in: Annotated[float, Length, Field(ge=18, le=50)]
    step_in: Annotated[float | None, Length, Field(ge=0, le=1.5)] = None


class AssemblyTable(Row):
    """``[assembly]``: what else is in each club, where it was weighed, and the clamp that will measure it."""

    ferrule_mass_g: Annotated[float, Mass, Field(ge=0, le=10)] = 0.0
    tape_mass_g: Annotated[float, Mass, Field(ge=0, le=10)] = 0.0
    epoxy_mass_g: Annotated[float, Mass, Field(ge=0, le=10)] = 0.0
    tip_weight_g: Annotated[float, Mass, Field(ge=0, le=MOST_TIP_WEIGHT_G)] = 0.0
    root_spring_n_m_per_rad: Annotated[float | None, Plain, Field(ge=10, le=1e6)] = None
    clamp_in: Annotated[float, Length, Field(ge=3, le=9)] = CLAMP_IN


class ClubTable(Row):
    """``[[club]]``: one head, and what was measured or decided for this club alone.

    A shaft, grip, ladder, flex, number of soft steps (hard ones below 0), tip weight or wanted swingweight given here
    counts for this club in place of the order's. raw_length_in, raw_mass_g: of the shaft in hand, measured and weighed.
    pulled: it comes from another club; its length and mass are those of now, tip_cut_in is what is off its parallel tip
    already, bought_length_in which raw length of its family a taper tip was.
    """

    head: Words
    shaft: Words | None = None
    grip: Words | None = None
    ladder: Words | None = None
    flex: Words | None = None
    soft_steps: Steps = None
    raw_length_in: Annotated[float | None, Length, Field(ge=20, le=50)] = None
    raw_mass_g: Annotated[float | None, Mass, Field(ge=30, le=160)] = None
    pulled: YesNo = False
    tip_cut_in: Annotated[float | None, Length, Field(ge=0, le=20)] = None
    bought_length_in: Annotated[float | None, Length, Field(ge=20, le=50)] = None
    tip_weight_g: Annotated[float | None, Mass, Field(ge=0, le=MOST_TIP_WEIGHT_G)] = None
    wanted_swingweight: Words | None = None
    head_mass_g: Annotated[float | None, Mass, Field(ge=150, le=400)] = None
    bore_depth_in: Annotated[float | None, Length, Field(ge=0.5, le=4)] = None
    bbgl_in: Annotated[float | None, Length, Field(ge=-0.5, le=4)] = None
    bare_shaft_in: Annotated[float | None, Length, Field(ge=20, le=50)] = None
    dry_fitted_in: Annotated[float | None, Length, Field(ge=20, le=54)] = None
    playing_length_in: Annotated[float | None, Length, Field(ge=18, le=50)] = None
    trim_as: Literal["mass", "number"] | None = None
    bore: Literal["correct", "leave", "as far as it goes"] = "correct"
    extend: YesNo = False
    outside_rules: YesNo = False
    why: Annotated[str, Field(max_length=200)] = ""
