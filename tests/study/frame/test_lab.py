"""The lab frame without a browser: state, refusals, pins, and what a page without a kernel shows."""

import importlib.util
from base64 import b64decode
from pathlib import Path

import ipywidgets
import pytest

from trimkit.parts.errors import BenchError, ModelError
from trimkit.parts.units import quantity
from trimkit.study.frame.controls import Choice, PacedSlider, Slider
from trimkit.study.frame.lab import VIEW_MIME, Lab, Readout

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


def shown(lab):
    """The live layer, as the browser gets it."""
    return lab.view.children[0].children[1].children[1].value


def test_a_lab_begins_at_its_defaults_which_are_the_reference(demo, lab):
    assert lab.params == demo.Cantilever(length_in=30, load_g=200, clamp="hard", shear=False)
    assert lab.result.tip_in == demo.compute(lab.params).tip_in == lab.reference.tip_in
    assert "(+0.00 in)" in shown(lab)


@pytest.mark.parametrize("length_in", [20, 30, 40])
def test_the_readout_equals_the_pure_function_at_the_ends_and_the_middle(demo, lab, length_in):
    lab.controls["length_in"].value = length_in
    result = demo.compute(demo.Cantilever(length_in, 200, "hard", False))
    assert lab.readout["Tip"].value == result.tip_in
    assert lab.scene.live["shape"].get_ydata() == pytest.approx(result.deflection_in)
    assert f"{result.tip_in:.2f} in" in lab.sentence
    assert lab.sentence in shown(lab)


def test_the_difference_to_the_reference_has_its_sign_and_unit(lab):
    lab.set(load_g=100)
    difference = lab.result.tip_in - lab.reference.tip_in
    assert difference < 0
    assert f"({quantity(difference, 'in', 2, '+')})" in shown(lab)
    assert "−" in quantity(difference, "in", 2, "+")


def test_every_move_is_one_message_and_leaves_the_background_alone(lab):
    told = []
    for widget in lab.view.children[0].children[1].children:
        widget.observe(lambda change: told.append(change.owner), "value")
    lab.set(length_in=33, load_g=150, clamp="soft", shear=True)
    assert told == [lab.view.children[0].children[1].children[1]]


def test_a_move_from_the_page_arrives_and_is_the_newest_value(demo, lab):
    lab.controls["length_in"].set_state({"value": 25.5})
    lab.controls["length_in"].set_state({"value": 26.5})
    assert lab.params.length_in == 26.5
    assert lab.result.tip_in == demo.compute(lab.params).tip_in


def test_what_a_control_does_not_have_is_refused_and_nothing_moves(lab):
    before = shown(lab)
    for name, value, sentence in (
        ("length_in", float("nan"), "set to nan. Allowed: 20 to 40 in"),
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
        assert shown(lab) == before


@pytest.mark.parametrize("value", [float("nan"), 40.01])
def test_a_slider_s_own_widget_refuses_instead_of_moving_to_its_end(lab, value):
    with pytest.raises(BenchError, match="was set to"):
        lab.controls["length_in"].value = value
    with pytest.raises(BenchError, match="was set to"):
        lab.controls["length_in"].set_state({"value": value})
    assert lab.params.length_in == lab.controls["length_in"].value == 30
    lab.controls["length_in"].value = 40 + 1e-12  # rounding
    assert lab.params.length_in == 40


def test_a_choice_emptied_by_its_widget_is_refused_in_the_lab(lab):
    with pytest.raises(BenchError, match="set to None"):
        lab.controls["clamp"].value = None
    assert lab.result is None
    assert "set to None" in shown(lab)


def test_reset_brings_back_every_default_and_keeps_the_pins(lab):
    lab.set(length_in=33, load_g=150, clamp="soft", shear=True)
    lab.buttons["Pin this one"].click()
    lab.buttons["Reset"].click()
    assert lab.result.tip_in == lab.reference.tip_in
    assert {name: control.value for name, control in lab.controls.items()} == lab.defaults
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
    assert "Tip (in)" in lab.view.children[1].value
    lab.clear_pins()
    assert lab.pin_rows() == []
    assert lab.view.children[1].value == ""


def test_what_a_step_raises_is_said_in_the_lab_and_raised_again(lab):
    lab.set(length_in=40)
    with pytest.raises(ModelError):
        lab.controls["load_g"].value = 300
    assert lab.result is None
    assert lab.readouts == ()
    assert "bends too far" in lab.sentence
    assert "shorten it &lt;or&gt; unload it" in shown(lab)
    assert "<path" not in shown(lab)  # the old picture would belie the new values
    lab.pin()
    assert lab.pins == []
    lab.reset()
    assert "<path" in shown(lab)


def test_a_control_that_does_not_exist_or_a_value_out_of_bounds_is_refused(lab):
    with pytest.raises(BenchError, match="length_in, load_g"):
        lab.set(length_mm=30)
    with pytest.raises(BenchError, match="20 to 40 in"):
        lab.set(load_g=150, length_in=41)
    with pytest.raises(BenchError, match="hard, soft"):
        lab.set(load_g=150, clamp="loose")
    assert lab.params.load_g == 200


def test_a_page_without_a_kernel_gets_picture_and_sentence(lab):
    data, metadata = lab._repr_mimebundle_()
    assert data[VIEW_MIME]["model_id"] == lab.view.model_id
    assert data["text/plain"] == lab.sentence
    assert b64decode(data["image/png"]).startswith(b"\x89PNG")
    assert metadata["image/png"]["width"] == lab.overlay.size_px[0]


def test_controls_carry_their_units_bounds_and_a_number_to_type_into():
    slider = Slider("bbgl_in", "BBGL", "in", 0.5, 2.5, 0.0625, 1.0).widget()
    assert (slider.min, slider.max, slider.value, slider.step) == (0.5, 2.5, 1.0, 0.0625)
    assert slider.description == "BBGL (in)"
    assert slider.readout_format == ".4f"
    assert slider.readout
    assert slider.continuous_update
    assert isinstance(slider, PacedSlider)


def test_a_slider_shows_each_of_its_steps():
    for step, decimals in ((1, 0), (0.5, 1), (0.25, 2), (0.125, 3), (0.0625, 4), (1 / 32, 4)):
        assert Slider("x", "x", "", 0, 10, step, 0).decimals == decimals


def test_few_options_are_buttons_and_many_are_a_list():
    few, many = (Choice("c", "Club", tuple("3456789"[:n]), "3").widget() for n in (4, 7))
    assert isinstance(few, ipywidgets.ToggleButtons)
    assert isinstance(many, ipywidgets.Dropdown)


def test_a_readout_may_be_written_another_way_but_compares_its_value():
    now = Readout("Swingweight", 213.5, "points", 1, shown="D0")
    assert str(now) == "D0"
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
