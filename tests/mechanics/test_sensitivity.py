"""What one unit of each change does: differences at two steps, the loop by hand, and the trade's rules of thumb."""

import pytest

from trimkit.mechanics.balance import balance, club_components
from trimkit.mechanics.beam import first_frequency
from trimkit.mechanics.sensitivity import sensitivities, sensitivity_table
from trimkit.parts.errors import ModelError


@pytest.fixture
def rows(profile, iron, grip):
    return {row.change: row for row in sensitivities(profile, **iron, **grip)}


def test_two_step_sizes_agree(rows):
    for row in rows.values():
        assert row.cpm_error <= 1e-5 * max(abs(row.cpm), 0.1)
        assert row.points_error <= 1e-9


@pytest.mark.parametrize(
    ("change", "moves"),
    [
        ("head mass", {"head_mass_g": 0.01}),
        ("tip trim", {"tip_trim_in": 0.01 / 16}),
        ("BBGL, tip trim as before", {"bbgl_in": 0.01 / 16, "cut_length_in": -0.01 / 16}),
        ("playing length", {"cut_length_in": 0.01 / 16}),
        (
            "bore depth, hosel top as before",
            {"bore_depth_in": 1 / 1600, "bbgl_in": -1 / 1600, "cut_length_in": 1 / 1600},
        ),
    ],
)
def test_a_hundredth_of_the_unit_by_hand(profile, iron, grip, rows, change, moves):
    moved = {name: value + moves.get(name, 0.0) for name, value in iron.items()}
    cpm = [first_frequency(profile, **club).frequency_cpm for club in (iron, moved)]
    points = [balance(club_components(profile, **club, **grip)).swingweight_points for club in (iron, moved)]
    assert 100 * (cpm[1] - cpm[0]) == pytest.approx(rows[change].cpm, rel=2e-3)
    assert 100 * (points[1] - points[0]) == pytest.approx(rows[change].points, rel=2e-3)


def test_signs(rows):
    assert rows["head mass"].cpm < 0 < rows["head mass"].points
    assert rows["grip mass"].cpm == 0 > rows["grip mass"].points
    assert rows["tip trim"].cpm > 0
    assert rows["BBGL, tip trim as before"].cpm < 0
    assert rows["playing length"].cpm < 0 < rows["playing length"].points
    assert rows["soft step"].cpm < 0


def test_a_soft_step_is_half_an_inch_of_tip_trim_the_other_way(rows):
    assert rows["soft step"].cpm == pytest.approx(-8 * rows["tip trim"].cpm, rel=1e-3)


def test_correcting_the_tip_trim_takes_back_most_of_the_bbgl(rows):
    both = rows["BBGL, tip trim as before"].cpm + rows["tip trim"].cpm
    assert rows["BBGL, tip trim corrected"].cpm == pytest.approx(both, rel=1e-5)
    assert abs(both) < 0.25 * abs(rows["BBGL, tip trim as before"].cpm)


# Common practice, no source: the bands are as wide as the rules are rough.
def test_trade_rule_about_two_grams_at_the_head_for_a_point(rows):
    assert 1 / rows["head mass"].points == pytest.approx(2.0, abs=0.4)


def test_trade_rule_about_five_grams_at_the_grip_for_a_point(rows):
    assert -1 / rows["grip mass"].points == pytest.approx(5.0, abs=0.5)


def test_trade_rule_a_sixth_of_an_inch_for_a_point(rows):
    assert 1 / 16 / rows["playing length"].points == pytest.approx(1 / 6, abs=0.02)


@pytest.mark.parametrize(
    ("change", "uncut", "cut"),
    [
        ("tip trim", {"tip_trim_in": 0.0}, {"tip_trim_in": 0.1}),
        ("soft step", {"tip_trim_in": 0.0}, {"tip_trim_in": 0.1}),
        ("playing length", {"cut_length_in": 39.0}, {"cut_length_in": 38.9}),
    ],
)
def test_one_sided_where_nothing_is_cut_yet(profile, iron, grip, change, uncut, cut):
    edge, inside = (
        next(row for row in sensitivities(profile, **iron | club, **grip) if row.change == change)
        for club in (uncut, cut)
    )
    assert edge.cpm == pytest.approx(inside.cpm, rel=0.03)
    assert edge.cpm_error < 1e-3


def test_no_room_and_batches_are_refused(profile, iron, grip):
    with pytest.raises(ModelError, match="tip trim: the shaft has no room"):
        sensitivities(profile, **iron | {"tip_trim_in": 0.0, "cut_length_in": 41.0}, **grip)
    with pytest.raises(ModelError, match=r"a batch of shape \(2,\)"):
        sensitivities(profile, **iron | {"head_mass_g": [250.0, 260.0]}, **grip)


def test_table_has_a_line_for_each_change(rows):
    lines = sensitivity_table(tuple(rows.values())).splitlines()
    assert len(lines) == len(rows) + 1
    assert "tip trim" in lines[3]
    assert f"{rows['tip trim'].cpm:.3f}" in lines[3]
