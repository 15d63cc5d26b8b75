"""A recorded build in plain lines: the numbers of the record, and nothing else."""

import time
from datetime import UTC, datetime

import pytest

from trimkit.club.club import NO_PREDICTION
from trimkit.papers.measured import measured_club
from trimkit.papers.record.build import revised, with_measurements, withdrawn
from trimkit.papers.record.model import Difference, Measured, RecordedNote
from trimkit.papers.record.words import measured_lines, readings_lines, record_lines, replaced_lines, revisions_lines
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
    local = time.localtime(datetime.fromisoformat(record.latest.saved_at).timestamp())
    assert lines[2].startswith(f"revision 2 of 2, {time.strftime('%Y-%m-%d %H:%M', local)}, by trimkit ")
    assert lines[2].endswith(": first plan")
    assert "No club has been measured yet." in lines
    assert "cautions" in lines[-1]


def test_what_was_measured_stands_with_difference_tolerance_and_verdict(record, changed_club):
    found = (finding("frequency", "cpm", 250.0, 247.5, 2.0), finding("total mass", "g", 312.0, 313.25, 3.0))
    revision = changed_club(record.latest, 1, measured=measured("grip twisted"), findings=found)
    assert measured_lines(revision) == [
        f"2 {record.latest.clubs[1].club}: outside the tolerance: frequency",
        f"    frequency: predicted 250.0, measured 247.5, difference −2.5 cpm; tolerance 2 ({SHOP})",
        f"    total mass: predicted 312.0, measured 313.2, difference +1.2 g; tolerance 3 ({SHOP})",
        "    remark: grip twisted",
    ]


@pytest.mark.parametrize(
    ("predicted", "found", "words"),
    [
        # Two points of 1.75 oz in; D0 is 213.5 oz in.
        (213.5, 217.0, "predicted D0.0, measured D2.0, difference +2.0 points; tolerance 1"),
        (213.5, 300.0, "predicted 213.5, measured 300.0, difference +86.5 oz in; tolerance 1.75"),
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


@pytest.fixture
def bench_time(monkeypatch):
    """A bench five hours behind UTC."""
    monkeypatch.setenv("TZ", "XXX5")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


AT = datetime(2026, 1, 3, 4, 30, tzinfo=UTC)


@pytest.mark.skipif(not hasattr(time, "tzset"), reason="the time zone of a process is set on POSIX only")
def test_every_reading_is_told_with_its_revision_its_cuts_and_what_became_of_it(record, woods, bench_time):
    grown = with_measurements(record, {0: measured_club(frequency_cpm=250.0, remark="dry")}, AT, reason="measured")
    later = {0: measured_club(frequency_cpm=252.26, swingweight="D1")}
    assert replaced_lines(grown, later) == [
        "driver: frequency 252.3 cpm replaces 250.0 cpm of revision 2, which stays in the record"
    ]
    grown = with_measurements(grown, later, AT, reason="again")
    assert replaced_lines(grown, {0: measured_club(swingweight="D1"), 1: measured_club(swingweight="D1")}) == [
        "driver: swingweight D1.0 is what revision 3 has already"
    ]
    grown = withdrawn(grown, 0, "frequency", AT, reason="clamp was loose")
    grown = revised(grown, woods, AT, reason="title put right", frequency_sd_cpm=[1.5, 2.5])
    cuts = record.latest.clubs[0].cuts
    lines = readings_lines(grown, grown.latest)
    assert lines == [
        "All readings up to revision 5:",
        f"1 driver: tip trim {cuts.tip_trim_in:.3f} in, cut length {cuts.cut_length_in:.3f} in",
        "    frequency 250.0 cpm (revision 2, 2026-01-02 23:30): replaced in revision 3; remark: dry",
        "    frequency 252.3 cpm (revision 3, 2026-01-02 23:30): withdrawn in revision 4: clamp was loose",
        "    swingweight D1.0 (revision 3, 2026-01-02 23:30): counts",
        "",
    ]
    assert revisions_lines(grown) == [
        "Revisions:",
        "   1  2026-01-01 22:04  first plan",
        "   2  2026-01-02 23:30  measured",
        "   3  2026-01-02 23:30  again",
        "   4  2026-01-02 23:30  withdrawn: frequency of driver: clamp was loose",
        "   5  2026-01-02 23:30  title put right",
    ]
    said = record_lines(grown, grown.latest)
    assert "No club has been measured yet." not in said
    assert all(line in said for line in (*lines, *revisions_lines(grown)))
    # An older revision tells what was known then.
    then = record_lines(grown, grown.revision(2))
    assert "    frequency 250.0 cpm (revision 2, 2026-01-02 23:30): counts; remark: dry" in then
    assert readings_lines(grown, grown.revision(1)) == []


def test_a_reading_that_an_earlier_trimkit_left_out_of_a_new_plan_is_beside_its_prediction(record):
    measuring = with_measurements(record, {0: measured_club(frequency_cpm=250.0)}, AT, reason="measured")
    plan = record.latest.model_copy(update={"number": 3})
    old = measuring.model_copy(update={"revisions": (*measuring.revisions, plan)})
    lines = record_lines(old, old.latest)
    assert "No club has been measured yet." not in lines
    assert set(measured_lines(measuring.latest)) < set(lines)


def test_what_a_person_wrote_stays_in_its_line(record):
    odd = "x\n    frequency 300.0 cpm (revision 1): counts"
    grown = with_measurements(record, {0: measured_club(frequency_cpm=250.0, remark=odd)}, AT, reason=odd)
    grown = withdrawn(grown, 0, "frequency", AT, reason=odd)
    assert len(revisions_lines(grown)) == 4
    assert len(readings_lines(grown, grown.latest)) == 4


def test_a_reading_of_other_cuts_says_which(record, changed_club):
    measuring = with_measurements(record, {0: measured_club(total_mass=320.0)}, AT, reason="measured")
    cuts = {"tip_trim_in": 1.0, "cut_length_in": 40.0}
    plan = changed_club(record.latest, 0, cuts=cuts).model_copy(update={"number": 3})
    old = measuring.model_copy(update={"revisions": (*measuring.revisions, plan)})
    lines = readings_lines(old, old.latest)
    then = record.latest.clubs[0].cuts
    assert lines[1] == "1 driver: tip trim 1.000 in, cut length 40.000 in"
    assert lines[2].startswith("    total mass 320.0 g (revision 2, ")
    assert lines[2].endswith(
        "does not count, planned otherwise in revision 3 (cuts); "
        f"when read tip trim {then.tip_trim_in:.3f} in, cut length {then.cut_length_in:.3f} in"
    )
    # Also where it no longer counted before, and not where the cuts are those of now.
    once = with_measurements(measuring, {0: measured_club(total_mass=321.0)}, AT, reason="measured")
    once = once.model_copy(update={"revisions": (*once.revisions, plan.model_copy(update={"number": 4}))})
    assert [line.split(" in, ")[0].split("; when ")[1:] for line in readings_lines(once, once.latest)[2:4]] == [
        [f"read tip trim {then.tip_trim_in:.3f}"]
    ] * 2
    other = changed_club(record.latest, 0, grip="another").model_copy(update={"number": 3})
    other = measuring.model_copy(update={"revisions": (*measuring.revisions, other)})
    assert readings_lines(other, other.latest)[2].endswith("does not count, planned otherwise in revision 3 (grip)")
    gone = old.latest.model_copy(update={"clubs": old.latest.clubs[1:], "number": 4})
    gone = gone.model_copy(update={"order": gone.order.model_copy(update={"club": gone.order.club[1:]})})
    lines = readings_lines(old.model_copy(update={"revisions": (*measuring.revisions, gone)}), gone)
    assert lines[1] == "driver: no longer in the set"
    assert "not in the set since revision 4" in lines[2]
