"""The lab on the first cut: what is drawn is what is cut, and what the rule allows."""

import re

import pytest

from trimkit import write_sheet
from trimkit.check.stepshares import step_shares
from trimkit.club.card import card_of
from trimkit.club.club import build_club, recut
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.errors import TrimRefused
from trimkit.study import first_club, first_cut_lab, first_cuts_table, first_parts_table

LAB = first_cut_lab
START = build_set(shipped_order()).club("7-iron")


@pytest.mark.parametrize(("tip", "playing"), [(1.0, 38.0), (3.5, 37.0), (6.0, 38.0)])
def test_ends_and_middle_show_what_the_pure_function_says(lab, tip, playing):
    if tip + playing > 42 + 1.1:
        with pytest.raises(TrimRefused, match="too short"):
            lab.set(tip_trim_in=tip, playing_length_in=playing)
        assert "too short" in lab.sentence
        assert lab.result is None
        return
    lab.set(tip_trim_in=tip, playing_length_in=playing)
    pure = build_club(recut(START.plan, tip, playing), START.assembly)
    assert lab.readout["frequency"].value == pure.frequency_cpm
    assert f"{pure.frequency_cpm:.1f} cpm" in lab.sentence
    drawn = [lab.scene.live[name].get_bbox() for name in ("tip cut", "shaft", "butt cut")]
    assert [box.width for box in drawn] == pytest.approx([tip, pure.plan.cut_length_in, pure.plan.butt_trim_in])
    assert drawn[0].x0 == 0
    assert drawn[-1].x1 == pytest.approx(pure.plan.raw_length_in)


@pytest.mark.parametrize(("tip", "playing"), [(1.0, 38.0), (4.0, 37.0), (6.0, 35.5)])
def test_the_club_lies_under_the_piece_of_the_raw_shaft_it_is_made_of(lab, tip, playing):
    """BBGL 1 in, bore 1 1/4 in deep, cap 0.1 in: the tip 1 in above the ground, the cap ends 0.1 in past the butt."""
    lab.set(tip_trim_in=tip, playing_length_in=playing)
    live = lab.scene.live

    def ends(name):
        places = live[name].get_xy()[:, 0]
        return [places.min(), places.max()]

    assert ends("drawn shaft") == pytest.approx([tip, tip - 1 + playing - 0.1])
    assert ends("drawn grip")[1] == pytest.approx(tip - 1 + playing)
    assert ends("drawn hosel")[1] == pytest.approx(tip + 1.25)
    assert ends("drawn head")[0] == pytest.approx(tip - 1), "nothing of the head is under the ground"
    assert list(live["ground"].get_xdata()) == pytest.approx([tip - 1] * 2)
    assert list(live["length"].get_xdata()) == pytest.approx([tip - 1, tip - 1 + playing])
    on_ruler = {round(float(line[0][0]), 4) for line in live["steps"].get_segments()}
    on_club = {round(float(line[0][0]), 4) for line in live["drawn steps"].get_segments()}
    assert len(on_club) >= 8
    assert on_club <= on_ruler


def test_the_marker_lies_on_the_curve_and_the_curve_ends_where_the_shaft_does(lab):
    now = lab.set(tip_trim_in=5.0, playing_length_in=38.0).result
    places, cpm = lab.scene.live["curve"].get_data()
    assert places[-1] == pytest.approx(42 - 36.9)
    for place, value in zip(places[::5], cpm[::5], strict=True):
        alone = build_club(recut(START.plan, float(place), 38.0), START.assembly)
        assert value == pytest.approx(alone.frequency_cpm, rel=1e-9)
    (x,), (y,) = lab.scene.live["club"].get_data()
    assert (x, y) == (5.0, now.club.frequency_cpm)


def test_more_off_the_tip_is_stiffer_all_the_way(lab):
    frequencies = [
        lab.set(tip_trim_in=tip, playing_length_in=37.0).result.club.frequency_cpm
        for tip in (1.0, 2.0, 3.0, 4.0, 5.0, 6.0)
    ]
    assert frequencies == sorted(frequencies)


def test_a_longer_club_is_slower_all_the_way(lab):
    frequencies = [
        lab.set(tip_trim_in=4.0, playing_length_in=length).result.club.frequency_cpm for length in (36, 36.5, 37, 37.5)
    ]
    assert frequencies == sorted(frequencies, reverse=True)


def test_the_sentence_says_less_and_more_and_the_same(lab):
    assert lab.sentence.endswith("reads 313.0 cpm, the same as before.")
    less, more = (lab.set(tip_trim_in=tip, playing_length_in=37.0).sentence for tip in (3.5, 4.5))
    assert "3.3 cpm less than before" in less
    assert "3.5 cpm more than before" in more
    assert "≈ 35 7/8 in (911.9 mm) of shaft is left" in more


def test_what_the_lesson_says_of_the_nearest_and_the_last_step_is_so():
    """Lesson 00: less than 1 % of the change, and about 10 %; each further up gives more, as long as it bends."""
    shares = [
        step.fraction for step in step_shares(card_of(START.plan, START.assembly), 0.5).steps if not step.in_clamp
    ]
    assert 0 < shares[0] < 0.01
    whole = shares[:-1]  # the last one goes into the clamp by the cut, so that it gives only a part
    assert whole == sorted(whole)
    assert max(shares) == pytest.approx(0.10, abs=0.005)


def test_the_first_club_is_the_class_s_7_iron_and_its_sheet_says_what_the_lesson_says(tmp_path):
    """No swingweight is asked of it: the sheet adds no weight, and so it has the lesson's frequency."""
    (club,) = first_club().clubs
    assert club.plan.club == "7-iron"
    assert club.frequency_cpm == START.frequency_cpm
    sheet = write_sheet(first_club(), tmp_path / "first.html").read_text(encoding="utf-8")
    found = [float(cpm) for cpm in re.findall(r"(\d{3}\.\d) ?cpm", sheet)]
    assert found
    assert set(found) == {313.0}


def test_what_the_lesson_works_out_by_hand_is_in_its_tables():
    """Lesson 00: 37 − 1 − 0.1 = 35.9 and 42 − 4 − 35.9 = 2.1."""
    parts, cuts = first_parts_table(), first_cuts_table()
    assert parts["value"].tolist() == ["R", "37 in", "42 in", "1 in", "0.1 in", "273.3 g"]
    assert cuts["length (in)"].tolist() == ["4", "35.9", "2.1"]
    assert cuts["on a ruler (in and mm)"].tolist() == [
        "4 in (101.6 mm)",
        "≈ 35 7/8 in (911.9 mm)",
        "≈ 2 1/8 in (53.3 mm)",
    ]


def test_what_the_lesson_says_of_two_inches_of_tip_is_so(lab):
    """Common practice, no source: with a plausible steel shaft half an inch of tip trim is worth a few cpm."""
    half = lab.set(tip_trim_in=4.5, playing_length_in=37.0).result.club.frequency_cpm
    assert 2 < half - lab.set(tip_trim_in=4.0).result.club.frequency_cpm < 8
