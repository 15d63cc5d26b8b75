"""Sets on several shafts, grips and flexes, from the order's file to sheet, tables and record."""

import csv
import io
import json
from datetime import UTC, datetime

import pytest

from trimkit.check.clubcheck import Verdict
from trimkit.check.doublecheck import double_check
from trimkit.check.ownline import FEWEST_FOR_A_LINE
from trimkit.club.order.order import load_order
from trimkit.club.set import build_set
from trimkit.papers.appendix import assumptions
from trimkit.papers.cautions import CAUTIONS, Work
from trimkit.papers.record.build import first_record, reopened, revised
from trimkit.papers.record.compare import compare
from trimkit.papers.record.file import read_record, record_text
from trimkit.papers.record.words import record_lines
from trimkit.papers.sheet import frequency_sentence
from trimkit.papers.tablefiles import set_files
from trimkit.parts.components import Material, TipKind
from trimkit.study import order_form
from trimkit.study.figures.set import set_frequency_svg, write_sheet

AT = datetime(2026, 5, 1, tzinfo=UTC)
HYBRIDS, TAPERS = "graphite hybrids", "taper and parallel"


@pytest.fixture(scope="module")
def builds(mixed_orders, mixed_parts, tmp_path_factory):
    folder = tmp_path_factory.mktemp("orders")
    made = {}
    for name, text in mixed_orders.items():
        (folder / f"{name}.toml").write_text(text, encoding="utf-8")
        made[name] = build_set(load_order(folder / f"{name}.toml", mixed_parts))
    return made


@pytest.fixture(scope="module")
def pages(builds, tmp_path_factory):
    folder = tmp_path_factory.mktemp("sheets")
    return {name: write_sheet(built, folder / f"{name}.html").read_text("utf-8") for name, built in builds.items()}


def rows(text):
    return list(csv.DictReader(io.StringIO(text, newline=""), strict=True))


def test_every_club_is_planned_from_its_own_shaft_and_grip(builds):
    built = builds[HYBRIDS]
    parts = [(club.plan.wanted.shaft.material, club.plan.wanted.grip.name, str(club.plan.flex)) for club in built.clubs]
    grip = built.order.grip.name
    graphite = (Material.GRAPHITE, "light round rubber", "R")
    assert parts == [graphite] * 2 + [(Material.STEEL, grip, "R")] * 6 + [(Material.STEEL, grip, "A")] * 2
    assert [club.assembly.tip_weight_g for club in built.clubs] == [2.0] * 2 + [0.0] * 8
    kinds = [club.plan.wanted.shaft.tip_kind for club in builds[TAPERS].clubs]
    assert kinds == [TipKind.TAPER] * 6 + [TipKind.PARALLEL] * 2
    steps = [club.plan.wanted.soft_steps for club in builds[TAPERS].clubs]
    assert steps == [0] + [3] * 5 + [0] * 2
    for club in builds[TAPERS].clubs[6:]:
        assert club.plan.tip_trim_in > 0


def test_each_shaft_and_flex_is_judged_by_itself_and_no_club_is_stopped(builds):
    check = double_check(builds[HYBRIDS])
    assert [(group.flex, len(group.clubs)) for group in check.groups] == [("R", 2), ("R", 6), ("A", 2)]
    assert [group.line is None for group in check.groups] == [True, False, True]
    assert [len(group.clubs) >= FEWEST_FOR_A_LINE for group in check.groups] == [False, True, False]
    assert [club.verdict for club in check.clubs] == [Verdict.CUT] * 10
    assert check.whole_set == ""
    assert check.line is None
    said = check.judged
    assert len(said) == 3
    assert said[0].startswith("3-hybrid, 4-hybrid (graphite hybrid, flex R): fewer than 4 clubs have no line")
    assert said[1].startswith("4-iron, 5-iron, 6-iron, 7-iron, 8-iron, 9-iron (steel")
    assert said[1].endswith("judged on a line of their own.")
    assert not double_check(builds[TAPERS]).stopped


def test_the_sheet_names_every_shaft_and_warns_of_every_material(builds, pages):
    for name, page in pages.items():
        order = builds[name].order
        for part in (*order.shafts, *order.grips):
            assert page.count(part.name) >= 2
        for said in double_check(builds[name]).judged:
            assert said.replace("'", "&#39;") in page
    both = pages[HYBRIDS]
    assert CAUTIONS[Work.GRAPHITE_DUST].split(":")[0] in both
    assert CAUTIONS[Work.STEEL_DUST].split(":")[0] in both
    assert CAUTIONS[Work.GRAPHITE_DUST].split(":")[0] not in pages[TAPERS]
    said = assumptions(builds[HYBRIDS])
    assert [line.split(":")[0] for line in said].count("Steel") == 1
    assert [line.split(":")[0] for line in said].count("Graphite") == 1
    assert any("tip weight 2 g (3-hybrid, 4-hybrid), 0 g (4-iron" in line for line in said)
    wished = [line for line in said if line.startswith("Wanted swingweight: ")]
    assert [line.split(",")[0] for line in wished] == ["Wanted swingweight: D1", "Wanted swingweight: D3"]
    for club in builds[HYBRIDS].clubs:
        line = wished[club.need.wanted == "D3"]
        beyond = f"{club.plan.club} {club.swingweight} ({club.need.said})" in line
        assert f"{club.plan.club} {club.swingweight}" in line
        assert beyond is club.need.beyond_tolerance


def test_the_frequency_of_a_mixed_set_may_fall(builds):
    first, last = builds[HYBRIDS].clubs[0].frequency_cpm, builds[HYBRIDS].clubs[-1].frequency_cpm
    assert first > last
    assert frequency_sentence(builds[HYBRIDS]).startswith(f"The frequency falls from {first:.1f} cpm (3-hybrid")
    assert frequency_sentence(builds[TAPERS]).startswith("The frequency rises from")


def test_every_table_of_a_mixed_set_is_written(builds):
    files = {name: set_files(built) for name, built in builds.items()}
    cautions = {row["work"] for row in rows(files[HYBRIDS]["cautions.csv"])}
    assert {Work.GRAPHITE_DUST.value, Work.STEEL_DUST.value} < cautions
    line = rows(files[HYBRIDS]["set_line.csv"])
    assert [row["club"] for row in line] == [f"{number}-iron" for number in range(4, 10)]
    assert {row["line"] for row in line} == {f"{builds[HYBRIDS].order.shaft.name}, flex R"}
    slopes = rows(files[HYBRIDS]["slopes.csv"])
    assert slopes[0]["slope"] == f"this set's own, {builds[HYBRIDS].order.shaft.name}, flex R"
    stock = {row["shaft"]: row["clubs"] for row in rows(files[HYBRIDS]["stock.csv"])}
    assert stock["graphite hybrid"] == "3-hybrid, 4-hybrid"
    wishes = rows(files[HYBRIDS]["swingweights.csv"])
    assert [row["wanted"] for row in wishes] == ["D1"] * 8 + ["D3"] * 2


def test_a_record_keeps_every_shaft_and_grip_and_is_planned_again_just_so(builds):
    for built in builds.values():
        record = read_record(record_text(first_record(built, AT)))
        parts = record.latest.parts
        assert {shaft.name for shaft in parts.shafts} == {built.order.shaft.name, *(s.name for s in built.order.shafts)}
        assert {grip.name for grip in parts.grips} == {built.order.grip.name, *(g.name for g in built.order.grips)}
        assert [club.shaft for club in record.latest.clubs] == [c.plan.wanted.shaft.name for c in built.clubs]
        assert [club.grip for club in record.latest.clubs] == [c.plan.wanted.grip.name for c in built.clubs]
        again = build_set(reopened(record.latest))
        assert [club.plan for club in again.clubs] == [club.plan for club in built.clubs]
        assert [club.frequency_cpm for club in again.clubs] == [club.frequency_cpm for club in built.clubs]


def test_a_record_that_names_no_shaft_is_refused(builds):
    document = json.loads(record_text(first_record(builds[HYBRIDS], AT)))
    document["revisions"][0]["parts"]["shafts"] = []
    with pytest.raises(Exception, match="parts > shafts"):
        read_record(json.dumps(document))


def test_a_club_that_changes_its_shaft_is_told_in_the_comparison_and_in_the_lines(
    builds, mixed_orders, mixed_parts, tmp_path
):
    path = tmp_path / "other.toml"
    path.write_text(mixed_orders[HYBRIDS].replace('shaft = "graphite hybrid"\n', "", 1), encoding="utf-8")
    before = first_record(builds[HYBRIDS], AT)
    after = revised(before, build_set(load_order(path, mixed_parts)), AT, reason="steel hybrid")
    changes = {(each.club, each.what): (each.before, each.after) for each in compare(*after.revisions)}
    assert changes["3-hybrid", "shaft"] == ("graphite hybrid", builds[HYBRIDS].order.shaft.name)
    assert ("4-hybrid", "shaft") not in changes
    lines = record_lines(before, before.latest)
    assert "shaft graphite hybrid, flex ordered R, grip light round rubber: 3-hybrid, 4-hybrid" in lines
    assert sum(line.startswith("shaft ") for line in lines) == 3


def test_the_form_shows_a_mixed_order_and_gives_it_back(builds, tmp_path):
    for built in builds.values():
        form = order_form(built.order, tmp_path)
        assert form.order() == built.order
        assert form.check() == built.order
    form.fields["[[club]] 1: soft_steps"].value = ""
    assert form.order().clubs[0].soft_steps is None


def test_the_figure_of_a_mixed_set_is_drawn(builds):
    assert "<svg" in set_frequency_svg(builds[HYBRIDS])
