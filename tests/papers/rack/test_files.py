"""The files of the rack: what each row becomes, by hand from the catalogue, and every refusal at its row and column."""

import openpyxl
import pytest

from trimkit.papers.rack.files import (
    BARE_SHAFTS,
    MOST_ROWS,
    OFFERS,
    SHELF,
    every_offer,
    merged,
    raw_lengths_in,
    read_rack,
    shelf_csv,
)
from trimkit.parts.catalogue import load_catalogue
from trimkit.parts.errors import DataFileError
from trimkit.shop.shelf import Piece

PARTS = load_catalogue()
STEEL, TAPER, WOOD = "steel parallel 110 g combination", "steel taper 104 g regular", "graphite wood 60 g regular"
HEADS = {
    SHELF: "shaft,length_in,tip_cut_in,bought_length_in,count,mark",
    OFFERS: "shaft,raw_length_in,pack,most_packs",
    BARE_SHAFTS: "mark,shaft,raw_length_in,raw_mass_g,raw_frequency_cpm,test_mass_g,test_offset_in,clamp_in",
}


@pytest.fixture
def read(tmp_path):
    def of(table, *rows, name="mine.csv"):
        path = tmp_path / name
        path.write_text("\n".join([HEADS[table], *rows]) + "\n", encoding="utf-8")
        return read_rack(path, table, PARTS)

    return of


def test_the_tip_section_of_a_piece_follows_from_what_is_off_its_tip(read):
    # 9 in from tip to first step as bought, shafts.csv says; 2.25 in off leave 6.75.
    whole, cut = read(SHELF, f"{STEEL},42,,,6,", f"{STEEL},36 1/2,2.25,,1,B3").pieces
    assert (whole.length_in, whole.tip_section_in, whole.count, whole.master) == (42.0, 9.0, 6, True)
    assert (cut.length_in, cut.tip_section_in, cut.count, cut.master, cut.mark) == (36.5, 6.75, 1, False, "B3")


def test_the_tip_section_of_a_taper_tip_follows_from_the_length_it_was_bought_at(read):
    # 8.5 in at the longest raw length, 40.25 in; a raw length of 38.75 in has 1.5 in less of it.
    whole, cut = read(SHELF, f"{TAPER},38.75,,38.75,4,", f"{TAPER},36,0,38.75,1,").pieces
    assert (whole.tip_section_in, whole.master) == (7.0, True)
    assert (cut.tip_section_in, cut.master) == (7.0, False)


def test_a_whole_tip_on_a_shortened_shaft_is_no_master(read):
    (piece,) = read(SHELF, f"{STEEL},40,0,,1,").pieces
    assert (piece.tip_section_in, piece.master) == (9.0, False)


@pytest.mark.parametrize(
    ("row", "column", "said"),
    [
        ("oak,42,,,1,", "shaft", "there is no shaft 'oak'"),
        (f"{STEEL},38,,,1,", "tip_cut_in", "38 in long and was bought at 42 in"),
        (f"{STEEL},38,9,,1,", None, "no parallel tip is left"),
        (f"{STEEL},38,-1,,1,", "tip_cut_in", "0 to 20 in"),
        (f"{STEEL},41,2,,1,", None, "together 43 in"),
        (f"{STEEL},38,2,42,1,", "bought_length_in", "a parallel tip"),
        (f"{TAPER},38,1,38.75,1,", "tip_cut_in", "a taper tip: cut, it fits no bore"),
        (f"{TAPER},38,,,1,", "bought_length_in", "which raw length"),
        (f"{TAPER},38,,38.5,1,", "bought_length_in", "38.5 in is no raw length"),
        (f"{TAPER},39,,38.75,1,", None, "39 in long now; it was bought at 38.75 in"),
        (f"{WOOD},43,1.75,,1,", None, "its maker allows 1.5 in"),
        (f"{STEEL},42,,,,", "count", "the cell is empty"),
        (f"{STEEL},42,,,1.5,", "count", "not a whole number"),
        (f"{STEEL},42,,,1_0,", "count", "not a whole number"),
        (f"{STEEL},42,,,-1,", "count", "not a whole number"),
        (f"{STEEL},42,,,1001,", "count", "0 to 1000"),
        (f"{STEEL},nan,,,1,", "length_in", "nan"),
        (f"{STEEL},420,,,1,", "length_in", "1 to 50 in"),
        (f"{STEEL},42,,,1,{'m' * 41}", "mark", "at most 40"),
    ],
)
def test_a_row_of_the_shelf_that_cannot_be_is_refused_at_its_place(read, row, column, said):
    with pytest.raises(DataFileError) as refused:
        read(SHELF, f"{STEEL},42,,,1,", row)
    (fault,) = refused.value.faults
    assert (fault.place.file, fault.place.row, fault.place.column) == ("mine.csv", 3, column)
    assert said in str(fault)


def test_all_faults_of_a_shelf_come_together(read):
    with pytest.raises(DataFileError) as refused:
        read(SHELF, "oak,42,,,1,", f"{STEEL},38,,,1,", f"{TAPER},38,,,1,")
    assert [fault.place.row for fault in refused.value.faults] == [2, 3, 4]


def test_a_shelf_may_be_empty_and_measured_shafts_may_not(read):
    assert read(SHELF).pieces == ()
    assert read(OFFERS).offers == ()
    with pytest.raises(DataFileError, match="no rows"):
        read(BARE_SHAFTS)


def test_a_shelf_has_its_most_rows(read):
    rows = [f"{STEEL},42,,,1,"] * MOST_ROWS
    assert len(read(SHELF, *rows).pieces) == MOST_ROWS
    with pytest.raises(DataFileError, match=f"{MOST_ROWS + 1} rows"):
        read(SHELF, *rows, rows[0])


def test_the_shelf_is_written_as_it_is_read(read, tmp_path):
    rows = [f"{STEEL},95.3 cm,1 1/16,,2,drawer 2", f"{TAPER},36,,38.75,3,=T1", f"{STEEL},42,,,4,"]
    pieces = read(SHELF, *rows).pieces
    (tmp_path / "next.csv").write_text(shelf_csv(pieces), encoding="utf-8", newline="")
    again = read_rack(tmp_path / "next.csv", SHELF, PARTS)
    assert again.pieces == pieces
    assert again.how_read == ""


def test_what_was_just_bought_is_written_as_whole(tmp_path):
    bought = [Piece(STEEL, 42.0, 9.0, 5), Piece(TAPER, 38.75, 7.0, 2)]
    (tmp_path / "next.csv").write_text(shelf_csv(merged(bought, PARTS)), encoding="utf-8", newline="")
    found = read_rack(tmp_path / "next.csv", SHELF, PARTS).pieces
    assert [(p.shaft, p.length_in, p.tip_section_in, p.count, p.master) for p in found] == [
        (STEEL, 42.0, 9.0, 5, True),
        (TAPER, 38.75, 7.0, 2, True),
    ]


def test_pieces_that_are_alike_become_one_row_up_to_its_most(read):
    rows = [f"{STEEL},42,,,{count}," for count in (700, 200, 400)]
    assert [p.count for p in merged(read(SHELF, *rows, f"{STEEL},42,,,0,").pieces, PARTS)] == [1000, 300]
    assert merged(read(SHELF, f"{STEEL},42,,,0,").pieces, PARTS) == ()
    apart = read(SHELF, f"{STEEL},42,,,2,", f"{STEEL},42,,,2,A", f"{STEEL},41,0,,2,").pieces
    assert merged(apart, PARTS) == apart


def test_without_a_file_every_raw_length_of_the_catalogue_is_on_offer():
    family = {row.raw_length_in for row in PARTS.raw_lengths if row.family == TAPER}
    offers = every_offer([STEEL, TAPER, STEEL], PARTS)
    assert {o.raw_length_in for o in offers if o.shaft == TAPER} == family
    assert [(o.raw_length_in, o.tip_section_in) for o in offers if o.shaft == STEEL] == [(42.0, 9.0)]
    assert all((o.pack, o.most_packs) == (1, None) for o in offers)
    assert raw_lengths_in(PARTS.shafts[TAPER], PARTS) == tuple(sorted(family, reverse=True))


def test_an_offer_has_its_pack_and_its_limit(read):
    packs, last = read(OFFERS, f"{STEEL},42,6,", f"{TAPER},38.75,1,4").offers
    assert (packs.pack, packs.most_packs, packs.tip_section_in) == (6, None, 9.0)
    assert (last.pack, last.most_packs, last.tip_section_in) == (1, 4, 7.0)
    with pytest.raises(DataFileError, match="41 in is no raw length"):
        read(OFFERS, f"{STEEL},41,6,")
    with pytest.raises(DataFileError, match="1 to 1000"):
        read(OFFERS, f"{STEEL},42,0,")
    with pytest.raises(DataFileError, match="not a whole number"):
        read(OFFERS, f"{STEEL},42,1,some")


def test_a_measured_shaft_is_as_its_row_says(read):
    plain, full = read(BARE_SHAFTS, "1,,,110 g,281.5,,,", f"2,{TAPER},38.76,104.2,300,205,0.25,4 3/4").shafts
    assert (plain.shaft, plain.measured.raw_mass_g, plain.test_mass_g, plain.clamp_in) == ("", 110.0, None, None)
    assert (full.shaft, full.measured.mark, full.measured.raw_frequency_cpm) == (TAPER, "2", 300.0)
    assert full.measured.raw_length_in == 38.76
    assert (full.test_mass_g, full.test_offset_in, full.clamp_in) == (205.0, 0.25, 4.75)


def test_a_shaft_may_be_read_several_times(read):
    rows = [f"1,{STEEL},,110,{cpm},205,,{clamp}" for cpm, clamp in ((281.5, 5), (305, 8), (660, 26))]
    assert [each.clamp_in for each in read(BARE_SHAFTS, *rows).shafts] == [5, 8, 26]


@pytest.mark.parametrize(
    ("row", "column", "said"),
    [
        (f"2,{TAPER},,104,300,205,,", "raw_length_in", "which raw length"),
        ("2,oak,,104,300,205,,", "shaft", "there is no shaft 'oak'"),
        ("2,,,104,300,205,,31", "clamp_in", "1 to 30 in"),
        ("2,,,104,300 cpm,205,,", "raw_frequency_cpm", "not a number"),
        ("2,,,1040,300,205,,", "raw_mass_g", "30 to 160 g"),
    ],
)
def test_a_measured_shaft_that_cannot_be_is_refused_at_its_place(read, row, column, said):
    with pytest.raises(DataFileError) as refused:
        read(BARE_SHAFTS, "1,,,110,281.5,205,,", row)
    (fault,) = refused.value.faults
    assert (fault.place.row, fault.place.column) == (3, column)
    assert said in str(fault)


def test_a_workbook_has_a_sheet_of_the_table_s_name(tmp_path):
    book = openpyxl.Workbook()
    book.active.title = "shelf"
    book.active.append(HEADS[SHELF].split(","))
    book.active.append([STEEL, 36.5, 2.25, None, 2, 7])
    book.save(tmp_path / "rack.xlsx")
    (piece,) = read_rack(tmp_path / "rack.xlsx", SHELF, PARTS).pieces
    assert (piece.length_in, piece.tip_section_in, piece.count, piece.mark) == (36.5, 6.75, 2, "7")
    with pytest.raises(DataFileError, match="no sheet 'offers'"):
        read_rack(tmp_path / "rack.xlsx", OFFERS, PARTS)
