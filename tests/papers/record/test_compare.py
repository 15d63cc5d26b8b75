"""What differs between two recorded builds: every value, once, with its sign."""

from dataclasses import replace

import pytest

from trimkit.club.order.decisions import Decision
from trimkit.papers.record.compare import Change, changes_table, compare
from trimkit.papers.record.model import Measured


def with_order(revision, **values):
    return revision.model_copy(update={"order": revision.order.model_copy(update=values)})


def only(changes):
    (change,) = changes
    return change


def test_nothing_differs_from_itself(record):
    assert compare(record.latest, record.latest) == ()


@pytest.mark.parametrize("place", [0, 1])
def test_a_number_is_told_before_and_after_with_what_it_gained(record, changed_club, place):
    old = record.latest.clubs[place]
    cases = {
        "head": ("head_mass_g", old.head.head_mass_g + 3),
        "cuts": ("tip_trim_in", old.cuts.tip_trim_in + 0.25),
        "predicted": ("frequency_cpm", old.predicted.frequency_cpm - 4),
    }
    for part, (name, value) in cases.items():
        before = getattr(getattr(old, part), name)
        if part == "head":
            later = changed_club(record.latest, place, head=replace(old.head, head_mass_g=value))
        else:
            later = changed_club(record.latest, place, **{part: {name: value}})
        change = only(compare(record.latest, later))
        assert (change.club, change.what) == (old.club, f"{part} {name}")
        assert (change.before, change.after) == (str(before), str(value))
        assert change.difference == pytest.approx(value - before)
        assert only(compare(later, record.latest)).difference == pytest.approx(before - value)


def test_words_differ_without_a_difference_in_numbers(record, changed_club):
    later = changed_club(record.latest, 0, flex="S", bbgl_in=0.5, trims_as="3-wood")
    changes = {change.what: change for change in compare(record.latest, later)}
    assert set(changes) == {"flex", "bbgl_in", "trims_as"}
    assert changes["flex"] == Change("driver", "flex", "R", "S", None)
    assert changes["bbgl_in"].difference == pytest.approx(0.25)


def test_what_was_measured_is_new_and_its_verdict_too(record, changed_club):
    found = Measured(playing_length_in=45.0, frequency_cpm=None, swingweight_oz_in=None, total_mass_g=None, remark="")
    later = changed_club(record.latest, 0, measured=found)
    changes = {change.what: change for change in compare(record.latest, later)}
    assert changes["measured playing_length_in"] == Change("driver", "measured playing_length_in", "none", "45.0", None)
    assert "verdict" not in changes


def test_the_order_and_its_parts_belong_to_the_whole_set(record):
    old = record.latest
    change = only(compare(old, with_order(old, flex="S")))
    assert change == Change("whole set", "flex", "R", "S", None)
    heavier = old.parts.model_copy(update={"grips": (replace(old.parts.grips[0], grip_mass_g=52.0),)})
    change = only(compare(old, old.model_copy(update={"parts": heavier})))
    assert (change.club, change.what) == ("whole set", "grip grip_mass_g")
    assert change.difference == pytest.approx(52.0 - old.parts.grips[0].grip_mass_g)
    other = old.parts.model_copy(update={"shafts": (replace(old.parts.shafts[0], raw_mass_g=61.0),)})
    change = only(compare(old, old.model_copy(update={"parts": other})))
    assert (change.club, change.what) == ("whole set", "shaft raw_mass_g")
    stations = old.parts.shafts[0].stations
    moved = (*stations[:1], replace(stations[1], ei_n_m2=stations[1].ei_n_m2 + 1), *stations[2:])
    other = old.parts.model_copy(update={"shafts": (replace(old.parts.shafts[0], stations=moved),)})
    change = only(compare(old, old.model_copy(update={"parts": other})))
    assert (change.what, change.difference) == ("shaft stations 2 ei_n_m2", pytest.approx(1))


def test_clubs_are_paired_by_head_and_a_lone_one_is_told_whole(record):
    driver, wood = record.latest.clubs

    ordered = {club.head.name: table for club, table in zip(record.latest.clubs, record.latest.order.club, strict=True)}

    def revision(*clubs):
        order = record.latest.order.model_copy(update={"club": tuple(ordered[club.head.name] for club in clubs)})
        return record.latest.model_copy(update={"clubs": clubs, "order": order})

    assert compare(revision(driver, wood), revision(wood, driver)) == ()
    gone = only(compare(revision(driver, wood), revision(driver)))
    assert gone == Change("3-wood", "club", wood.head.name, "not in the set", None)
    come = only(compare(revision(driver), revision(driver, wood)))
    assert come == Change("3-wood", "club", "not in the set", wood.head.name, None)
    # Two of the same head: the second is paired with the second.
    softer = wood.model_copy(update={"flex": "A"})
    for place, later in ((2, revision(wood, softer, driver)), (1, revision(softer, wood, driver))):
        change = only(compare(revision(wood, wood, driver), later))
        assert change == Change(f"3-wood (place {place})", "flex", "R", "A", None)


def test_a_club_on_another_head_is_the_same_club_and_its_head_differs(record):
    driver, wood = record.latest.clubs
    other = wood.model_copy(update={"head": replace(wood.head, name="another head")})
    later = record.latest.model_copy(update={"clubs": (driver, other)})
    assert only(compare(record.latest, later)) == Change("3-wood", "head name", wood.head.name, "another head", None)


def test_what_the_order_says_of_one_club_differs_too(record):
    old = record.latest
    clubs = (old.order.club[0], old.order.club[1].model_copy(update={"tip_weight_g": 2.0}))
    later = with_order(old, club=clubs)
    assert only(compare(old, later)) == Change("3-wood", "ordered tip_weight_g", "none", "2.0", None)


def test_a_decision_is_told_with_its_reason(record, changed_club):
    decided = (Decision("left softer", "part shots", -2.0), Decision("longer", "tall", None))
    later = changed_club(record.latest, 1, decisions=decided)
    change = only(compare(record.latest, later))
    assert change == Change("3-wood", "decisions", "none", "left softer (part shots); longer (tall)", None)


def test_the_table_has_a_row_a_change(record, changed_club):
    later = changed_club(record.latest, 0, cuts={"tip_trim_in": 9.0}, flex="S")
    changes = compare(record.latest, later)
    table = changes_table(changes)
    assert list(table.index) == [(change.club, change.what) for change in changes]
    assert list(table.columns) == ["before", "after", "difference"]
    assert table.loc[("driver", "cuts tip_trim_in"), "difference"] == pytest.approx(9.0)


def test_a_second_shaft_is_told_by_its_number_and_a_club_s_own_by_its_name(record):
    old = record.latest
    second = replace(old.parts.shafts[0], name="another shaft", raw_mass_g=70.0)
    more = old.model_copy(update={"parts": old.parts.model_copy(update={"shafts": (*old.parts.shafts, second)})})
    added = {change.what: (change.before, change.after) for change in compare(old, more)}
    assert added["shaft 2 name"] == ("none", "another shaft")
    assert not [what for what in added if not what.startswith("shaft 2 ")]
    heavier = replace(second, raw_mass_g=71.0)
    other = old.model_copy(update={"parts": old.parts.model_copy(update={"shafts": (*old.parts.shafts, heavier)})})
    change = only(compare(more, other))
    assert (change.what, change.difference) == ("shaft 2 raw_mass_g", pytest.approx(1.0))
    for part in ("shaft", "grip"):
        club = old.clubs[1].model_copy(update={part: "another"})
        change = only(compare(old, old.model_copy(update={"clubs": (old.clubs[0], club)})))
        assert (change.club, change.what, change.after) == (club.club, part, "another")
