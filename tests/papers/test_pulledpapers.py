"""A pulled shaft on paper: the tables, the client's words, the sheet and the record say that it is one."""

import csv
import io
from datetime import UTC, datetime
from decimal import Decimal

import numpy as np
import pytest

from trimkit.club.order.file import order_tables
from trimkit.club.order.order import order_from_tables, shipped_order
from trimkit.club.set import build_set
from trimkit.papers import tables
from trimkit.papers.clientwords import reasons_together
from trimkit.papers.record.build import first_record, reopened
from trimkit.papers.record.file import read_record, record_text
from trimkit.papers.record.words import record_lines
from trimkit.papers.sheet import sheet_html
from trimkit.papers.tablefiles import set_files
from trimkit.trim.steps import StepKind

ORDER, TAPERS = shipped_order("evening_class"), shipped_order("taper_soft_step")


def mixed_order():
    """Two irons on one shaft, the second pulled with 3 in off its tip and 5 in gone in all; a pulled taper tip."""
    given, taper = order_tables(ORDER), order_tables(TAPERS)
    irons = [club for club in given["club"] if club["head"].endswith(("6-iron", "8-iron"))]
    irons[1] |= {"pulled": True, "tip_cut_in": 3.0, "raw_length_in": ORDER.shaft.raw_length_in - 5.0}
    rows = (row for row in ORDER.catalogue.raw_lengths if row.family == TAPERS.shaft.name)
    bought = next(row.raw_length_in for row in rows if row.club == "8-iron")
    nine = next(club for club in taper["club"] if club["head"].endswith("9-iron"))
    nine |= {"shaft": TAPERS.shaft.name, "flex": "R", "soft_steps": 1, "pulled": True}
    nine |= {"bought_length_in": bought, "raw_length_in": bought - 1.25}
    return order_from_tables(given | {"club": [*irons, nine]}, ORDER.catalogue)


BUILT = build_set(mixed_order())
RECORD = first_record(BUILT, datetime(2026, 1, 1, tzinfo=UTC))
LONG_IN = ORDER.shaft.raw_length_in - 5.0


def test_the_cut_list_of_a_set_with_a_pulled_shaft_adds_up():
    cuts = tables.cut_list(BUILT)
    assert list(cuts.pulled_in) == [0.0, -3.0, 0.0]
    parts = cuts.schedule_trim_in + cuts.between_flexes_in + cuts.bbgl_correction_in + cuts.pulled_in
    assert np.allclose(parts, cuts.tip_trim_in, rtol=0, atol=1e-12)
    whole = cuts.tip_trim_in + cuts.cut_length_in + cuts.butt_trim_in
    assert np.allclose(whole, cuts.raw_length_in, rtol=0, atol=1e-12)
    assert "pulled_in" not in tables.cut_list(build_set(ORDER)).columns


def test_the_cut_list_s_file_adds_up_as_printed_and_keeps_the_bore_s_part():
    """What is off a pulled tip already is no part of the bore's correction."""
    rows = list(csv.DictReader(io.StringIO(set_files(BUILT)["cut_list.csv"], newline="")))
    assert [float(row["pulled_in"]) for row in rows] == [0.0, -3.0, 0.0]
    for row, club in zip(rows, BUILT.clubs, strict=True):
        cells = {name: Decimal(cell) for name, cell in row.items() if name.endswith("_in")}
        parts = ("schedule_trim_in", "between_flexes_in", "bbgl_correction_in", "pulled_in")
        assert sum(cells[name] for name in parts) == cells["tip_trim_in"]
        assert float(cells["bbgl_correction_in"]) == pytest.approx(club.plan.bbgl_correction_in, abs=0.002)
        whole = cells["raw_length_in"] + cells["extension_in"]
        assert whole == cells["tip_trim_in"] + cells["cut_length_in"] + cells["butt_trim_in"]


def test_a_pulled_shaft_is_not_counted_among_the_new_ones():
    stock = tables.stock_table(BUILT).reset_index()
    rows = {(row.shaft, row.clubs): (row.raw_length_in, row.needed_count) for row in stock.itertuples()}
    name = ORDER.shaft.name
    assert rows[name, "6-iron"] == (ORDER.shaft.raw_length_in, 1)
    assert rows[f"{name}, pulled", "8-iron"] == (LONG_IN, 1)
    assert (f"{TAPERS.shaft.name}, pulled", "9-iron") in rows


def test_the_sheet_says_of_every_pulled_shaft_what_it_is_and_of_a_new_one_nothing():
    html = sheet_html(BUILT, "<svg></svg>")
    for club, words in (
        ("8-iron", f"it is {LONG_IN:g} in long now, and 3 in is off its tip already"),
        ("9-iron", "and it was bought at "),
    ):
        assert words in html
        assert f"{club}: pulled shaft " in html
    assert "6-iron: pulled shaft " not in html
    assert StepKind.PULLED.value in html


@pytest.mark.parametrize(("club", "was"), [(0, False), (1, True), (2, True)])
def test_the_client_reads_that_the_shaft_was_in_another_club(club, was):
    said = reasons_together([BUILT.clubs[club].plan])
    assert ("Its shaft was in another club before." in said) == was
    assert ("3 in is off its thin end already" in str(said)) == (club == 1)


def test_the_record_says_so_in_words_and_comes_back_as_it_was():
    lines = record_lines(RECORD, RECORD.latest)
    assert any(f"(pulled: {LONG_IN:g} in long, 3 in off its tip)" in line and "8-iron" in line for line in lines)
    assert any("in long, bought at" in line and "9-iron" in line for line in lines)
    again = read_record(record_text(RECORD))
    assert again == RECORD
    order = reopened(again.latest)
    assert [club.in_hand for club in order.clubs] == [club.in_hand for club in BUILT.order.clubs]
    rebuilt = build_set(order)
    for one, other in zip(rebuilt.clubs, BUILT.clubs, strict=True):
        assert one.frequency_cpm == pytest.approx(other.frequency_cpm, abs=1e-9)
        assert one.plan.tip_trim_in == other.plan.tip_trim_in


def test_the_catalogues_shaft_in_a_record_is_the_one_as_bought():
    shafts = {shaft.name: shaft for shaft in RECORD.latest.parts.shafts}
    assert shafts[ORDER.shaft.name] == ORDER.shaft
    assert shafts[TAPERS.shaft.name] == TAPERS.shaft


def test_a_club_with_a_raw_length_of_its_own_has_its_box_for_each_cut_and_none_where_nothing_is_cut():
    tables = order_tables(ORDER)
    eight = next(plan for plan in (club.plan for club in build_set(ORDER).clubs) if plan.club == "8-iron")
    seven = tables["club"][5] | {"raw_length_in": ORDER.shaft.raw_length_in - 1.0}
    pulled = {"pulled": True, "tip_cut_in": eight.tip_trim_in, "raw_length_in": eight.cut_length_in + 1.0}
    built = build_set(order_from_tables(tables | {"club": [seven, tables["club"][6] | pulled]}, ORDER.catalogue))
    card = sheet_html(built, "").split('<table class="card">')[1].split("</table>")[0]
    rows = [row for row in card.split("<tr>") if ">raw " in row]
    assert [row.count('class="box"') for row in rows] == [3, 2]
    assert ['<td class="saw">none</td>' in row for row in rows] == [False, True]
