"""A head whose BBGL only the order knows: planned by the dry fit's difference, written and read back as it was."""

import shutil
from datetime import UTC, datetime

import pytest

from trimkit.club.order.file import order_tables
from trimkit.club.order.order import open_order, order_from_tables
from trimkit.club.set import build_set
from trimkit.papers.record.build import first_record, reopened
from trimkit.papers.templates import ORDER_FILE, write_templates
from trimkit.parts.errors import DataFileError
from trimkit.parts.sources import Standing

GIVEN = {"dry fit": "bare_shaft_in = 41.0\ndry_fitted_in = 42.125\n", "bbgl_in": "bbgl_in = 1.125\n"}


@pytest.fixture
def parts(tmp_path):
    folder = tmp_path / "parts"
    write_templates(folder)
    path = folder / "heads.csv"
    path.write_text(path.read_text(encoding="utf-8").replace("1.25,1.0,", "1.25,,"), encoding="utf-8")
    return folder


@pytest.fixture(params=GIVEN)
def order(parts, request):
    path = parts / ORDER_FILE
    path.write_text(path.read_text(encoding="utf-8") + GIVEN[request.param], encoding="utf-8")
    return open_order(path, parts)


def test_the_club_is_cut_by_the_difference_of_the_two_lengths(order):
    """By hand: BBGL 42.125 - 41 = 1.125 in; tip trim 2 + (1.125 - 1); cut length 37 - 1.125 - 0.1 (cap)."""
    (club,) = build_set(order).clubs
    assert club.plan.wanted.bbgl_in == 1.125
    assert club.plan.tip_trim_in == pytest.approx(2.125)
    assert club.plan.cut_length_in == pytest.approx(35.775)
    assert not [note for note in club.plan.notes if "head's table" in note.text]


def test_the_head_says_where_its_bbgl_comes_from(order):
    head = order.clubs[0].head
    assert (head.bbgl_in, head.source.standing) == (1.125, Standing.MEASURED)
    assert "bbgl_in from the order" in head.source.text


def test_the_order_is_written_and_read_back_and_recorded(order):
    again = order_from_tables(order_tables(order), order.catalogue, shop=order.shop)
    assert again == order
    built = build_set(order)
    (recorded,) = build_set(reopened(first_record(built, datetime(2026, 1, 2, tzinfo=UTC)).latest)).clubs
    assert recorded.plan.tip_trim_in == built.clubs[0].plan.tip_trim_in


def test_without_either_the_order_says_which_two_lengths_to_measure(parts):
    with pytest.raises(DataFileError) as refused:
        open_order(parts / ORDER_FILE, parts)
    (fault,) = refused.value.faults
    assert fault.place.key == "[[club]] 1: bbgl_in"
    assert "heads.csv, row 2" in fault.given
    assert "cap end to ground line with the head dry-fitted" in fault.next_step


def test_a_measured_head_and_the_same_head_by_dry_fit_are_cut_alike(order, parts, tmp_path):
    other = tmp_path / "measured"
    shutil.copytree(parts, other)
    path = other / "heads.csv"
    path.write_text(path.read_text(encoding="utf-8").replace("1.25,,", "1.25,1.125,"), encoding="utf-8")
    (ours,) = build_set(order).clubs
    (theirs,) = build_set(open_order(other / ORDER_FILE, other)).clubs
    assert ours.frequency_cpm == theirs.frequency_cpm
    assert ours.plan.butt_trim_in == theirs.plan.butt_trim_in
