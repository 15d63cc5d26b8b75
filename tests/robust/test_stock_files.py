"""Spoiled files of the rack: refused in sentences, or read as they stand; no piece and no shaft gets lost."""

import csv
import io
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.papers.rack.assigning import assign_shafts, assigned_csv, assigned_lines
from trimkit.papers.rack.files import BARE_SHAFTS, OFFERS, SHELF, merged, read_rack, shelf_csv
from trimkit.papers.rack.stock import plan_stock, stock_files, stock_lines
from trimkit.parts.catalogue import load_catalogue
from trimkit.parts.errors import BenchError

SIZE = settings.get_profile("nightly" if settings.default is settings.get_profile("nightly") else "small")
PARTS = load_catalogue()
CLASS, TAPER = shipped_order(), shipped_order("taper_soft_step")
BUILT = build_set(CLASS)
STEEL, FAMILY = "steel parallel 110 g combination", "steel taper 104 g regular"

RAW = {
    SHELF: f"""shaft,length_in,tip_cut_in,bought_length_in,count,mark
{STEEL},42,,,6,
{STEEL},36.5,3.5,,1,B3
{FAMILY},37,,39.25,1,T1
{FAMILY},38.75,,38.75,12,
""",
    OFFERS: f"shaft,raw_length_in,pack,most_packs\n{STEEL},42,6,\n{FAMILY},38.75,1,4\n",
    BARE_SHAFTS: "mark,shaft,raw_length_in,raw_mass_g,raw_frequency_cpm,test_mass_g,test_offset_in,clamp_in\n"
    + "".join(f"no. {n},,,{109 + n / 10},{278 + n},205,0,5\n" for n in range(12)),
}
CELL = st.one_of(
    st.sampled_from(["", " ", "nan", "-inf", "1e999", "-1", "-0.0", "37,5", "0x10", "1_0", "٣", "37 1/2", "1/0"]),
    st.sampled_from(
        ["9" * 400, "95.25 cm", "4 oz", "=1+1", "\0", "\x1b[2J", "\u202e", STEEL, FAMILY, "0", "3.0", "1e2"]
    ),
    st.floats().map(str),
    st.floats(0, 50).map(lambda value: f"{value:.3f}"),
    st.integers(-3, 1200).map(str),
    st.text(max_size=12),
)


def near(value):
    """What a hand could have written in the place of a number: near it, in another unit, or a whole number."""
    parts = st.floats(0.9, 1.02).map(lambda part: value * part)
    return st.one_of(
        parts.map(lambda number: f"{number:.3f}"),
        parts.map(lambda inches: f"{inches * 25.4:.1f} mm"),
        parts.map(lambda number: f"{int(number)} {int(number % 1 * 16)}/16"),
        st.integers(0, 20).map(str),
    )


@st.composite
def spoiled(draw, table):
    """The text of a file with one or two of its cells, rows or signs changed."""
    rows = list(csv.reader(io.StringIO(RAW[table])))
    for _ in range(draw(st.integers(1, 2))):
        row = draw(st.integers(0, len(rows) - 1))
        how = draw(st.sampled_from(["near", "near", "near", "near", "cell", "cell", "out", "twice", "short"]))
        numbers = [n for n, cell in enumerate(rows[row]) if cell.replace(".", "", 1).isdigit()]
        if how == "near" and numbers:
            column = draw(st.sampled_from(numbers))
            rows[row][column] = draw(near(float(rows[row][column])))
        elif how == "cell" and rows[row]:
            rows[row][draw(st.integers(0, len(rows[row]) - 1))] = draw(CELL)
        elif how == "twice":
            rows.insert(row, list(rows[row]))
        elif how == "short" and rows[row]:
            rows[row].pop()
        elif how == "out" and len(rows) > 1:
            del rows[row]
    text = io.StringIO(newline="")
    csv.writer(text).writerows(rows)
    return draw(st.sampled_from(["", "\ufeff"])) + text.getvalue()


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("rack")


def read(folder, table, text):
    """What a file is read as, with its own cells beside it; None if it is refused, in words."""
    path = folder / "mine.csv"
    path.write_bytes(text.encode("utf-8", "surrogatepass"))
    try:
        found = read_rack(path, table, PARTS)
    except BenchError as refusal:
        said = str(refusal)
        assert "Allowed: " in said
        assert "mine.csv" in said
        return None
    # Every row that has a cell became one of what was read.
    rows = [row for row in csv.reader(io.StringIO(text.removeprefix("\ufeff"))) if any(cell.strip() for cell in row)]
    assert len(rows) - 1 == len(found.pieces) + len(found.offers) + len(found.shafts)
    return found


@SIZE
@given(data=st.data())
def test_a_spoiled_shelf_is_refused_or_no_piece_of_it_gets_lost(folder, count, data):
    taken = count("shelves")
    found = read(folder, SHELF, data.draw(spoiled(SHELF)))
    if found is None:
        return
    for piece in found.pieces:
        assert all(map(math.isfinite, (piece.length_in, piece.tip_section_in, piece.tip_cut_in)))
        assert 0 <= piece.tip_section_in <= piece.length_in
    (folder / "again.csv").write_text(shelf_csv(merged(found.pieces, PARTS)), encoding="utf-8", newline="")
    assert read_rack(folder / "again.csv", SHELF, PARTS).pieces == merged(found.pieces, PARTS)
    try:
        stock = plan_stock([("class", CLASS), ("taper", TAPER)], found.pieces, ())
    except BenchError as refusal:
        str(refusal)
        return
    taken()
    plan = stock.plan
    assert sum(p.count for p in found.pieces) == len(plan.cuts) + sum(p.count for p in stock.afterwards)
    assert len(plan.cuts) + len(plan.short) == len(CLASS.clubs) + len(TAPER.clubs)
    for cut in plan.cuts:
        assert min(cut.tip_trim_in, cut.butt_trim_in) >= 0
        total = cut.tip_trim_in + cut.need.cut_length_in + cut.butt_trim_in
        assert total == pytest.approx(cut.piece.length_in, abs=2e-6)
        if cut.need.taper:
            assert cut.tip_trim_in == 0
    assert "nan" not in "\n".join(stock_lines(stock)).casefold().split()
    assert set(stock_files(stock)) == {"take.csv", "buy.csv", "short.csv", "shelf_afterwards.csv"}


@SIZE
@given(data=st.data())
def test_a_spoiled_file_of_offers_is_refused_or_no_more_is_bought_than_it_allows(folder, count, data):
    taken = count("offers")
    found = read(folder, OFFERS, data.draw(spoiled(OFFERS)))
    if found is None:
        return
    taken()
    plan = plan_stock([("class", CLASS), ("taper", TAPER)], (), found.offers).plan
    for offer, packs in plan.to_buy:
        assert 1 <= packs <= (1000 if offer.most_packs is None else offer.most_packs)
    assert plan.bought == len(plan.cuts) + sum(piece.count for piece in plan.spare)


@SIZE
@given(data=st.data())
def test_spoiled_measured_shafts_are_refused_or_each_goes_to_one_place(folder, count, data):
    taken = count("measured shafts")
    found = read(folder, BARE_SHAFTS, data.draw(spoiled(BARE_SHAFTS)))
    if found is None:
        return
    try:
        assigned = assign_shafts(BUILT, found.shafts)
    except BenchError as refusal:
        str(refusal)
        return
    taken()
    (kind,) = assigned.kinds
    marks = [kind.best.matrix.shafts[j].mark for j in (*kind.best.chosen, *kind.left)]
    assert sorted([*marks, *assigned.others]) == sorted(each.measured.mark for each in found.shafts)
    assert all(map(math.isfinite, kind.best.frequency_cpm))
    assert kind.best.rms_cpm <= kind.lying.rms_cpm + 1e-9
    assert len(list(csv.reader(io.StringIO(assigned_csv(assigned))))) == 1 + len(marks)
    assert "nan" not in "\n".join(assigned_lines(assigned)).casefold().split()
