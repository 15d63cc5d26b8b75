"""The checks of a set as tidy tables: double check, line, steps, targets. Every number's unit is in its name.

pandas is loaded by the first call. A number that could not be computed is missing (NA), and another column says why.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from trimkit.check.doublecheck import SetCheck
from trimkit.check.inverse import TargetTrim
from trimkit.check.setline import SLOPE_CHOICES, LineReport
from trimkit.check.stepworth import StepWorth
from trimkit.check.weighting import BothMet
from trimkit.parts.errors import ModelError
from trimkit.parts.tidytable import tidy_table

if TYPE_CHECKING:
    import pandas as pd


def double_check_table(check: SetCheck) -> pd.DataFrame:
    """Return the double check, one row per club: cuts in in, frequencies in cpm, difference three ways, the verdict.

    Columns: cuts of the card and of the rule, the mechanics' frequency of both, the line's frequency, deviation in cpm,
    in flexes, the tip trim that removes it (in, + more), the tolerance, the verdict, what was found, the likely cause.
    """
    import pandas as pd

    rows = [
        {
            "club": club.card.club,
            "card_tip_trim_in": club.card.tip_trim_in,
            "rule_tip_trim_in": None if club.plan is None else club.plan.tip_trim_in,
            "card_cut_length_in": club.card.cut_length_in,
            "rule_cut_length_in": None if club.plan is None else club.plan.cut_length_in,
            "card_frequency_cpm": club.frequency_cpm,
            "rule_frequency_cpm": club.rule_cpm,
            "line_frequency_cpm": club.line_cpm,
            "deviation_cpm": club.deviation_cpm,
            "deviation_flexes": club.deviation_flexes,
            "to_line_in": club.to_line.change_in if club.to_line is not None and club.to_line.met else None,
            "tolerance_cpm": club.tolerances.frequency_cpm,
            "verdict": club.verdict_text,
            "found_by": ", ".join(dict.fromkeys(found.check.value for found in club.findings)),
            "likely_cause": club.cause,
        }
        for club in check.clubs
    ]
    table = pd.DataFrame(rows).set_index("club")
    numbers = [name for name in table.columns if name.endswith(("_in", "_cpm", "_flexes"))]
    return table.astype(dict.fromkeys(numbers, "Float64"))


def findings_table(check: SetCheck) -> pd.DataFrame:
    """Return every finding of a double check, one row each: amount and tolerance in the unit the row names."""
    found = [each for club in check.clubs for each in club.findings]
    table = tidy_table(found, "amount", "tolerance", "unit", "text", "next_step", check="check.value")
    clubs = [club.card.club for club in check.clubs for _ in club.findings]
    return table.assign(club=clubs).set_index(["club", "check"])


def causes_table(check: SetCheck, most: int = 5) -> pd.DataFrame:
    """Return the likely mistakes of every stopped club, best first: what each leaves unexplained, in and cpm."""
    causes = [cause for club in check.clubs for cause in club.causes[:most]]
    table = tidy_table(causes, "mistake", "misfit_in", "misfit_cpm")
    table.insert(0, "club", [club.card.club for club in check.clubs for _ in club.causes[:most]])
    return table.astype({"misfit_in": "Float64", "misfit_cpm": "Float64"})


def line_table(report: LineReport) -> pd.DataFrame:
    """Return a set against its line, one row per club: lengths in in, frequencies and deviations in cpm, verdict."""
    numbers = ("playing_length_in", "frequency_cpm", "line_cpm", "deviation_cpm", "tolerance_cpm")
    return tidy_table(report.clubs, "club", *numbers, "verdict").set_index("club")


def slope_table(report: LineReport) -> pd.DataFrame:
    """Return the set's own slope beside the slopes offered as targets, cpm per half inch, with their standing."""
    import pandas as pd

    choices = tidy_table(
        SLOPE_CHOICES,
        slope="source.text",
        slope_cpm_per_half_in="slope_cpm_per_half_in",
        standing="source.standing.value",
    )
    own = ["this set's own", report.line.slope_cpm_per_half_in, "computed"]
    return pd.concat([pd.DataFrame([own], columns=choices.columns), choices]).set_index("slope")


def step_table(rows: Iterable[StepWorth]) -> pd.DataFrame:
    """Return steps by rule and by mechanics, one row per club and yardstick: cpm and flexes, and their difference."""
    measured = ("unstepped_cpm", "stepped_cpm", "change_cpm", "cpm_per_flex")
    told = ("rule_flexes", "mechanics_flexes", "rule_cpm", "difference_cpm")
    table = tidy_table(rows, "club", "yardstick", "step", *measured, *told)
    return table.rename(columns={"step": "soft_steps", "cpm_per_flex": "one_flex_cpm"}).set_index(["club", "yardstick"])


def target_table(trims: Iterable[TargetTrim]) -> pd.DataFrame:
    """Return trims for a target, one row per club: in and cpm; where out of reach, what stops it and by how much."""
    names = ("target_cpm", "tip_trim_in", "change_in", "frequency_cpm", "met", "missing_cpm", "limit")
    return tidy_table(trims, *names, club="card.club").set_index("club")


def both_table(solved: Iterable[tuple[str, BothMet | ModelError]]) -> pd.DataFrame:
    """Return cut and tip weight for both targets, one row per club (by name): in, g, cpm, oz in; or why not."""
    import pandas as pd

    rows = []
    for club, each in solved:
        if isinstance(each, ModelError):
            rows.append({"club": club, "met": False, "why_not": each.given})
            continue
        rows.append(
            {
                "club": club,
                "tip_trim_in": each.trim.tip_trim_in,
                "tip_weight_g": each.tip_weight_g,
                "frequency_cpm": each.frequency_cpm,
                "target_cpm": each.target_cpm,
                "swingweight_oz_in": each.swingweight_oz_in,
                "target_oz_in": each.target_oz_in,
                "met": each.met,
                "why_not": each.trim.limit,
            }
        )
    return pd.DataFrame(rows).set_index("club")
