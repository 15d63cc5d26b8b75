"""The lab frame without a browser: state, frames, refusals, pins, and what a page without a kernel shows."""

import importlib.util
from base64 import b64decode
from pathlib import Path
from threading import Thread

import pytest

from trimkit.parts.errors import BenchError, ModelError
from trimkit.parts.units import quantity
from trimkit.study.frame.lab import Lab
from trimkit.study.frame.readout import Readout
from trimkit.study.frame.state import VIEW_MIME

FILE = Path(__file__).parents[2] / "browser" / "demo_lab.py"


@pytest.fixture(scope="module")
def demo():
    """The lab that the browser tests drive, as a module."""
    spec = importlib.util.spec_from_file_location("demo_lab", FILE)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def lab(demo):
    return demo.make()


def test_a_lab_begins_at_its_defaults_which_are_the_reference(demo, lab):
    assert lab.values == lab.defaults
    assert lab.params == demo.Cantilever(length_in=30, load_g=200, clamp="hard", shear=False)
    assert lab.result.tip_in == demo.compute(lab.params).tip_in == lab.reference.tip_in
    assert lab.frame.readouts[0][2] == "(+0.00 in)"


@pytest.mark.parametrize("length_in", [20, 30, 40])
def test_the_readout_equals_the_pure_function_at_the_ends_and_the_middle(demo, lab, length_in):
    lab.set(length_in=length_in)
    result = demo.compute(demo.Cantilever(length_in, 200, "hard", False))
    assert lab.readout["Tip"].value == result.tip_in
    assert lab.scene.live["shape"].get_ydata() == pytest.approx(result.deflection_in)
    assert f"{result.tip_in:.2f} in" in lab.sentence
    assert lab.frame.sentence == lab.sentence


def test_the_difference_to_the_reference_has_its_sign_and_unit(lab):
    lab.set(load_g=100)
    difference = lab.result.tip_in - lab.reference.tip_in
    assert difference < 0
    assert lab.frame.readouts[0] == ("Tip", f"{lab.result.tip_in:.2f} in", f"({quantity(difference, 'in', 2, '+')})")
    assert "−" in quantity(difference, "in", 2, "+")


def test_a_frame_is_what_the_lab_shows_there_and_leaves_the_lab_where_it_is(lab):
    before = lab.frame, lab.values, lab.figure
    drawn = lab.scene.live["shape"].get_ydata().copy()
    frame = lab.frame_of({"length_in": 33, "clamp": "soft"})
    assert (lab.frame, lab.values, lab.figure) == before
    assert lab.scene.live["shape"].get_ydata() == pytest.approx(drawn)
    lab.set(length_in=33, clamp="soft")
    assert lab.frame == frame != before[0]
    assert lab.frame_of({}) == before[0]  # what is not named is at its default


def test_a_frame_of_what_is_refused_says_so_and_has_no_picture(lab):
    frame = lab.frame_of({"length_in": 40, "load_g": 300})
    assert frame.refused
    assert "shorten it <or> unload it" in frame.sentence
    assert [number for _label, number, _change in frame.readouts] == ["–", "–"]
    assert "<path" not in frame.picture
    assert "&lt;or&gt;" in frame.picture  # what a screen reader says
    with pytest.raises(BenchError, match="20 to 40 in"):
        lab.frame_of({"length_in": 41})


def test_frames_asked_for_on_other_threads_are_never_of_two_states(lab):
    there = [{"length_in": 20 + at, "load_g": 100 + 10 * at} for at in range(20)]
    alone = [lab.frame_of(values) for values in there]
    mixed = []

    def ask(turn):
        for at in range(20):
            place = (7 * at + turn) % 20
            if turn == 0:
                lab.set(**there[place])
            elif lab.frame_of(there[place]) != alone[place]:
                mixed.append(place)

    threads = [Thread(target=ask, args=(turn,)) for turn in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert mixed == []
    assert lab.frame == alone[(7 * 19) % 20]


def test_after_a_move_by_a_page_the_figure_is_of_the_new_values(demo, lab):
    lab.move({"length_in": 26.5})
    assert lab.params.length_in == 26.5
    assert lab.result.tip_in == demo.compute(lab.params).tip_in
    assert lab.scene.live["shape"].get_xdata()[-1] == 26.5


def test_what_a_control_does_not_have_is_refused_and_nothing_moves(lab):
    before = lab.frame
    for name, value, sentence in (
        ("length_in", float("nan"), "set to nan. Allowed: 20 to 40 in"),
        ("length_in", 10**400, "Allowed: 20 to 40 in"),
        ("length_in", "30", "set to '30'"),
        ("length_in", True, "set to True"),
        ("load_g", None, "set to None"),
        ("clamp", None, "Allowed: hard, soft"),
        ("clamp", 1, "set to 1"),
        ("shear", "no", "Allowed: True or False"),
    ):
        with pytest.raises(BenchError) as caught:
            lab.set(**{name: value})
        assert sentence in str(caught.value)
        assert lab.frame is before


def test_rounding_at_an_end_is_no_refusal(lab):
    lab.set(length_in=40 + 1e-12)
    assert lab.params.length_in == 40
    with pytest.raises(BenchError, match="was set to"):
        lab.set(length_in=40.01)


def test_reset_brings_back_every_default_and_keeps_the_pins(lab):
    lab.set(length_in=33, load_g=150, clamp="soft", shear=True)
    lab.pin()
    lab.reset()
    assert lab.result.tip_in == lab.reference.tip_in
    assert lab.values == lab.defaults
    assert len(lab.pins) == 1


def test_pins_are_rows_with_units_and_can_be_saved(lab, tmp_path):
    lab.pin()
    lab.set(length_in=33)
    lab.pin()
    table = lab.pin_table()
    assert list(table["pin"]) == ["A", "B"]
    assert table["Length (in)"].tolist() == [30, 33]
    assert table["Tip (in)"].iloc[1] == lab.result.tip_in
    assert table["Load (g)"].tolist() == [200, 200]
    table.to_csv(tmp_path / "pins.csv")
    assert lab.told()["pinned"] == list(table.columns)
    assert lab.pins_told()[1][:3] == ["B", "33", "200"]
    lab.clear_pins()
    assert lab.pin_rows() == lab.pins_told() == []


def test_what_a_step_raises_is_said_in_the_lab_and_raised_again(lab):
    lab.set(length_in=40)
    with pytest.raises(ModelError):
        lab.set(load_g=300)
    assert lab.result is None
    assert lab.readouts == ()
    assert "bends too far" in lab.sentence
    assert lab.frame == lab.frame_of({"length_in": 40, "load_g": 300})  # the old picture would belie the new values
    lab.pin()
    assert lab.pins == []
    lab.reset()
    assert "<path" in lab.frame.picture


def test_a_control_that_does_not_exist_or_a_value_out_of_bounds_is_refused(lab):
    with pytest.raises(BenchError, match="length_in, load_g"):
        lab.set(length_mm=30)
    with pytest.raises(BenchError, match="20 to 40 in"):
        lab.set(load_g=150, length_in=41)
    with pytest.raises(BenchError, match="hard, soft"):
        lab.set(load_g=150, clamp="loose")
    assert lab.params.load_g == 200


def test_a_page_without_a_kernel_gets_picture_and_sentence(lab):
    (live, _), (picture, metadata), (said, _) = lab.outputs()
    assert set(live) == {VIEW_MIME}
    assert live[VIEW_MIME]["model_id"] == lab.view.model_id
    assert picture["text/plain"] == said["text/plain"] == lab.sentence
    assert b64decode(picture["image/png"]).startswith(b"\x89PNG")
    assert metadata["image/png"]["width"] == lab.overlay.size_px[0]
    assert f'<p class="trimkit-still">{lab.sentence}</p>' in said["text/html"]


def test_a_lab_is_shown_as_it_is_when_it_is_shown(lab):
    lab.outputs()
    lab.set(length_in=33)
    lab.outputs()
    assert lab.view.now["values"] == [33, 200, "hard", False]
    assert lab.view.now["frame"]["sentence"] == lab.sentence


def test_a_readout_may_be_written_another_way_but_compares_its_value():
    now = Readout("Swingweight", 213.5, "points", 1, shown="D0")
    assert str(now) == "D0"
    assert now.change_said(Readout("Swingweight", 212.0, "points", 1)) == "(+1.5 points)"
    assert Readout("Cut", 0.5, "in", 4, compare=False).change_said(now) == ""
    assert str(Readout("Cut", 0.5, "in", 4)) == "0.5000 in"


def test_the_reference_may_be_another_than_the_defaults(demo):
    given = demo.Cantilever(35, 200, "hard", False)
    made = demo.make()
    other = Lab(
        title="t",
        controls=made.declared,
        params=demo.Cantilever,
        compute=demo.compute,
        build=demo.build,
        draw=demo.draw,
        read=demo.read,
        describe=demo.describe,
        reference=given,
    )
    assert other.reference.tip_in == demo.compute(given).tip_in
    assert other.result.tip_in == made.result.tip_in
