"""What every lab of the facade does: each slider's one step is seen, heard and read; Reset brings all of it back.

And how it is written: every number has its unit, every letter stands out from what it stands on.
"""

import contextlib
import itertools
import random
import re

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import to_rgb
from matplotlib.text import Text

from trimkit import study
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.errors import BenchError
from trimkit.study.figures.set import set_frequency
from trimkit.study.figures.stepgains import step_gain_picture
from trimkit.study.frame.controls import Choice, Slider, Switch

LABS = {name: getattr(study, name) for name in study.__all__ if name.endswith("_lab")}
SAID_WITHOUT_UNIT = {
    "flex place": "a letter, or a part of the way between two",
    "flex place asked": "the same",
    "flex place, mechanics": "the same",
    "flex by the rule": "the same",
    "flex, scale as ordered": "the same, or how far outside",
    "flex, this head and clamp": "the same",
    "swingweight": "a place on the letter scale",
    "it is": "a club",
    "the set has": "how it is stepped, in words",
}
"""Readouts whose text is no number with a unit, and what it is instead."""
NOT_CUT = {"core − butt"}
"""Readouts in inches that are no length to cut: the play of the grip."""
SLIDERS_WITHOUT_UNIT = {"flex (0 A, 1 R, 2 S)", "soft steps (hard: −)"}
AXES_WITHOUT_UNIT = {"irons by number, then wedges (W)": "the clubs' own numbers"}
UNIT = re.compile(r"\((in|mm|g|cpm|%|points|oz in|kg cm²|N m²)(?![a-z])[^)]*\)|^% ")
CONTRAST = 4.5  # WCAG 2.2, success criterion 1.4.3, for text that is not large


@pytest.fixture(scope="module", params=LABS.values(), ids=LABS.keys())
def lab(request):
    return request.param()


@pytest.fixture(autouse=True)
def _as_it_began(request):
    if "lab" in request.fixturenames:
        request.getfixturevalue("lab").reset()


def shown(lab):
    return lab.sentence, lab.frame.readouts, lab.frame.picture


def sliders(lab):
    return [control for control in lab.declared if isinstance(control, Slider)]


def moved_to(control):
    """Another value of a control than its default, near it: one step, the next choice, the other way round."""
    if isinstance(control, Slider):
        return control.default + control.step
    if isinstance(control, Switch):
        return not control.default
    options = list(control.options)
    return options[(options.index(control.default) + 1) % len(options)]


def corners(lab):
    """Every slider at its low end, at its high end, and at alternate ends; each with another choice and switch."""
    for turn, high in enumerate(((0, 0), (1, 1), (0, 1), (1, 0))):
        place = {each.name: (each.low, each.high)[high[at % 2]] for at, each in enumerate(sliders(lab))}
        for control in lab.declared:
            if isinstance(control, Choice):
                place[control.name] = control.options[turn % len(control.options)]
            elif isinstance(control, Switch):
                place[control.name] = turn % 2 == 0
        yield place


def test_at_its_corners_every_text_is_in_the_picture_and_over_no_other_and_the_ghost_stands_still(lab):
    ghost = lab.overlay.background()
    width, height = lab.figure.bbox.size
    drawn = 0
    for place in corners(lab):
        try:
            lab.set(**place)
        except BenchError:
            continue  # a place that this lab refuses
        drawn += 1
        lab.figure.draw_without_rendering()
        texts = [text for axes in lab.figure.axes for text in axes.texts if text.get_text() and text.get_visible()]
        boxes = [(text.get_text(), text.get_window_extent()) for text in texts]
        for words, box in boxes:
            assert min(box.x0, box.y0) >= -0.5, words
            assert box.x1 <= width + 0.5, words
            assert box.y1 <= height + 0.5, words
        for (one, first), (other, second) in itertools.combinations(boxes, 2):
            assert not first.overlaps(second), (place, one, other)
        assert lab.overlay.background() == ghost
    assert drawn >= 2


def test_what_a_lab_shows_does_not_depend_on_where_it_was_before(request, lab):
    """No live artist keeps anything of the place before: a lab that was elsewhere draws what a new one draws."""
    here = {control.name: control.low + 0.44 * (control.high - control.low) for control in sliders(lab)}
    new = request.node.callspec.params["lab"]().set(**here)
    for place in corners(lab):
        with contextlib.suppress(BenchError):
            lab.set(**place)
    lab.reset()
    lab.set(**here)
    assert lab.frame == new.frame


def random_place(lab, hand):
    """A random value of each control, of sliders now a place of the thumb, now any number."""
    place = {}
    for control in lab.declared:
        if isinstance(control, Slider):
            typed = hand.random() < 0.2
            place[control.name] = hand.uniform(control.low, control.high) if typed else hand.choice(control.positions)
        else:
            place[control.name] = hand.choice(control.options if isinstance(control, Choice) else (True, False))
    return place


STATES = 4
"""One of each way; a thousand in the test below, nightly."""


def test_any_state_however_it_was_reached_is_the_frame_that_a_new_lab_makes_of_it(request, lab):
    """By code, by a page, by one control after the other, by way of Reset; and asked for ahead from anywhere."""
    name = request.node.callspec.id
    hand = random.Random(name)
    new = request.node.callspec.params["lab"]()
    for turn in range(STATES):
        place = random_place(lab, hand)
        alone = new.frame_of(place)
        ahead = lab.frame_of(place)
        if turn % 4 == 0:
            with contextlib.suppress(BenchError):
                lab.set(**place)
        elif turn % 4 == 1:
            lab.move(place)
        elif turn % 4 == 2:
            lab.reset()
            lab.frame_of(random_place(lab, hand))
            lab.move(place)
        else:
            for control, value in sorted(place.items(), key=lambda _: hand.random()):
                lab.move({control: value})
        assert lab.values == place
        assert lab.frame == alone == ahead
        assert lab.overlay.live(f"{lab.title}. {lab.sentence}") == alone.picture or alone.refused


@pytest.mark.nightly
def test_a_thousand_states_of_it(request, lab):
    new = request.node.callspec.params["lab"]()
    hand = random.Random(1000)
    for turn in range(1000):
        place = random_place(lab, hand)
        if turn % 2:
            lab.move(place)
        else:
            with contextlib.suppress(BenchError):  # a place that this lab refuses
                lab.set(**place)
        if turn % 10 == 0:
            new.reset()
        assert lab.frame == new.frame_of(place)


def test_a_slider_out_of_bounds_is_refused_and_nothing_moves(lab):
    before = shown(lab)
    for slider in sliders(lab):
        with pytest.raises(BenchError, match=re.escape(f"Allowed: {slider.low:g} to {slider.high:g}")):
            lab.set(**{slider.name: slider.high + slider.step})
    assert shown(lab) == before


def test_there_is_one_for_each_lesson_s_lab():
    assert len(LABS) == 13


def test_one_step_of_any_slider_changes_sentence_readouts_and_picture(lab):
    for slider in sliders(lab):
        lab.reset()
        before = shown(lab)
        lab.set(**{slider.name: moved_to(slider)})
        for what, then, now in zip(("sentence", "readouts", "picture"), before, shown(lab), strict=True):
            assert now != then, f"{slider.label}: the same {what}"


def test_reset_brings_back_what_the_lab_began_with(lab):
    before = shown(lab)
    assert lab.defaults == {control.name: control.default for control in lab.declared}
    for control in lab.declared:
        lab.set(**{control.name: moved_to(control)})
        assert lab.values[control.name] != control.default
    lab.reset()
    assert lab.values == lab.defaults
    assert shown(lab) == before


def test_a_pin_has_a_cell_under_each_head_and_no_head_comes_twice(lab):
    lab.pin()
    told = lab.told()
    assert [len(row) for row in lab.pins_told()] == [len(told["pinned"])]
    assert len(set(told["pinned"])) == len(told["pinned"]) == 1 + len(lab.declared) + len(told["numbers"])
    lab.clear_pins()


def test_every_choice_and_switch_does_something_and_comes_back(lab):
    moved = {slider.name: moved_to(slider) for slider in sliders(lab)}
    for control in lab.declared:
        if isinstance(control, Choice | Switch):
            lab.reset()
            lab.set(**moved)
            before = shown(lab)
            lab.set(**{control.name: moved_to(control)})
            assert shown(lab) != before, f"{control.label}: nothing changes"
            lab.reset()
            assert lab.values[control.name] == control.default


# Every number has its unit


def test_every_readout_has_its_unit_and_a_length_to_cut_millimetres_too(lab):
    for readout in lab.readouts:
        if readout.label in SAID_WITHOUT_UNIT:
            assert not re.fullmatch(r"[-−+]?[\d.]+", str(readout)), readout.label
            continue
        assert readout.unit, f"{readout.label} has no unit"
        assert re.search(rf"{re.escape(readout.unit)}(?![a-z])", str(readout)), f"{readout.label}: {readout}"
        if readout.unit == "in" and readout.label not in NOT_CUT:
            assert re.search(r"\(−?[\d.]+ mm\)", str(readout)), f"{readout.label}: {readout}"


def test_every_slider_has_its_unit(lab):
    for slider in sliders(lab):
        assert slider.unit or slider.label in SLIDERS_WITHOUT_UNIT, slider.label


def numbers_on(axis):
    """Whether an axis shows numbers, and not words, or nothing."""
    labels = [label.get_text() for label in axis.get_ticklabels() if label.get_text()]
    return bool(labels) and all(re.fullmatch(r"[-−+]?[\d.]+", label) for label in labels)


def test_every_axis_with_numbers_has_its_unit_in_parentheses(lab):
    lab.figure.canvas.draw()
    for axes in lab.figure.axes:
        beside = [text.get_text() for text in axes.texts if UNIT.search(text.get_text())]
        for axis in (axes.xaxis, axes.yaxis):
            if axes.axison and axis.get_visible() and numbers_on(axis):
                said = axis.get_label().get_text()
                if said not in AXES_WITHOUT_UNIT:
                    assert UNIT.search(said) or beside, f"{said or 'an axis without a word'}: no unit"


# Letters are large and stand out

SMALLER = {"rationale_lab": 9.5}
"""Labs with letters of less than 12 points, where more would not fit."""


def test_letters_are_of_projector_size(request, lab):
    name = request.node.callspec.id
    texts = [text for text in lab.figure.findobj(Text) if text.get_text().strip() and text.get_visible()]
    small = [text.get_text() for text in texts if text.get_fontsize() < SMALLER.get(name, 12)]
    assert small == []


def luminance(colour):
    """Relative luminance of colours, WCAG 2.2, definition "relative luminance"."""
    parts = np.asarray(colour, dtype=float)[..., :3]
    linear = np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)
    return linear @ np.array([0.2126, 0.7152, 0.0722])


def too_faint(figure):
    """The texts of a figure, live ones too, whose contrast to what they stand on is too small.

    What a text stands on: the median of the pixels in its box when the picture is drawn without letters.
    """
    canvas = FigureCanvasAgg(figure)
    canvas.draw()
    texts = [each for each in figure.findobj(Text) if each.get_text().strip() and each.get_visible()]
    boxes = [each.get_window_extent(canvas.get_renderer()) for each in texts]
    opacity = [each.get_alpha() for each in texts]
    for each in texts:
        each.set_alpha(0)
    canvas.draw()
    pixels = luminance(np.asarray(canvas.buffer_rgba()) / 255)[::-1]
    found = []
    for each, box, alpha in zip(texts, boxes, opacity, strict=True):
        each.set_alpha(alpha)
        ground = pixels[max(0, int(box.y0)) : int(box.y1) + 1, max(0, int(box.x0)) : int(box.x1) + 1]
        if ground.size:
            dark, light = sorted((float(np.median(ground)), float(luminance(to_rgb(each.get_color())))))
            if alpha not in (None, 1.0) or (light + 0.05) / (dark + 0.05) < CONTRAST:
                found.append(f"{each.get_text()!r}: {(light + 0.05) / (dark + 0.05):.2f}")
    return found


def test_every_text_of_the_picture_stands_out_from_what_it_stands_on(lab):
    assert too_faint(lab.figure) == []
    for control in lab.declared:
        lab.set(**{control.name: moved_to(control)})
    assert too_faint(lab.figure) == []


def test_a_faint_letter_would_be_found():
    lab = study.schedule_lab()
    lab.figure.axes[0].texts[0].set_color("#E69F00")
    assert len(too_faint(lab.figure)) == 1


def test_so_does_every_text_of_the_figures_beside_the_labs():
    built = build_set(shipped_order("evening_class"))
    figures = [
        *(set_frequency(built, for_print=each) for each in (False, True)),
        step_gain_picture().figure,
    ]
    assert [faint for figure in figures for faint in too_faint(figure)] == []
