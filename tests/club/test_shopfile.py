"""The shop's own file: read whole or refused with every fault; used by every prediction, by no cut.

The laws are those of a beam: the frequency of a club in a rigid clamp goes with the square root of the stiffness; in a
clamp that gives, a shaft k times as stiff is the described one in a clamp that gives k times as much, sqrt(k) times as
fast.
"""

import dataclasses
import math
from datetime import date, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trimkit.check.consistency import CheckTolerances
from trimkit.check.doublecheck import double_check
from trimkit.check.inverse import trim_for
from trimkit.check.setline import SET_TOLERANCE_CPM
from trimkit.check.stepworth import flex_gaps_cpm, step_worth
from trimkit.club.card import card_of
from trimkit.club.clamp import FrequencyBench, frequencies_cpm
from trimkit.club.club import finished_club
from trimkit.club.order.file import order_tables, order_toml
from trimkit.club.order.order import open_order, order_from_tables, shipped_order
from trimkit.club.profiles import profile_of
from trimkit.club.set import build_set
from trimkit.club.shopfile import read_shop, shop_from_tables, shop_path
from trimkit.club.shoptables import TABLES, Bench, CalibratedShaft, Clamp, Limits, ShopFile, Usual
from trimkit.papers.templates import ORDER_FILE, template_files
from trimkit.parts.catalogue import data_folder
from trimkit.parts.errors import BenchError, DataFileError
from trimkit.parts.sources import Standing
from trimkit.shop.rawshaft import MeasuredShaft, shaft_factors
from trimkit.shop.spread import frequency_spread
from trimkit.trim.practice import PRACTICE_SOURCE, BenchPractice

NAMES = ("evening_class", "taper_soft_step", "wood_bores", "wood_pair")
PLAIN = {name: build_set(shipped_order(name)) for name in NAMES}
CATALOGUE = shipped_order().catalogue
TODAY = date(2026, 11, 27)
WHOLE = """
name = "Corner bench"
[clamp]
clamp_in = "13.3 cm"
root_compliance_rad_per_n_m = 2e-4
root_compliance_sd_rad_per_n_m = 3e-5
measured_on = 2026-11-20
[test_weight]
mass_g = 205
offset_in = 0.5
[usual]
ferrule_mass_g = 1.6
[bench]
tape_thickness_in = "0.11 mm"
[tolerances]
frequency_cpm = 2.5
set_cpm = 3
[[calibrated]]
shaft = "a"
ei_factor = 0.97
ei_factor_sd = 0.01
readings = 9
measured_on = 2026-11-20
[[calibrated]]
shaft = "b"
ei_factor = 1.02
"""


def with_shop(name, shop):
    return build_set(order_from_tables(order_tables(shipped_order(name)), CATALOGUE, shop=shop))


def stiffer(name, factor, **clamp):
    """The set with every shaft of it so much stiffer than described."""
    kinds = tuple(CalibratedShaft(shaft=shaft.name, ei_factor=factor) for shaft in PLAIN[name].order.shafts)
    return with_shop(name, ShopFile(calibrated=kinds, clamp=Clamp(**clamp)))


def cpm_of(built):
    return [club.frequency_cpm for club in built.clubs]


def faults(text, tmp_path, shafts=("a", "b")):
    path = tmp_path / "shop.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(DataFileError) as caught:
        read_shop(path, shafts)
    return {fault.place.key: fault for fault in caught.value.faults}


# What a club measures


@settings(max_examples=8, deadline=None)
@given(st.sampled_from(NAMES), st.floats(0.5, 2.0))
def test_the_frequency_goes_with_the_square_root_of_the_stiffness_wherever_it_is_told(name, factor):
    built, plain, root = stiffer(name, factor), PLAIN[name], math.sqrt(factor)
    assert cpm_of(built) == pytest.approx([root * cpm for cpm in cpm_of(plain)], rel=1e-9)
    for new, old in zip(built.clubs, plain.clubs, strict=True):
        assert new.flex_scale.frequency_cpm == pytest.approx([root * f for f in old.flex_scale.frequency_cpm], rel=1e-9)
        if old.need is not None:
            assert new.need.frequency_cpm == pytest.approx(root * old.need.frequency_cpm, rel=1e-9)
        if old.bore is not None:
            assert new.bore.change_cpm == pytest.approx(root * old.bore.change_cpm, rel=1e-6)
    looked = zip(double_check(built).clubs, double_check(plain).clubs, strict=True)
    for new, old in looked:
        assert (new.frequency_cpm, new.rule_cpm) == pytest.approx((root * old.frequency_cpm, root * old.rule_cpm))
        assert (new.line_cpm is None) == (old.line_cpm is None)
        assert new.line_cpm is None or new.line_cpm == pytest.approx(root * old.line_cpm, rel=1e-9)
    spread = [each.sd_cpm and each.sd_cpm / root for each in frequency_spread(built)]
    assert spread == [each.sd_cpm and pytest.approx(each.sd_cpm, rel=1e-6) for each in frequency_spread(plain)]


@settings(max_examples=5, deadline=None)
@given(st.sampled_from(("evening_class", "taper_soft_step", "wood_pair")), st.floats(0.6, 1.6), st.floats(1e-5, 2e-3))
def test_a_stiffer_shaft_is_the_described_one_in_a_clamp_that_gives_more(name, factor, compliance):
    built = stiffer(name, factor, root_compliance_rad_per_n_m=compliance)
    other = with_shop(name, ShopFile(clamp=Clamp(root_compliance_rad_per_n_m=compliance * factor)))
    root = math.sqrt(factor)
    assert cpm_of(built) == pytest.approx([root * cpm for cpm in cpm_of(other)], rel=1e-9)
    spread = [each.sd_cpm and each.sd_cpm / root for each in frequency_spread(built)]
    assert spread == [each.sd_cpm and pytest.approx(each.sd_cpm, rel=1e-6) for each in frequency_spread(other)]


def test_a_step_and_a_tip_trim_are_worth_what_the_stiffness_makes_of_them():
    factor = 0.9
    root = math.sqrt(factor)
    worths = zip(*(step_worth(each, 1) for each in (stiffer(NAMES[1], factor), PLAIN[NAMES[1]])), strict=True)
    for new, old in worths:
        assert new.change_cpm == pytest.approx(root * old.change_cpm, rel=1e-6)
    built, plain = stiffer(NAMES[0], factor), PLAIN[NAMES[0]]
    gaps, described = (flex_gaps_cpm(each, "R", "S") for each in (built, plain))
    assert gaps == {club: pytest.approx(root * gap, rel=1e-6) for club, gap in described.items()}
    new, old = (card_of(each.clubs[5].plan, each.clubs[5].assembly) for each in (built, plain))
    target = plain.clubs[5].frequency_cpm + 2.0
    assert trim_for(new, root * target).tip_trim_in == pytest.approx(trim_for(old, target).tip_trim_in, abs=1e-6)


def test_a_pulled_shaft_is_as_stiff_as_its_kind():
    tables = order_tables(shipped_order())
    shaft = CATALOGUE.shafts[tables["shaft"]]
    tables["club"] = [tables["club"][5] | {"pulled": True, "tip_cut_in": 3.0, "raw_length_in": shaft.raw_length_in - 4}]
    kind = ShopFile(calibrated=(CalibratedShaft(shaft=shaft.name, ei_factor=1.21),))
    plain, built = (build_set(order_from_tables(tables, CATALOGUE, shop=shop)).clubs[0] for shop in (None, kind))
    assert built.frequency_cpm == pytest.approx(1.1 * plain.frequency_cpm, rel=1e-9)
    assert built.flex_scale.frequency_cpm == pytest.approx([1.1 * f for f in plain.flex_scale.frequency_cpm], rel=1e-9)


def test_a_bare_shaft_that_was_read_is_no_stiffer_for_what_its_kind_was_calibrated_to():
    read, bench = [MeasuredShaft("1", 110.0, 270.0), MeasuredShaft("2", 108.0, 262.0)], FrequencyBench(200.0)
    found = []
    for built in (PLAIN["evening_class"], stiffer("evening_class", 0.93)):
        plan, card = built.clubs[3].plan, double_check(built).clubs[3].card
        factors = shaft_factors(profile_of(plan.wanted.shaft, plan.raw_length_in), read, bench)
        own = {"ei_factor": factors.ei_factor[:, None], "mass_factor": factors.mass_factor[:, None]}
        found.append(frequencies_cpm([card], **own)[:, 0])
    assert found[0] == pytest.approx(found[1], rel=1e-9)


@pytest.mark.parametrize("name", NAMES)
def test_no_cut_and_no_mass_knows_of_the_stiffness(name):
    for new, old in zip(stiffer(name, 0.8).clubs, PLAIN[name].clubs, strict=True):
        described = dataclasses.replace(
            new.plan.wanted, shaft=dataclasses.replace(new.plan.wanted.shaft, ei_factor=1.0)
        )
        assert dataclasses.replace(new.plan, wanted=described) == old.plan
        assert (new.total_mass_g, new.swingweight_oz_in) == (old.total_mass_g, old.swingweight_oz_in)


@pytest.mark.parametrize("name", NAMES)
def test_a_file_that_says_what_is_so_without_it_changes_nothing(name):
    same = stiffer(name, 1.0, clamp_in=5.0, root_compliance_rad_per_n_m=0.0)
    for shop in (ShopFile(), same.order.shop):
        built = with_shop(name, shop)
        assert built.clubs == PLAIN[name].clubs
        assert double_check(built).clubs == double_check(PLAIN[name]).clubs


def test_a_shaft_that_is_not_calibrated_stays_as_described():
    shop = ShopFile(calibrated=(CalibratedShaft(shaft=PLAIN["wood_pair"].order.shaft.name, ei_factor=0.8),))
    assert cpm_of(with_shop("evening_class", shop)) == cpm_of(PLAIN["evening_class"])
    again = order_from_tables(order_tables(shipped_order()), with_shop("wood_pair", shop).order.catalogue, shop=shop)
    assert {shaft.ei_factor for shaft in again.catalogue.shafts.values()} == {0.8, 1.0}  # set, not multiplied


# What an order decides in the shop's place


def order_with(shop, **inside):
    tables = order_tables(shipped_order())
    return order_from_tables(tables | {"assembly": inside}, CATALOGUE, shop=shop)


OWN = ShopFile(
    clamp=Clamp(clamp_in=5.5, root_compliance_rad_per_n_m=2e-4), usual=Usual(ferrule_mass_g=1.0, epoxy_mass_g=2.5)
)


def test_the_clamp_is_that_of_an_order_with_the_same_numbers():
    by_order = order_with(None, clamp_in=5.5, root_spring_n_m_per_rad=5000.0, ferrule_mass_g=1.0, epoxy_mass_g=2.5)
    by_shop = order_with(OWN)
    assert by_shop.assembly == by_order.assembly
    assert cpm_of(build_set(by_shop)) == cpm_of(build_set(by_order))
    assert cpm_of(build_set(by_shop)) < cpm_of(build_set(order_with(None)))


def test_what_an_order_says_wins_also_where_it_says_the_usual():
    order = order_with(OWN, clamp_in=5.0, ferrule_mass_g=0.0)
    assert (order.assembly.clamp_in, order.assembly.ferrule_mass_g) == (5.0, 0.0)
    assert (order.assembly.epoxy_mass_g, order.assembly.root_spring_n_m_per_rad) == (2.5, pytest.approx(5000.0))
    for shop in (OWN, None, ShopFile(clamp=Clamp(clamp_in=6.0))):
        again = order_from_tables(order_tables(order), CATALOGUE, shop=shop)
        assert (again.assembly.clamp_in, again.assembly.ferrule_mass_g) == (5.0, 0.0)
    before = order_with(None, clamp_in=5.0)  # said before the shop had a file
    assert order_from_tables(order_tables(before), CATALOGUE, shop=OWN).assembly.clamp_in == 5.0


def test_an_order_that_is_written_does_not_decide_for_the_shop():
    silent, said = order_with(OWN), order_with(OWN, tape_mass_g=2.0)
    assert "assembly" not in order_tables(silent)
    assert order_tables(said)["assembly"] == {"tape_mass_g": 2.0}
    assert order_from_tables(order_tables(said), CATALOGUE, shop=OWN) == said
    changed = dataclasses.replace(said, assembly=dataclasses.replace(said.assembly, clamp_in=4.5))
    assert order_tables(changed)["assembly"] == {"tape_mass_g": 2.0, "clamp_in": 4.5}
    rigid = dataclasses.replace(said, assembly=dataclasses.replace(said.assembly, root_spring_n_m_per_rad=None))
    with pytest.raises(BenchError, match="rigid"):
        order_toml(rigid)


# Figures of the bench and limits


def test_figures_of_the_bench_are_the_shops_and_say_so():
    shop = ShopFile(bench=Bench(longest_extension_in=0.25, tape_thickness_in=0.004))
    own = BenchPractice(longest_extension_in=0.25, tape_thickness_in=0.004)
    assert dataclasses.replace(shop.practice, own=()) == own
    assert shop.practice.source("tape_thickness_in").standing is Standing.OWN_DATA
    assert "shop.toml" in str(shop.practice.source("longest_extension_in"))
    assert shop.practice.source("caliper_in") == PRACTICE_SOURCE
    assert set(Bench.model_fields) == {field.name for field in dataclasses.fields(BenchPractice)} - {"own"}
    tables = order_tables(shipped_order())
    long = tables["club"][5] | {"playing_length_in": 39.0, "raw_length_in": 41.5, "extend": True, "why": "asked for"}
    tables["club"] = [long]
    (club,) = build_set(order_from_tables(tables, CATALOGUE)).clubs
    assert 0.25 < club.plan.extension_in < 1.0
    with pytest.raises(BenchError, match=r"an extension of at most 0\.25 in"):
        build_set(order_from_tables(tables, CATALOGUE, shop=shop))
    insert = ShopFile(bench=Bench(extension_insert_in=3.0))
    (deeper,) = build_set(order_from_tables(tables, CATALOGUE, shop=insert)).clubs
    assert deeper.total_mass_g > club.total_mass_g
    assert any("shop.toml" in str(source) for step in deeper.plan.steps for source in step.sources)
    assert not any("shop.toml" in str(source) for step in club.plan.steps for source in step.sources)


def test_the_measuring_error_of_a_pulled_shaft_is_the_shops():
    tables = order_tables(shipped_order())
    raw = CATALOGUE.shafts[tables["shaft"]].raw_length_in
    tables["club"] = [tables["club"][5] | {"pulled": True, "tip_cut_in": 3.0, "raw_length_in": raw - 2.9}]
    with pytest.raises(BenchError):
        order_from_tables(tables, CATALOGUE)
    order_from_tables(tables, CATALOGUE, shop=ShopFile(bench=Bench(measuring_error_in=0.125)))


def test_the_set_is_judged_within_the_shops_limits():
    usual, own = CheckTolerances.of_shop(None), CheckTolerances.of_shop(ShopFile(tolerances=Limits(set_cpm=0.3)))
    assert CheckTolerances.of_shop(ShopFile()) == usual == CheckTolerances()
    assert (own.frequency_cpm, usual.frequency_cpm) == (0.3, SET_TOLERANCE_CPM)
    assert own.source.standing is Standing.OWN_DATA
    strict = double_check(with_shop("evening_class", ShopFile(tolerances=Limits(set_cpm=0.3))))
    assert strict.tolerances == own
    assert len(strict.stopped) > len(double_check(PLAIN["evening_class"]).stopped)
    points = ShopFile(tolerances=Limits(swingweight_points=0.5))
    assert CheckTolerances.of_shop(points).swingweight_points == 0.5
    for new, old in zip(with_shop("evening_class", points).clubs, PLAIN["evening_class"].clubs, strict=True):
        assert new.need.beyond_tolerance is (abs(old.need.points_off) > 0.5)
        assert new.need.note is None or new.need.note.source.standing is Standing.OWN_DATA
        assert finished_club(new).need.tolerance.points == 0.5


# Reading


def test_the_whole_file_is_read_with_units_and_dates(tmp_path):
    path = tmp_path / "shop.toml"
    path.write_text(WHOLE, encoding="utf-8")
    shop = read_shop(path, ("a", "b", "c"))
    assert shop.name == "Corner bench"
    assert shop.clamp.clamp_in == pytest.approx(13.3 / 2.54)
    assert shop.clamp.measured_on == date(2026, 11, 20)
    assert shop.root_spring_n_m_per_rad == pytest.approx(5000.0)
    bench = shop.frequency_bench
    assert (bench.test_mass_g, bench.test_offset_in, bench.test_inertia_g_cm2, bench.clamp_in) == (205.0, 0.5, 0.0, 5.0)
    assert bench.root_spring_n_m_per_rad == pytest.approx(5000.0)
    assert shop.practice.tape_thickness_in == pytest.approx(0.11 / 25.4)
    assert [(each.shaft, each.ei_factor, each.readings) for each in shop.calibrated] == [
        ("a", 0.97, 9),
        ("b", 1.02, None),
    ]
    for words in ("Corner bench", "clamp 5.236 in", "205 g", "2 kinds of shaft calibrated on 20 November 2026"):
        assert words in shop.in_words
    assert ShopFile().frequency_bench is None
    assert ShopFile().root_spring_n_m_per_rad is None
    assert read_shop(path, None) == shop


def test_every_fault_is_told_at_once_with_its_key(tmp_path):
    text = WHOLE.replace('"13.3 cm"', "2").replace("mass_g = 205", "mass = 205").replace("0.11 mm", "0.11 cubits")
    text = text.replace("set_cpm = 3", "set_cpm = nan").replace('name = "Corner', 'colour = "red"\nname = "Corner')
    text = text.replace('"b"', '"aa"').replace("readings = 9", "readings = 9.5")
    text = text.replace(
        "sd_rad_per_n_m = 3e-5\nmeasured_on = 2026-11-20", 'sd_rad_per_n_m = 3e-5\nmeasured_on = "today"'
    )
    found = faults(text, tmp_path, ("a1", "aa1"))
    assert set(found) == {
        "colour",
        "[clamp] clamp_in",
        "[clamp] measured_on",
        "[test_weight] mass",
        "[bench] tape_thickness_in",
        "[tolerances] set_cpm",
        "[[calibrated]] 1: readings",
        "[[calibrated]] 2: shaft",
    }
    assert found["[clamp] clamp_in"].allowed == "3 to 9 in"
    assert "mass_g" in found["[test_weight] mass"].allowed
    assert "aa1" in found["[[calibrated]] 2: shaft"].allowed
    assert "2000 to 2099" in found["[clamp] measured_on"].allowed


@pytest.mark.parametrize(
    ("text", "key", "said"),
    [
        ('[[calibrated]]\nshaft = "a"\nei_factor = 1\n' * 2, "[[calibrated]] 2: shaft", "calibrated twice"),
        ('[[calibrated]]\nshaft = "z"\nei_factor = 1\n', "[[calibrated]] 1: shaft", "there is no shaft 'z'"),
        ('[[calibrated]]\nshaft = "a"\n', "[[calibrated]] 1: ei_factor", "'ei_factor' is missing"),
        ('[calibrated]\nshaft = "a"\n', "[[calibrated]]", "not a list"),
        ('[[calibrated]]\nshaft = "a"\nei_factor = 0\n', "[[calibrated]] 1: ei_factor", "0"),
        ('[[calibrated]]\nshaft = "a"\nei_factor = true\n', "[[calibrated]] 1: ei_factor", "True"),
        ("[clamp]\nroot_compliance_rad_per_n_m = 1e-9\n", "[clamp] root_compliance_rad_per_n_m", "1e-09"),
        ("[clamp]\nroot_compliance_rad_per_n_m = 5000\n", "[clamp] root_compliance_rad_per_n_m", "5000"),
        ("[clamp]\nmeasured_on = 2026-11-27T10:00:00\n", "[clamp] measured_on", "2026-11-27 10:00:00"),
        ('[clamp]\nmeasured_on = "2026-11-27"\n', "[clamp] measured_on", "2026-11-27"),
        ("[clamp]\nmeasured_on = 0206-11-27\n", "[clamp] measured_on", "0206-11-27"),
        ("[clamp]\nclamp_in = 2026-11-27\n", "[clamp] clamp_in", "2026-11-27"),
        ("[[clamp]]\nclamp_in = 5\n", "[clamp] ", "not a table"),
        ("clamp = 5\n", "[clamp] ", "not a table"),
        ("clamp.clamp.in = 5\n", "[clamp] clamp", "'clamp' is not known"),
        ("[test_weight]\noffset_in = 1\n", "[test_weight] mass_g", "no mass"),
        ("name = 7\n", "name", "7"),
        (f'name = "{"x" * 81}"\n', "name", "x"),
        ("clamp_in = 5\n", "clamp_in", "'clamp_in' is not known"),
        ("= 5\n", None, "it is not a TOML file"),
        ("[clamp]\n[clamp]\n", None, "it is not a TOML file"),
    ],
)
def test_what_no_shop_can_mean_is_refused_at_its_key(tmp_path, text, key, said):
    (fault,) = faults(text, tmp_path).values()
    assert fault.place.file == "shop.toml"
    assert fault.place.key == key
    assert said in fault.given
    assert fault.next_step


@pytest.mark.parametrize(
    ("table", "key", "least", "most"),
    [
        (name, key, *bounds)
        for name, model in (TABLES | {"calibrated": CalibratedShaft}).items()
        for key, field in model.model_fields.items()
        if len(bounds := [getattr(m, n) for n in ("ge", "le") for m in field.metadata if hasattr(m, n)]) == 2
    ],
)
def test_a_number_is_taken_up_to_its_bounds_and_not_beyond(table, key, least, most):
    def read(value):
        whole = {"mass_g": 200.0} if table == "test_weight" else {}
        whole = {"shaft": "a", "ei_factor": 1.0} if table == "calibrated" else whole
        inside = whole | {key: value}
        return shop_from_tables({table: [inside] if table == "calibrated" else inside}, ("a",))

    step = 1 if key == "readings" else 1e-6
    for value in (least, most):
        assert read(value)
    for value in (least - step, most + step):
        with pytest.raises(DataFileError):
            read(value)


def test_too_many_calibrated_shafts_are_not_looked_at():
    rows = [{"shaft": f"s{n}", "ei_factor": 1.0} for n in range(201)]
    with pytest.raises(DataFileError, match="201 calibrated shafts"):
        shop_from_tables({"calibrated": rows}, None)
    assert len(shop_from_tables({"calibrated": rows[:200]}, None).calibrated) == 200


def test_a_time_is_no_date_also_in_python():
    assert Clamp(measured_on=TODAY).measured_on == TODAY
    with pytest.raises(ValueError, match="no date"):
        Clamp(measured_on=datetime(2026, 11, 27, 1, 2))


# Where it is found


@pytest.fixture
def parts(tmp_path):
    folder = tmp_path / "parts"
    folder.mkdir()
    for name, text in template_files().items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def test_it_lies_beside_the_shops_parts_or_beside_the_data(parts, tmp_path):
    other = tmp_path / "other"
    other.mkdir()
    assert shop_path(None, None) is None
    assert shop_path(data_folder(), None) is None
    assert shop_path(parts, None) == shop_path(None, parts) == parts / "shop.toml"
    assert shop_path(parts, other) is None
    assert shop_path(None, parts / "parts.xlsx") == parts / "shop.toml"
    (other / "shop.toml").symlink_to(tmp_path / "nowhere")
    with pytest.raises(DataFileError, match="cannot be read"):
        read_shop(shop_path(None, other), None)


def test_an_order_is_opened_with_it_and_all_faults_come_together(parts):
    order, shop = parts / ORDER_FILE, parts / "shop.toml"
    plain = open_order(order, parts)
    assert plain.shop == ShopFile()
    text = '[[calibrated]]\nshaft = "example steel parallel"\nei_factor = 0.81\n'
    shop.write_text(text, encoding="utf-8")
    for opened in (open_order(order, parts), open_order(order, None, parts)):
        assert cpm_of(build_set(opened)) == pytest.approx([0.9 * f for f in cpm_of(build_set(plain))], rel=1e-9)
    shop.write_text("[clamp]\nclamp_in = 0\n" + text.replace("parallel", "round"), encoding="utf-8")
    order.write_text("colour = 1\n" + order.read_text(encoding="utf-8"), encoding="utf-8")
    (parts / "grips.csv").write_text("grip\n", encoding="utf-8")
    with pytest.raises(DataFileError) as caught:
        open_order(order, parts)
    told = {(fault.place.file, fault.place.key) for fault in caught.value.faults}
    assert {("shop.toml", "[clamp] clamp_in"), (ORDER_FILE, "colour")} < told
    assert "grips.csv" in {file for file, _ in told}


def test_a_folder_may_hold_nothing_but_it(tmp_path):
    (tmp_path / "shop.toml").write_text("[clamp]\nclamp_in = 5.5\n", encoding="utf-8")
    order = open_order(data_folder() / "orders" / "evening_class.toml", own_parts=tmp_path)
    assert order.assembly.clamp_in == 5.5


@pytest.mark.parametrize(("lines", "said"), [("", "stated"), ("measured_on = 2026-11-20\n", "measured on 20 November")])
def test_a_clamp_is_called_measured_only_if_the_file_says_when(tmp_path, lines, said):
    path = tmp_path / "shop.toml"
    path.write_text(f"[clamp]\nclamp_in = 5.25\n{lines}", encoding="utf-8")
    assert str(read_shop(path, None).clamp_source).startswith(f"the shop's own, {said}")
