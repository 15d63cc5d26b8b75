"""A set as tidy tables, from parts to cautions. Every column of numbers carries its unit.

pandas is loaded by the first call, so that computing a set does not wait for it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trimkit.club.set import SetBuild
from trimkit.papers import appendix, cautions
from trimkit.parts.tidytable import tidy_table

if TYPE_CHECKING:
    import pandas as pd

_BEFORE_TRIM = ("schedule_trim_in", "between_flexes_in", "bbgl_correction_in", "tip_trim_in")
_AFTER_TRIM = ("cut_length_in", "butt_trim_in", "playing_length_in", "raw_length_in")
_MASSES = ("swingweight", "total_mass_g", "balance_point_in", "moi_kg_cm2")


def parts_table(built: SetBuild) -> pd.DataFrame:
    """Return the heads as measured, a row a club: masses in g, lengths in in, each with its source and standing."""
    return tidy_table(
        (club.plan.wanted for club in built.clubs),
        club="head.club",
        head="head.name",
        head_mass_g="head.head_mass_g",
        bore_diameter_in="head.bore_diameter_in",
        bore_depth_in="head.bore_depth_in",
        bbgl_in="bbgl_in",
        source=lambda wanted: str(wanted.head.source),
    ).set_index("club")


def cut_list(built: SetBuild) -> pd.DataFrame:
    """Return the cut list, a row a club, all lengths exact in in: schedule + between flexes + bore = tip trim.

    In a set with a pulled shaft another column is added up: pulled_in, what is off its tip already, 0 or less.
    """
    plans = [club.plan for club in built.clubs]
    table = tidy_table(plans, "club", *_BEFORE_TRIM, *_AFTER_TRIM)
    table.insert(1, "trims_as", [str(plan.equivalent) for plan in plans])
    if any(plan.wanted.pulled is not None for plan in plans):
        table.insert(list(table.columns).index("tip_trim_in"), "pulled_in", [plan.pulled_in for plan in plans])
    return table.set_index("club")


def steps_table(built: SetBuild) -> pd.DataFrame:
    """Return every step of every plan, in bench order: label, inches, reason, source and standing."""
    table = tidy_table(
        (step for club in built.clubs for step in club.plan.steps),
        step="label",
        inches_in="inches",
        reason="reason",
        source=lambda step: "; ".join(str(source) for source in step.sources),
    )
    clubs = [club.plan.club for club in built.clubs for _ in club.plan.steps]
    return table.assign(club=clubs).set_index(["club", "step"])


def prediction_table(built: SetBuild) -> pd.DataFrame:
    """Return what the mechanics predicts, a row a club: cpm, flex, swingweight, g, in, kg cm^2.

    A club without a prediction has a row of missing values; the column ``no_prediction``, which is there only if a club
    has none, says why.
    """
    known = [club for club in built.clubs if club.predicted is not None]
    table = tidy_table(known, "frequency_cpm", "flex_text", *_MASSES).rename(columns={"flex_text": "flex"})
    if len(known) < len(built.clubs):
        table.index = [place for place, club in enumerate(built.clubs) if club.predicted is not None]
        table = table.reindex(range(len(built.clubs)))
        table["no_prediction"] = [club.no_prediction for club in built.clubs]
    return table.assign(club=[club.plan.club for club in built.clubs]).set_index("club")


def swingweight_table(built: SetBuild) -> pd.DataFrame:
    """Return what each club needs for its wanted swingweight, a row for each club that has one; g, cpm, points.

    off_points: as ordered, + heavier than wanted. add_tip_weight_g: - is to take out. The last columns but one are with
    that weight in. beyond_tolerance: of the club as ordered.
    """
    wished = [(club, club.need) for club in built.clubs if club.need is not None]
    table = tidy_table(
        (need for _, need in wished),
        "wanted",
        off_points="points_off",
        add_tip_weight_g="add_g",
        head_too_heavy_g="head_too_heavy_g",
        then_swingweight="swingweight",
        then_frequency_cpm="frequency_cpm",
        beyond_tolerance=lambda need: "yes" if need.beyond_tolerance else "no",
    )
    table.insert(0, "club", [club.plan.club for club, _ in wished])
    table.insert(2, "swingweight", [club.swingweight for club, _ in wished])
    return table.set_index("club")


def notes_table(built: SetBuild) -> pd.DataFrame:
    """Return every note of every plan, a row each: how serious, what, what to do, source and standing."""
    table = tidy_table(
        (note for club in built.clubs for note in club.notes),
        severity="severity.value",
        text="text",
        next_step="next_step",
        source=lambda note: str(note.source),
    )
    return table.assign(club=[club.plan.club for club in built.clubs for _ in club.notes]).set_index("club")


def stock_table(built: SetBuild) -> pd.DataFrame:
    """Return the shafts that the set uses up, a row for each shaft and raw length (in): how many, and their clubs.

    One shaft a club; by name, longest raw length first. Lengths that differ by less than a millionth of an inch are the
    same. A pulled shaft says so after its name. For what is on the shelf see :mod:`trimkit.shop.shelf`.
    """
    import pandas as pd

    taken: dict[tuple[str, float], list[str]] = {}
    for club in built.clubs:
        wanted = club.plan.wanted
        name = wanted.shaft.name if wanted.pulled is None else f"{wanted.shaft.name}, pulled"
        taken.setdefault((name, round(club.plan.raw_length_in, 6)), []).append(club.plan.club)
    rows = [
        {
            "shaft": shaft,
            "raw_length_in": raw_length_in,
            "needed_count": len(taken[shaft, raw_length_in]),
            "clubs": ", ".join(taken[shaft, raw_length_in]),
        }
        for shaft, raw_length_in in sorted(taken, key=lambda key: (key[0], -key[1]))
    ]
    return pd.DataFrame(rows).set_index("shaft")


def shop_table(built: SetBuild) -> pd.DataFrame:
    """Return what the shop's own file adds to a set, a row each: the figure, its value with the unit, its source."""
    table = tidy_table(appendix.shop_figures(built), figure="what", value="value", source=lambda each: str(each.source))
    return table.set_index("figure")


def cautions_table(built: SetBuild) -> pd.DataFrame:
    """Return what can hurt someone in this work, a row each; the last row says who decides."""
    import pandas as pd

    materials = {club.plan.wanted.shaft.material for club in built.clubs}
    rows = [[work.value, text] for work, text in cautions.cautions_for(*materials).items()]
    return pd.DataFrame([*rows, ["Who decides", cautions.WHO_DECIDES]], columns=["work", "caution"]).set_index("work")
