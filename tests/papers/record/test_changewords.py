"""What differs between two builds, in words and units of the bench, what matters first, and no noise."""

import csv
import io
import re
from dataclasses import replace
from datetime import UTC, datetime

import pytest

from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.papers.record.build import first_record
from trimkit.papers.record.changewords import change_words, comparison_csv, comparison_lines, what_words
from trimkit.papers.record.compare import Change, compare
from trimkit.papers.record.model import Measured


@pytest.mark.parametrize(
    ("what", "before", "after", "words"),
    [
        ("cuts tip_trim_in", "1.5", "2.0", "tip trim 2.000 in, before 1.500 in (+0.500 in)"),
        ("cuts playing_length_in", "37.0", "36.75", "planned playing length 36.750 in, before 37.000 in (-0.250 in)"),
        ("predicted frequency_cpm", "309.04", "312.0", "predicted frequency 312.0 cpm, before 309.0 cpm (+3.0 cpm)"),
        # Swingweights by hand: D0 is 213.5 oz in, a point 1.75; 217 is D2, 250 is 20.857 points over D0, F0.9.
        ("predicted swingweight_oz_in", "213.5", "217.0", "predicted swingweight D2.0, before D0.0 (+2.0 points)"),
        (
            "measured swingweight_oz_in",
            "399.0",
            "217.0",
            "measured swingweight D2.0, before 399.0 oz in (-182.0 oz in)",
        ),
        ("measured frequency_cpm", "none", "312.04", "measured frequency 312.0 cpm, before none"),
        ("measured total_mass_g", "418.25", "none", "measured total mass none, before 418.2 g"),
        ("measured remark", "none", "dry", "remark dry, before none"),
        ("predicted add_tip_weight_g", "0.0", "2.5", "tip weight to add 2.5 g, before 0.0 g (+2.5 g)"),
        ("predicted moi_kg_cm2", "2650.4", "2671.2", "predicted MOI 2671 kg cm², before 2650 kg cm² (+21 kg cm²)"),
        ("shaft stations 2 ei_n_m2", "20.0", "21.5", "shaft station 2 EI 21.50 N m², before 20.00 N m² (+1.50 N m²)"),
        ("shaft sections 3 wall_in", "0.014", "0.015", "shaft section 3 wall 0.015 in, before 0.014 in (+0.001 in)"),
        ("bbgl_in", "1.0", "1.25", "BBGL 1.250 in, before 1.000 in (+0.250 in)"),
        ("head head_mass_g", "265.0", "268.0", "head mass 268.0 g, before 265.0 g (+3.0 g)"),
        ("head name", "a", "b", "head b, before a"),
        ("ordered pulled", "False", "True", "ordered pulled yes, before no"),
        ("title", "a", "b\n7-iron: tip trim 9 in", "title b 7-iron: tip trim 9 in, before a"),
        ("wanted_swingweight", "D0", "D2", "wanted swingweight D2, before D0"),
        ("soft_steps", "1", "2", "soft steps 2, before 1 (+1)"),
        ("assembly ferrule_mass_g", "1.0", "1.5", "ferrule mass 1.5 g, before 1.0 g (+0.5 g)"),
        ("assembly root_spring_n_m_per_rad", "none", "5000.0", "root spring 5000 N m per rad, before none"),
        ("verdict", "not measured", "as predicted", "verdict as predicted, before not measured"),
        ("club", "class 7-iron", "not in the set", "not in the set, before on the head class 7-iron"),
        ("club", "not in the set", "class 7-iron", "on the head class 7-iron, before not in the set"),
    ],
)
def test_a_change_is_said_as_a_fitter_reads_it(what, before, after, words):
    try:
        difference = float(after) - float(before)
    except ValueError:
        difference = None
    assert change_words(Change("7-iron", what, before, after, difference)) == f"7-iron: {words}"


def test_a_gain_is_that_of_the_numbers_shown():
    # 312.26 - 309.04 is 3.22, but who takes 309.0 from 312.3 finds 3.3.
    change = Change("7-iron", "predicted frequency_cpm", "309.04", "312.26", 3.22)
    assert change_words(change).endswith("312.3 cpm, before 309.0 cpm (+3.3 cpm)")


def test_what_reads_alike_is_counted_and_only_in_the_file():
    change = Change("7-iron", "predicted frequency_cpm", "312.00001", "312.00002", 0.00001)
    assert change_words(change) == ""
    (line,) = comparison_lines([change])
    assert line.startswith("Left out here: 1 ")
    assert "312.00001,312.00002,1e-05" in comparison_csv([change])
    assert comparison_lines([]) == ["Nothing differs."]


def sections(lines):
    """The lines under each heading."""
    found, under = {}, None
    for line in lines:
        if line.startswith("  "):
            under.append(line.strip())
        elif line.endswith(":"):
            under = found.setdefault(line, [])
    return found


def test_cuts_predictions_and_readings_come_first_club_by_club_then_the_rest(record, changed_club):
    old = record.latest
    later = changed_club(old, 1, cuts={"tip_trim_in": 9.0}, flex="S", predicted={"frequency_cpm": 333.0})
    read = Measured(playing_length_in=None, frequency_cpm=250.0, swingweight_oz_in=None, total_mass_g=None, remark="")
    later = changed_club(later, 0, measured=read, head=replace(old.clubs[0].head, head_mass_g=199.0))
    later = later.model_copy(update={"order": later.order.model_copy(update={"client": "another client"})})
    found = sections(comparison_lines(compare(old, later)))
    assert list(found) == ["Cut, predicted, measured:", "Ordered, built from, and the rest:"]
    first, rest = found.values()
    assert first[0] == "driver: measured frequency 250.0 cpm, before none"
    assert first[1].startswith("3-wood: tip trim 9.000 in, before ")
    assert first[2].startswith("3-wood: predicted frequency 333.0 cpm, before ")
    assert len(first) == 3
    assert rest[0] == f"whole set: client another client, before {old.order.client}"
    assert [line.split(",")[0] for line in rest[1:]] == ["driver: head mass 199.0 g", "3-wood: flex S"]


def test_another_shaft_is_said_once_without_its_inside(record):
    old = record.latest
    was = old.parts.shafts[0]
    stiffer = tuple(replace(station, ei_n_m2=station.ei_n_m2 + 1) for station in was.stations)
    shaft = replace(was, name="another shaft", raw_mass_g=70.0, stations=stiffer)
    clubs = tuple(club.model_copy(update={"shaft": "another shaft"}) for club in old.clubs)
    order = old.order.model_copy(update={"shaft": "another shaft"})
    parts = old.parts.model_copy(update={"shafts": (shaft,)})
    changes = compare(old, old.model_copy(update={"parts": parts, "order": order, "clubs": clubs}))
    (rest,) = sections(comparison_lines(changes)).values()
    assert rest == [
        f"whole set: shaft another shaft, before {was.name}",
        f"whole set: shaft raw mass 70.0 g, before {was.raw_mass_g:.1f} g ({70.0 - round(was.raw_mass_g, 1):+.1f} g)",
    ]
    assert len(list(csv.DictReader(io.StringIO(comparison_csv(changes))))) == len(changes) > 4


def test_one_bbgl_is_said_once_and_where_a_part_comes_from_only_in_the_file(record, changed_club):
    old = record.latest
    source = replace(old.clubs[0].head.source, text="measured again")
    head = replace(old.clubs[0].head, bbgl_in=0.5, source=source)
    changes = compare(old, changed_club(old, 0, head=head, bbgl_in=0.5))
    was = old.clubs[0].bbgl_in
    lines = comparison_lines(changes)
    assert lines[1:3] == [f"  driver: BBGL 0.500 in, before {was:.3f} in ({0.5 - was:+.3f} in)", ""]
    assert lines[3].startswith("Left out here: 1 ")
    assert "measured again" in comparison_csv(changes)


IDENTIFIER = re.compile(r"\w+_\w+")


@pytest.mark.parametrize("other", ["taper_soft_step", "wood_pair", "wood_bores"])
def test_no_identifier_reaches_the_reader_and_the_file_has_every_change(other):
    before, after = (
        first_record(build_set(shipped_order(name)), datetime(2026, 1, 2, tzinfo=UTC)).latest
        for name in ("evening_class", other)
    )
    changes = compare(before, after)
    assert not IDENTIFIER.findall("\n".join(comparison_lines(changes)))
    rows = list(csv.DictReader(io.StringIO(comparison_csv(changes))))
    assert len(rows) == len(changes)
    for row, change in zip(rows, changes, strict=True):
        assert not IDENTIFIER.findall(row["what"])
        if change.difference is not None:
            assert float(row["after"]) - float(row["before"]) == change.difference == float(row["difference"])
            assert not change.what.endswith(("_in", "_g", "_cpm")) or row["unit"] in ("in", "g", "cpm", "oz in")


def test_a_length_s_unit_is_not_taken_from_the_end_of_a_word():
    assert what_words("cuts butt_trim_in") == ("butt trim", "in")
    assert what_words("measured swingweight_oz_in") == ("measured swingweight", "oz in")
    assert what_words("head inertia_g_cm2") == ("head inertia", "g cm²")
    assert what_words("shaft stations 1 mass_g_per_m") == ("shaft station 1 mass", "g per m")
    assert what_words("ordered tip_weight_g") == ("ordered tip weight", "g")
    assert what_words("title") == ("title", "")
