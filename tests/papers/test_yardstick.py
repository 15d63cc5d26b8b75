"""One yardstick: where a club lies is told on its own shaft's flexes, in one way on every paper.

The example is a fairway wood whose bore goes through, on a shaft of two flexes, both in a shop's own folder. Its softer
flex would need less than no tip trim, which three papers used to tell in three ways.
"""

import csv
import html
import re
from datetime import UTC, datetime

import pytest

from trimkit.club.card import card_of
from trimkit.club.clamp import frequency_cpm
from trimkit.club.order.decisions import decisions_of
from trimkit.club.order.order import open_order
from trimkit.club.set import build_set
from trimkit.papers.measured import measured_club
from trimkit.papers.record.build import first_record, with_measurements
from trimkit.papers.record.words import measured_lines, record_lines
from trimkit.papers.sheet import sheet_html
from trimkit.papers.tables import prediction_table
from trimkit.parts.catalogue import data_folder
from trimkit.parts.errors import BenchError
from trimkit.study.figures.set import set_frequency_svg

SHAFT = "graphite wood two flexes"


def shipped(name):
    with (data_folder() / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def put(path, rows):
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, rows[0])
        writer.writeheader()
        writer.writerows(rows)


@pytest.fixture
def build(tmp_path):
    """Build the pair of woods with the 3-wood's BBGL (in) and what is decided about its bore."""

    def make(bbgl_in, bore):
        (like,) = [row for row in shipped("shafts.csv") if row["raw_length_in"] == "46"]
        stations = [row for row in shipped("shaft_stations.csv") if row["shaft"] == like["shaft"]]
        put(tmp_path / "shafts.csv", [like | {"shaft": SHAFT, "flex_kind": "combination", "flexes": "R/S"}])
        put(tmp_path / "shaft_stations.csv", [row | {"shaft": SHAFT} for row in stations])
        trims = {("R", "driver"): 0, ("R", "3-wood"): 0.125, ("S", "driver"): 1, ("S", "3-wood"): 1.25}
        schedule = [
            {"shaft": SHAFT, "flex": flex, "club": club, "tip_trim_in": trim, "bbgl_reference_in": 0.25}
            for (flex, club), trim in trims.items()
        ]
        put(tmp_path / "schedules.csv", schedule)
        wood = next(row for row in shipped("heads.csv") if row["club"] == "3-wood")
        put(tmp_path / "heads.csv", [wood | {"head": "through-bored 3-wood", "bbgl_in": bbgl_in}])
        order = f"""title = "pair"\nclient = "client 12"\nshaft = "{SHAFT}"\ngrip = "{shipped("grips.csv")[0]["grip"]}"
        ladder = "demo woods"\nflex = "R"\n[[club]]\nhead = "demo driver"\n[[club]]\nhead = "through-bored 3-wood"
        bore = "{bore}"\nwhy = "as the client likes it"\n"""
        (tmp_path / "order.toml").write_text(order, encoding="utf-8")
        return build_set(open_order(tmp_path / "order.toml", own_parts=tmp_path))

    return make


def told(page):
    """Every way in which a page says where a club lies: a place between flexes, or cpm off one."""
    text = html.unescape(re.sub(r"<[^>]*>", " ", page.partition("<body>")[2]))
    text = text.replace("R/S 0.20 is 0.20 of the way from R to S", "")
    return set(re.findall(r"[A-Z]/[A-Z] \d\.\d+|like [A-Z]\b|[\d.]+ cpm (?:softer|stiffer|below|above)[^.<]*", text))


@pytest.mark.parametrize("bbgl_in", [0.0, -0.25])
@pytest.mark.parametrize("bore", ["leave", "as far as it goes"])
def test_no_paper_tells_it_in_two_ways(build, bbgl_in, bore):
    built = build(bbgl_in, bore)
    wood = built.clubs[1]
    assert re.fullmatch(r"R/S 0\.\d\d", wood.flex_text)
    assert wood.plan.bbgl_uncorrected_in < 0
    assert told(sheet_html(built, set_frequency_svg(built))) == {wood.flex_text}
    assert list(prediction_table(built)["flex"]) == ["R", wood.flex_text]
    record = first_record(built, datetime(2026, 1, 2, tzinfo=UTC))
    lines = record_lines(record, record.latest)
    assert [line for line in lines if wood.flex_text in line and line.split()[:2] == ["2", "3-wood"]]
    (decision,) = [each.what for each in decisions_of(wood)]
    assert "R/S" not in decision.replace(wood.flex_text, "")
    done = with_measurements(
        record, {1: measured_club(frequency_cpm=240)}, datetime(2026, 1, 3, tzinfo=UTC), reason="measured"
    )
    assert not [line for line in measured_lines(done.latest) if "R/S" in line or "softer" in line]


def test_the_flex_that_this_bore_cannot_be_cut_to_is_the_schedule_s_own_club(build):
    """R at the 3-wood: a head at the reference of 1/4 in, cut 1/8 in by the schedule, at the same playing length."""
    through = build(-0.25, "leave").clubs[1]
    at_reference = build(0.25, "correct").clubs[1]
    assert at_reference.plan.tip_trim_in == 0.125
    softer, stiffer = through.flex_scale.frequency_cpm
    assert softer == pytest.approx(frequency_cpm(card_of(at_reference.plan, at_reference.assembly)), abs=1e-9)
    place = (through.frequency_cpm - softer) / (stiffer - softer)
    assert through.flex_text == f"R/S {place:.2f}"
    assert at_reference.flex_text == "R"


def test_a_bore_that_cannot_be_followed_is_refused_with_the_flex_that_would_result(build):
    with pytest.raises(BenchError, match=r"plays stiffer than wanted: R/S 0\.111\)"):
        build(0.0, "correct")
