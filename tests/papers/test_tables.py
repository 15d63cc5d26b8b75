"""Tables: a row a club, every number's unit in its name, the numbers those of the plans."""

import re
from dataclasses import replace

import numpy as np
import pandas as pd
import pytest

from trimkit.club.club import build_club
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.papers import tables

BUILT = build_set(shipped_order())
UNITS = r"_(in|g|cpm|kg_cm2|oz_in)$"


@pytest.mark.parametrize("make", [tables.parts_table, tables.cut_list, tables.steps_table, tables.prediction_table])
def test_every_column_of_numbers_names_its_unit_and_holds_no_gap(make):
    table = make(BUILT)
    assert set(table.index.get_level_values("club")) == {club.plan.club for club in BUILT.clubs}
    assert not table.isna().any().any()
    for name in table.columns:
        if pd.api.types.is_numeric_dtype(table[name]):
            assert re.search(UNITS, name), name
            assert np.isfinite(table[name]).all()


def test_the_cut_list_adds_up():
    cuts = tables.cut_list(BUILT)
    parts = cuts.schedule_trim_in + cuts.between_flexes_in + cuts.bbgl_correction_in
    assert np.allclose(parts, cuts.tip_trim_in, rtol=0, atol=1e-12)
    whole = cuts.tip_trim_in + cuts.cut_length_in + cuts.butt_trim_in
    assert np.allclose(whole, cuts.raw_length_in, rtol=0, atol=1e-12)


def test_every_step_has_a_reason_and_a_source_with_its_standing():
    steps = tables.steps_table(BUILT)
    assert (steps.reason.str.endswith(".")).all()
    standings = "invented for the demo|common practice|derived here|measured|chosen in the order"
    assert steps.source.str.contains(standings).all()


def _unknown(built, *places):
    """The same set with some of its clubs on shafts whose walls nobody knows."""
    clubs = list(built.clubs)
    for place in places:
        plan = clubs[place].plan
        shaft = replace(plan.wanted.shaft, sections=())
        clubs[place] = build_club(replace(plan, wanted=replace(plan.wanted, shaft=shaft)), clubs[place].assembly)
    return replace(built, clubs=tuple(clubs))


@pytest.mark.parametrize("places", [(0,), (2, 9), range(10)])
def test_a_club_without_a_prediction_has_an_empty_row_that_says_why(places):
    table, known = tables.prediction_table(_unknown(BUILT, *places)), tables.prediction_table(BUILT)
    assert list(table.index) == list(known.index)
    assert list(table.columns) == [*known.columns, "no_prediction"]
    for place in range(len(table)):
        row = table.iloc[place]
        if place in places:
            assert row[known.columns].isna().all()
            assert row.no_prediction == f"no tube walls are known for shaft {BUILT.order.shaft.name!r}"
        else:
            assert row[known.columns].tolist() == known.iloc[place].tolist()
            assert row.no_prediction == ""
