"""A recorded build in plain lines: the numbers of the record, and nothing else."""

import pytest

from trimkit.club.club import NO_PREDICTION
from trimkit.papers.record.model import Difference, Measured, RecordedNote
from trimkit.papers.record.words import measured_lines, record_lines
from trimkit.parts.sources import Source, Standing
from trimkit.trim.steps import Severity

SHOP = Source("the shop's own", Standing.CHOSEN)


def finding(quantity, unit, predicted, measured, tolerance):
    difference = measured - predicted
    return Difference(
        quantity=quantity,
        unit=unit,
        predicted=predicted,
        measured=measured,
        difference=difference,
        tolerance=tolerance,
        tolerance_source=SHOP,
        within=abs(difference) <= tolerance,
    )


def measured(remark=""):
    return Measured(
        playing_length_in=None, frequency_cpm=250.0, swingweight_oz_in=None, total_mass_g=None, remark=remark
    )


def test_each_club_is_a_line_of_its_cuts_and_predictions(record, changed_club):
    cuts = {"tip_trim_in": 1.25, "cut_length_in": 41.5, "butt_trim_in": -0.125, "playing_length_in": 42.0625}
    # 217 oz in is D2 on the scale of letters (D0 = 213.5, 1.75 a point; from memory).
    predicted = {
        "add_tip_weight_g": 1.25,
        "frequency_cpm": 251.26,
        "flex": "1.4 cpm softer than R",
        "swingweight_oz_in": 217.0,
        "total_mass_g": 318.04,
    }
    revision = changed_club(record.latest, 1, club="3-wood", cuts=cuts, predicted=predicted)
    lines = record_lines(record, revision)
    head = next(number for number, line in enumerate(lines) if line.startswith("place"))
    columns = ["place", "club", "tip trim in", "cut length in", "butt trim in", "playing length in", "add g"]
    columns += ["frequency cpm", "flex"]
    assert [cell.strip() for cell in lines[head].split("  ") if cell.strip()] == [
        *columns,
        "swingweight",
        "total mass g",
    ]
    assert [line.split()[:2] for line in lines[head + 1 : head + 3]] == [["1", "driver"], ["2", "3-wood"]]
    numbers = [
        "1.250",
        "41.500",
        "-0.125",
        "42.062",
        "1.2",
        "251.3",
        *["1.4", "cpm", "softer", "than", "R"],
        "D2.0",
        "318.0",
    ]
    assert lines[head + 2].split()[2:] == numbers
    starts = [lines[head].index(name) for name in columns]
    for line in lines[head + 1 : head + 3]:
        assert all(line[start] != " " and (start == 0 or line[start - 1] == " ") for start in starts)
        assert line == line.rstrip()


def test_it_says_which_order_and_which_revision_of_how_many(record):
    grown = record.model_copy(update={"revisions": (*record.revisions, record.latest.model_copy(update={"number": 2}))})
    lines = record_lines(grown, grown.revision(2))
    order = record.latest.order
    assert lines[0] == f"{order.title}, for {order.client}"
    assert lines[1] == f"shaft {order.shaft}, flex ordered {order.flex}, grip {order.grip}"
    assert lines[2].startswith(f"revision 2 of 2, {record.latest.saved_at}, by trimkit ")
    assert lines[2].endswith(": first plan")
    assert "No club has been measured yet." in lines
    assert "cautions" in lines[-1]


def test_what_was_measured_stands_with_difference_tolerance_and_verdict(record, changed_club):
    found = (finding("frequency", "cpm", 250.0, 247.5, 2.0), finding("total mass", "g", 312.0, 313.25, 3.0))
    revision = changed_club(record.latest, 1, measured=measured("grip twisted"), findings=found)
    assert measured_lines(revision) == [
        f"2 {record.latest.clubs[1].club}: outside the tolerance: frequency",
        f"    frequency: predicted 250.000, measured 247.500, difference -2.500 cpm; tolerance 2.000 ({SHOP})",
        f"    total mass: predicted 312.000, measured 313.250, difference +1.250 g; tolerance 3.000 ({SHOP})",
        "    remark: grip twisted",
    ]


@pytest.mark.parametrize(
    ("predicted", "found", "words"),
    [
        # Two points of 1.75 oz in; D0 is 213.5 oz in.
        (213.5, 217.0, "predicted D0.0, measured D2.0, difference +2.0 points; tolerance 1.0"),
        (213.5, 300.0, "predicted 213.500, measured 300.000, difference +86.500 oz in; tolerance 1.750"),
    ],
)
def test_a_swingweight_is_in_points_unless_it_is_off_the_scale(record, changed_club, predicted, found, words):
    one = finding("swingweight", "oz in", predicted, found, 1.75)
    revision = changed_club(record.latest, 0, measured=measured(), findings=(one,))
    assert measured_lines(revision)[1:] == [f"    swingweight: {words} ({SHOP})"]


def test_a_set_on_several_parts_has_a_line_for_each_with_its_clubs(record, changed_club):
    order = record.latest.order
    other = changed_club(record.latest, 1, shaft="another shaft", grip="another grip")
    lines = record_lines(record, other)
    driver, wood = (club.club for club in other.clubs)
    assert lines[1] == f"shaft {order.shaft}, flex ordered {order.flex}, grip {order.grip}: {driver}"
    assert lines[2] == f"shaft another shaft, flex ordered {order.flex}, grip another grip: {wood}"
    softer = order.model_copy(update={"club": (order.club[0].model_copy(update={"flex": "A"}), order.club[1])})
    lines = record_lines(record, record.latest.model_copy(update={"order": softer}))
    assert lines[1] == f"shaft {order.shaft}, flex ordered A, grip {order.grip}: {driver}"
    assert lines[2] == f"shaft {order.shaft}, flex ordered {order.flex}, grip {order.grip}: {wood}"


def test_a_club_without_a_prediction_shows_what_was_measured_and_why_nothing_is_beside_it(record, changed_club):
    why = RecordedNote(
        severity=Severity.NOTE, text="No prediction: nobody knows.", next_step="ask", source=NO_PREDICTION
    )
    values = {"playing_length_in": None, "frequency_cpm": 250.0, "swingweight_oz_in": 213.5, "total_mass_g": 331.0}
    club = Measured(**values, remark="")
    revision = changed_club(record.latest, 0, predicted=None, notes=(why,), measured=club)
    lines = record_lines(record, revision)
    assert lines.count("No prediction: nobody knows.") == 1
    (row,) = [line for line in lines if line.startswith("1 ") and "driver" in line and ":" not in line]
    assert row.split()[-4:] == ["none"] * 4
    (other,) = [line for line in lines if line.startswith("2 ")]
    assert "none" not in other
    assert measured_lines(revision)[:4] == [
        "1 driver: measured; nothing was predicted",
        "    frequency: measured 250.0 cpm; nothing was predicted",
        "    swingweight: measured D0.0; nothing was predicted",
        "    total mass: measured 331.0 g; nothing was predicted",
    ]
    light = changed_club(revision, 0, measured=club.model_copy(update={"swingweight_oz_in": 399.0}))
    assert "    swingweight: measured 399.0 oz in; nothing was predicted" in measured_lines(light)
