"""A set as tidy tables, from parts to cautions. Every column of numbers carries its unit.

pandas is loaded by the first call, so that computing a set does not wait for it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trimkit.club.set import SetBuild
from trimkit.papers import cautions
from trimkit.trim.stock import count_stock

if TYPE_CHECKING:
    import pandas as pd


def parts_table(built: SetBuild) -> pd.DataFrame:
    """Return the heads as measured, a row a club: masses in g, lengths in in, each with its source and standing."""
    import pandas as pd

    rows = [
        {
            "club": club.plan.club,
            "head": club.plan.wanted.head.name,
            "head_mass_g": club.plan.wanted.head.head_mass_g,
            "bore_diameter_in": club.plan.wanted.head.bore_diameter_in,
            "bore_depth_in": club.plan.wanted.head.bore_depth_in,
            "bbgl_in": club.plan.wanted.bbgl_in,
            "source": str(club.plan.wanted.head.source),
        }
        for club in built.clubs
    ]
    return pd.DataFrame(rows).set_index("club")


def cut_list(built: SetBuild) -> pd.DataFrame:
    """Return the cut list, a row a club, all lengths exact in in: schedule + between flexes + bore = tip trim."""
    import pandas as pd

    rows = [
        {
            "club": club.plan.club,
            "trims_as": str(club.plan.equivalent),
            "schedule_trim_in": club.plan.schedule_trim_in,
            "between_flexes_in": club.plan.between_flexes_in,
            "bbgl_correction_in": club.plan.bbgl_correction_in,
            "tip_trim_in": club.plan.tip_trim_in,
            "cut_length_in": club.plan.cut_length_in,
            "butt_trim_in": club.plan.butt_trim_in,
            "playing_length_in": club.plan.playing_length_in,
            "raw_length_in": club.plan.raw_length_in,
        }
        for club in built.clubs
    ]
    return pd.DataFrame(rows).set_index("club")


def steps_table(built: SetBuild) -> pd.DataFrame:
    """Return every step of every plan, in bench order: label, inches, reason, source and standing."""
    import pandas as pd

    rows = [
        {
            "club": club.plan.club,
            "step": step.label,
            "inches_in": step.inches,
            "reason": step.reason,
            "source": "; ".join(str(source) for source in step.sources),
        }
        for club in built.clubs
        for step in club.plan.steps
    ]
    return pd.DataFrame(rows).set_index(["club", "step"])


def prediction_table(built: SetBuild) -> pd.DataFrame:
    """Return what the mechanics predicts, a row a club: cpm, flex, swingweight, g, in, kg cm^2."""
    import pandas as pd

    rows = [
        {
            "club": club.plan.club,
            "frequency_cpm": club.frequency_cpm,
            "flex": club.flex_text,
            "swingweight": club.swingweight,
            "total_mass_g": club.total_mass_g,
            "balance_point_in": club.balance_point_in,
            "moi_kg_cm2": club.moi_kg_cm2,
        }
        for club in built.clubs
    ]
    return pd.DataFrame(rows).set_index("club")


def notes_table(built: SetBuild) -> pd.DataFrame:
    """Return every note of every plan, a row each: how serious, what, what to do, source and standing."""
    import pandas as pd

    columns = ["club", "severity", "text", "next_step", "source"]
    rows = [
        [club.plan.club, note.severity.value, note.text, note.next_step, str(note.source)]
        for club in built.clubs
        for note in club.plan.notes
    ]
    return pd.DataFrame(rows, columns=columns).set_index("club")


def stock_table(built: SetBuild) -> pd.DataFrame:
    """Return the shafts that the set uses up, a row for each shaft and raw length (in): how many, and their clubs."""
    import pandas as pd

    rows = [
        {
            "shaft": line.shaft,
            "raw_length_in": line.raw_length_in,
            "needed_count": len(line.clubs),
            "clubs": ", ".join(line.clubs),
        }
        for line in count_stock(club.plan for club in built.clubs)
    ]
    return pd.DataFrame(rows).set_index("shaft")


def cautions_table(built: SetBuild) -> pd.DataFrame:
    """Return what can hurt somebody at this set's work, a row each, and who decides in its last row."""
    import pandas as pd

    rows = [[each.work.value, each.text] for each in cautions.cautions_for(built.order.shaft.material)]
    return pd.DataFrame([*rows, ["Who decides", cautions.WHO_DECIDES]], columns=["work", "caution"]).set_index("work")
