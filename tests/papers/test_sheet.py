"""The sheet: self-contained, inert, whole or not there, and in three parts (printing: tests/browser)."""

import dataclasses
import html
import re
from datetime import UTC, date, datetime
from html.parser import HTMLParser

import pytest

from trimkit.check.doublecheck import double_check
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.mechanics.balance import swingweight_oz_in
from trimkit.papers import cautions, equipmentrules
from trimkit.papers.appendix import STANDINGS, stated_figures
from trimkit.papers.benchcard import target
from trimkit.papers.clientwords import ClientReason, client_reasons, reasons_together
from trimkit.papers.measured import measured_club
from trimkit.papers.reasons import SourceKeys, in_marks
from trimkit.papers.record.build import first_record
from trimkit.papers.record.words import record_lines
from trimkit.papers.sheet import sheet_html
from trimkit.parts.errors import BenchError
from trimkit.parts.sources import Standing
from trimkit.parts.units import millimetres, nearest_mark
from trimkit.study.figures.set import set_frequency_svg, write_sheet
from trimkit.trim.bore import BoreChoice
from trimkit.trim.length import GivenLength
from trimkit.trim.wanted import Decisions

BUILT = build_set(shipped_order())
FIGURE = set_frequency_svg(BUILT)
HTML = sheet_html(BUILT, FIGURE)


class Page(HTMLParser):
    """Collects the tags with their attributes, and the text, of a page."""

    def __init__(self, text):
        super().__init__()
        self.tags, self.words, self.open = [], [], []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        if tag not in {"meta", "br", "path", "use", "rect", "img"}:
            self.open.append(tag)

    def handle_endtag(self, tag):
        if tag in self.open:
            while self.open.pop() != tag:
                pass

    def handle_data(self, data):
        self.words.append(data)


PAGE = Page(HTML)


def test_the_page_needs_nothing_from_outside_and_runs_nothing():
    names = {tag for tag, _ in PAGE.tags}
    assert not names & {"script", "link", "img", "iframe", "object", "embed", "form", "input"}
    for _, attributes in PAGE.tags:
        assert not any(name.startswith("on") for name in attributes)
        for name in ("src", "href", "xlink:href"):
            assert attributes.get(name, "#").startswith("#")
    assert not re.search(r"url\((?!#)|@import", HTML)


def test_every_tag_is_closed():
    assert not [tag for tag in PAGE.open if tag not in {"html", "body"}]


def test_every_cut_stands_on_it_as_mark_and_exactly():
    text = " ".join(" ".join(PAGE.words).split())
    for club in BUILT.clubs:
        for length in (club.plan.tip_trim_in, club.plan.cut_length_in, club.plan.butt_trim_in):
            assert f"{nearest_mark(length).mark.removesuffix(' in')} {length:.3f} in" in text


def test_every_source_of_every_number_is_under_its_key_and_every_caution_and_note_is_on_it():
    """A row's key is beside its number; the letter's meaning, with the standing, is in the legend once."""
    appendix = words_of(part(HTML, "appendix"))
    steps = [step for club in BUILT.clubs for step in club.plan.steps]
    keys = SourceKeys(source for step in steps for source in step.sources)
    legend = keys.legend
    for source in {source for step in steps for source in step.sources}:
        letter = keys.key(source).rstrip("0123456789")
        row = keys.key(source).removeprefix(letter)
        if row:
            assert str(source).replace(f", row {row}", " by row") == legend[letter]
        else:
            assert str(source) == legend[letter]
        assert appendix.count(f"{letter} : {legend[letter]}") == 1
    cuts = part(HTML, "appendix").partition("The cuts, exactly")[2].partition("</tbody>")[0].split("</tr>")
    for club, row in zip(BUILT.clubs, cuts[1:], strict=False):
        assert f"<td>{club.plan.club}</td>" in row
        rows = {source for step in club.plan.steps for source in step.sources if ", row " in source.text}
        assert all(f">{keys.key(source)}<" in row for source in rows)


def test_every_note_and_every_caution_is_on_it():
    text = " ".join(" ".join(PAGE.words).split())
    wanted = [in_marks(note.text) for club in BUILT.clubs for note in club.plan.notes]
    wanted += cautions.cautions_for(BUILT.order.shaft.material).values()
    for sentence in (*wanted, cautions.WHO_DECIDES):
        assert " ".join(sentence.split()) in text


def test_the_cautions_come_before_the_first_cut():
    assert HTML.index("Before you cut") < HTML.index("At the saw")


def part(page, name):
    """One of the three parts of a sheet."""
    return page[page.index(f'<section class="part {name}">') :].partition("</section>")[0]


def words_of(page):
    return " ".join(" ".join(Page(page).words).split())


EXPLAINED = {"cpm": "cpm means swings a minute", "swingweight": "Swingweight : how heavy the head feels"}
JARGON = (
    "bbgl",
    "bore",
    "butt",
    "tip",
    "trim",
    "cpm",
    "frequency",
    "swingweight",
    "moi",
    "schedule",
    "hosel",
    "parallel",
)


@pytest.mark.parametrize("name", ["evening_class", "taper_soft_step", "wood_pair"])
def test_the_client_s_page_uses_no_word_of_the_trade_but_those_it_explains(name):
    """Names and titles are the order's own; flex and length are explained on the page."""
    order = shipped_order(name)
    built = build_set(order)
    text = words_of(part(sheet_html(built, FIGURE), "client"))
    for named in (order.shaft.name, order.title, order.grip.name):
        text = text.replace(named, "")
    said = [word for word in JARGON if re.search(rf"\b{word}\b", text, re.IGNORECASE)]
    assert not [word for word in said if EXPLAINED.get(word, "not explained") not in text]
    for explained in (
        "Flex means",
        "Length is",
        "The thin end goes into the head",
        "The thick end goes under the grip",
    ):
        assert explained in text


def test_the_client_s_page_tells_every_correction_of_every_club():
    for club in BUILT.clubs:
        said = client_reasons(club.plan)
        texts = " ".join(reason.text for reason in said)
        assert ("than the table expects" in texts) == bool(club.plan.bbgl_correction_in)
        assert ("the weight of its head" in texts) == (club.plan.wanted.head.kind.value == "hybrid")
        for reason in said:
            told = reasons_together([each.plan for each in BUILT.clubs])[reason.text][reason.own]
            client = html.unescape(part(HTML, "client"))
            assert client.count(reason.text) == 1
            assert club.plan.club in told or not reason.own
            assert f"<strong>{told}</strong>: {reason.own}" in client or not reason.own


@pytest.mark.parametrize("decisions", [Decisions(), Decisions(bore=BoreChoice.LEAVE)])
def test_why_the_order_decides_something_is_on_the_client_s_page_once_whatever_it_decides(decisions):
    wedge = dataclasses.replace(BUILT.order.clubs[-1], decisions=dataclasses.replace(decisions, why="half <swings>"))
    order = dataclasses.replace(BUILT.order, clubs=(*BUILT.order.clubs[:-1], wedge))
    built = build_set(order)
    assert part(sheet_html(built, ""), "client").count("half &lt;swings&gt;") == 1
    assert all("The order says why" not in reason.text for reason in client_reasons(BUILT.clubs[-1].plan))


def test_what_was_decided_on_purpose_stands_in_the_client_s_words():
    order = BUILT.order
    why = "a softer wedge was wanted"
    wedge = dataclasses.replace(order.clubs[-1], decisions=Decisions(bore=BoreChoice.LEAVE, why=why))
    left = build_set(dataclasses.replace(order, clubs=(*order.clubs[:-1], wedge))).clubs[-1].plan
    assert ClientReason(
        f"For this head more or less would come off the thin end; it was left out on purpose ({why}), which moves the "
        "flex to what the table shows.",
        "1/2 in more was left out",
    ) in client_reasons(left)


def test_each_club_has_its_tick_boxes_and_both_units_at_the_saw():
    saw = part(HTML, "bench")
    table = saw[saw.index("<tbody>") :]
    table = table[: table.index("</tbody>")]
    assert table.count('class="box"') == 3 * len(BUILT.clubs)
    text = words_of(table)
    for club in BUILT.clubs:
        for length in (club.plan.tip_trim_in, club.plan.cut_length_in, club.plan.butt_trim_in):
            assert f"{nearest_mark(length).mark.removesuffix(' in')} {length:.3f} in {millimetres(length)}" in text


def test_the_card_has_what_the_bench_needs_of_each_club_and_four_boxes_to_write_in():
    bench = part(HTML, "bench")
    rows = bench[bench.index("<tbody>") : bench.index("</tbody>")].split("</tr>")[1:]
    wanted = swingweight_oz_in(BUILT.order.wanted_swingweight)
    for club, row in zip(BUILT.clubs, rows, strict=False):
        text = words_of(row)
        plan = club.plan
        assert f"{plan.club} no. {BUILT.clubs.index(club) + 1}, {plan.wanted.head.head_mass_g:.1f} g" in text
        assert row.count("<td></td>") == 4
        over = (club.swingweight_oz_in - wanted) / 1.75
        if over > 0.05:
            assert f"none {over:.1f} over {club.frequency_cpm:.1f} cpm {club.swingweight}" in text
        else:
            assert f" cpm {BUILT.order.wanted_swingweight}.0 " in text
    assert f"Grip {BUILT.order.grip.name}" in bench


def test_no_sentence_is_on_the_client_s_page_twice():
    text = words_of(part(HTML, "client"))
    said = [each for each in re.split(r"(?<=[.;:]) ", text) if len(each.split()) > 3]
    assert len(said) > 15
    assert len(set(said)) == len(said)


def test_the_shop_and_the_day_are_on_the_client_s_page_and_the_card():
    page = sheet_html(BUILT, FIGURE, shop="Shop & Bench", made_on=date(2026, 3, 9))
    assert "Built by Shop & Bench. 9 March 2026." in words_of(part(page, "client"))
    assert "Shop & Bench. 9 March 2026." in words_of(part(page, "bench"))
    assert "Built by" not in HTML


def test_a_measured_club_has_what_it_is_beside_what_was_predicted():
    made = measured_club(playing_length="37 7/16 in", frequency_cpm=299.4, swingweight="C8.5", total_mass="401 g")
    measured = [None, made, *[None] * (len(BUILT.clubs) - 2)]
    client = part(sheet_html(BUILT, FIGURE, measured=measured), "client")
    rows = client[client.index("<tbody>") : client.index("</tbody>")].split("</tr>")
    assert "is " not in words_of(rows[0])
    second = words_of(rows[1])
    for each in ("is 37 7/16 in", "is 299.4", "is C8.5", "is 401"):
        assert each in second
    assert f"{target(BUILT.clubs[1]).frequency_cpm:.1f}" in second
    assert "what was measured on the finished club" in words_of(client)
    assert "what was measured" not in words_of(part(HTML, "client"))


def test_every_length_in_a_sentence_is_a_mark_or_lies_on_none():
    """A decimal on the sheet is never a sixteenth in disguise, outside the tables whose columns are decimals."""
    page = re.sub(r"<table class=\"(cuts|card|one-line)\">.*?</table>", "", HTML, flags=re.DOTALL)
    found = re.findall(r"(?<![\d.])(\d+\.\d+) in\b", words_of(page))
    assert found
    for decimal in found:
        assert float(decimal) * 16 % 1 != 0 or decimal in ("42.000", "12.000")
    assert "0.062" not in page


def test_every_flag_of_the_equipment_rules_stands_on_it_with_its_section_and_who_decides():
    text = words_of(part(HTML, "appendix"))
    assert equipmentrules.WHO_DECIDES in text
    for flag in equipmentrules.set_flags(club.plan for club in BUILT.clubs):
        assert flag.source.text in text
        assert in_marks(flag.limit) in text
        assert not flag.raised or in_marks(flag.text) in text


def test_a_club_over_a_local_rule_s_length_is_flagged_to_the_client_too():
    order = shipped_order("wood_pair")
    long = dataclasses.replace(order.clubs[0], length=GivenLength(46.5))
    decided = Decisions(extend=True, why="the client wants it long")
    long_shaft = dataclasses.replace(long, decisions=decided)
    page = sheet_html(build_set(dataclasses.replace(order, clubs=(long_shaft, order.clubs[1]))), FIGURE)
    for name in ("client", "appendix"):
        text = words_of(part(page, name))
        assert re.search(r"46(\.5| 1/2) in, where the rule says at most 46 in", text)
        assert "Model Local Rule G-10" in text
        assert "The governing body decides" in text


def test_every_tolerance_and_bench_figure_stands_on_it_with_its_standing():
    text = words_of(part(HTML, "appendix"))
    tolerances = double_check(BUILT).tolerances
    for figure in stated_figures(BUILT, tolerances):
        assert f"{figure.what} {figure.value} {figure.rests_on}" in text
    for standing in Standing:
        told = f"{standing.value}: {STANDINGS[standing]}" in text
        assert told == (f"({standing.value}" in words_of(HTML) or standing.value in {"published"})


def test_the_double_check_of_every_club_stands_on_it():
    check = double_check(BUILT)
    assert not check.stopped
    assert HTML.count("<td>agrees</td>") == len(BUILT.clubs)
    assert "Do not cut yet" not in HTML


def test_a_club_that_fails_the_double_check_is_told_before_the_first_cut():
    """A head misread by 30 g: the sheet says so above the cuts, with the likely cause."""
    order = BUILT.order
    heavy = dataclasses.replace(order.clubs[5].head, head_mass_g=order.clubs[5].head.head_mass_g + 30)
    clubs = (*order.clubs[:5], dataclasses.replace(order.clubs[5], head=heavy), *order.clubs[6:])
    page = sheet_html(build_set(dataclasses.replace(order, clubs=clubs)), FIGURE)
    assert page.index("Do not cut yet") < page.index("At the saw")
    assert re.search(r"<li>7-iron: [^<]*head", page)
    bench = part(page, "bench")
    table = bench[bench.index("<tbody>") :]
    (row,) = [row for row in table.split("</tr>") if "Do not cut yet" in row]
    assert "<strong>7-iron</strong>" in row
    assert 'class="box"' not in row
    assert table.count('class="box"') == 3 * (len(clubs) - 1)
    off = next(club for club in double_check(build_set(dataclasses.replace(order, clubs=clubs))).clubs if club.findings)
    said = f"stop: {abs(off.deviation_cpm):.1f} cpm softer than the set's line"
    assert words_of(page).count(said) == 1
    assert "Nothing is final yet" in part(page, "client")
    assert "Nothing is final yet" not in HTML


def test_a_mistake_made_for_the_whole_set_leaves_no_club_a_box_to_tick():
    """Every head 20 g heavier than its rung, as a scale that reads wrong would have it."""
    order = BUILT.order
    heavy = [dataclasses.replace(club.head, head_mass_g=club.head.head_mass_g + 20) for club in order.clubs[2:]]
    clubs = tuple(dataclasses.replace(club, head=head) for club, head in zip(order.clubs[2:], heavy, strict=True))
    bench = part(sheet_html(build_set(dataclasses.replace(order, clubs=clubs)), FIGURE), "bench")
    assert "The whole set is" in bench
    table = bench[bench.index("<tbody>") :]
    assert table.count("Do not cut yet") == len(clubs)
    assert 'class="box"' not in table


def test_an_extension_is_told_to_the_client_and_at_the_bench_the_shaft_itself_is_measured():
    order = shipped_order("wood_pair")
    decided = Decisions(extend=True, why="the client wants it long")
    driver = dataclasses.replace(order.clubs[0], length=GivenLength(46.75), decisions=decided)
    built = build_set(dataclasses.replace(order, clubs=(driver, order.clubs[1])))
    plan = built.clubs[0].plan
    assert plan.extension_in > 0
    page = sheet_html(built, FIGURE)
    client, bench = words_of(part(page, "client")), words_of(part(page, "bench"))
    assert f"a piece is added under the grip. driver : {nearest_mark(plan.extension_in).mark}" in client
    of_the_shaft_in = plan.cut_length_in - plan.extension_in
    assert of_the_shaft_in == pytest.approx(plan.raw_length_in - plan.tip_trim_in)
    mark = nearest_mark(of_the_shaft_in).mark.removesuffix(" in")
    assert f"{mark} {of_the_shaft_in:.3f} in {millimetres(of_the_shaft_in)}" in bench
    assert f"then add {nearest_mark(plan.extension_in).mark} ({millimetres(plan.extension_in)}) at the butt" in bench
    assert "driver, caution:" in bench


def test_a_taper_tip_is_never_told_to_be_trimmed_and_each_club_s_raw_length_stands_at_the_saw():
    taper = build_set(shipped_order("taper_soft_step"))
    page = sheet_html(taper, FIGURE)
    saw = part(page, "bench")
    assert "Never trim a taper tip" in saw
    assert "Cut the tip trim" not in page
    assert "take: raw length" in saw
    for club in taper.clubs:
        raw = club.plan.raw_length_in
        assert f"{nearest_mark(raw).mark.removesuffix(' in')} {raw:.3f} in" in words_of(saw)
    assert "never cut" in part(page, "client")


def one_high_head(order, club="9-iron", bbgl_in=1.5):
    """The taper-tip order with one head whose bore ends higher than the others'."""
    clubs = tuple(
        dataclasses.replace(each, head=dataclasses.replace(each.head, bbgl_in=bbgl_in))
        if each.head.club == club
        else each
        for each in order.clubs
    )
    return dataclasses.replace(order, clubs=clubs)


def test_a_taper_tip_in_a_head_that_is_high_is_not_cut_and_the_sheet_says_why_in_inches_cpm_and_flexes():
    built = build_set(one_high_head(shipped_order("taper_soft_step")))
    club = built.club("9-iron")
    page = sheet_html(built, FIGURE)
    bench, appendix, client = (words_of(part(page, name)) for name in ("bench", "appendix", "client"))
    assert "Do not cut yet: 9-iron." in bench
    assert bench.count("Do not cut yet") == 2  # once on top, once at the one club
    for amount in ("1/2 in more than the reference (1 in)", f"{-club.bore.change_cpm:.1f} cpm softer", "of a flex"):
        assert amount in bench
    assert "take the 9-iron's raw length, 36 3/4 in (one hard step from this one)" in bench
    assert "the family's raw lengths are made for 1 in: the steps stand 1/2 in too high" in appendix
    assert "in this head than it is made for, which moves its flex. 9-iron : 1/2 in higher." in client
    low = client_reasons(build_set(one_high_head(built.order, bbgl_in=0.5)).club("9-iron").plan)
    assert "1/2 in lower" in [reason.own for reason in low]
    assert client.count("than it is made for") == 1


def test_the_sheet_says_when_the_reference_is_the_sets_own_median():
    order = shipped_order("taper_soft_step")
    rows = tuple(dataclasses.replace(row, bbgl_reference_in=None) for row in order.catalogue.raw_lengths)
    order = dataclasses.replace(order, catalogue=dataclasses.replace(order.catalogue, raw_lengths=rows))
    appendix = words_of(part(sheet_html(build_set(order), FIGURE), "appendix"))
    assert appendix.count("the set's heads have 1 in (their median): nothing to make up for") == 1
    assert "median BBGL of the set's heads; the family's table names no BBGL reference" in appendix


def test_words_from_people_are_inert():
    nasty = "<script>alert(1)</script>\"'&"
    order = dataclasses.replace(BUILT.order, client=nasty, title=nasty)
    text = sheet_html(dataclasses.replace(BUILT, order=order), FIGURE)
    assert "<script" not in text
    assert "&lt;script&gt;" in text


def test_the_same_set_gives_the_same_page():
    assert sheet_html(build_set(shipped_order()), set_frequency_svg(BUILT)) == HTML


def test_a_sheet_that_is_there_is_left_alone_unless_said_otherwise(tmp_path):
    path = tmp_path / "with space" / "sheet.html"
    write_sheet(BUILT, path)
    path.write_text("mine", encoding="utf-8")
    with pytest.raises(BenchError, match="is there already"):
        write_sheet(BUILT, path)
    assert path.read_text(encoding="utf-8") == "mine"
    write_sheet(BUILT, path, replace=True)
    assert path.read_text(encoding="utf-8") == HTML
    assert [file.name for file in path.parent.iterdir()] == ["sheet.html"]


def test_a_folder_that_is_a_file_is_told(tmp_path):
    (tmp_path / "file").write_text("x", encoding="utf-8")
    with pytest.raises(BenchError, match="cannot be written"):
        write_sheet(BUILT, tmp_path / "file" / "sheet.html")


def _unknown(name, *places):
    """A shipped set of which some clubs (all, if none is named) have shafts whose walls or stations nobody knows."""
    order = shipped_order(name)
    shaft = dataclasses.replace(order.shaft, sections=(), stations=())
    silent = build_set(dataclasses.replace(order, shaft=shaft))
    if not places:
        return silent
    known = build_set(order)
    clubs = [silent.clubs[n] if n in places else club for n, club in enumerate(known.clubs)]
    return dataclasses.replace(known, clubs=tuple(clubs))


@pytest.mark.parametrize("name", ["evening_class", "taper_soft_step", "wood_pair"])
def test_a_sheet_without_walls_has_every_cut_and_says_why_there_is_no_prediction(name):
    built = _unknown(name)
    figure = set_frequency_svg(built)
    assert figure == ""
    page = html.unescape(sheet_html(built, figure))
    assert "<figcaption>No frequency" not in page
    bench, appendix = (page[page.index(part) :].split("</section>")[0] for part in ("part bench", "part appendix"))
    assert bench.count(f"No second opinion by the beam calculation for any club: {built.order.shaft.unknown}.") == 1
    assert appendix.count(f"No prediction: {built.order.shaft.unknown}.") == 1
    assert "<td>agrees</td>" not in page
    assert page.count("<td>cuts agree; no second opinion</td>") == len(built.clubs)
    for club in built.clubs:
        assert f"{club.plan.cut_length_in:.3f} in" in page


def test_a_mixed_set_shows_the_predictions_there_are():
    built = _unknown("evening_class", 0, 4)
    page = html.unescape(sheet_html(built, set_frequency_svg(built)))
    assert "for 3-hybrid, 6-iron: no tube walls" in page
    assert page.count("<td>agrees</td>") == len(built.clubs) - 2
    assert "The frequency rises from" in page
    first = built.clubs[1]
    assert f"{first.frequency_cpm:.1f} cpm ({first.plan.club}" in page


def test_nothing_is_said_about_a_second_opinion_that_was_given():
    assert "second opinion" not in HTML


def test_a_child_s_club_below_the_letter_scale_has_its_sheet_and_its_lines():
    iron = dataclasses.replace(shipped_order("evening_class").clubs[5], length=GivenLength(29.0))
    built = build_set(dataclasses.replace(BUILT.order, clubs=(iron,), wanted_swingweight=None))
    assert built.clubs[0].swingweight_oz_in < 161.0  # A0
    assert part(sheet_html(built, ""), "client").count("below A0") == 1
    record = first_record(built, datetime(2026, 1, 2, tzinfo=UTC))
    assert any("below A0" in line for line in record_lines(record, record.latest))
