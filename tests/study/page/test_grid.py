"""Which states a page has pictures of, and that each picture is the one a kernel would make."""

import random

import pytest

from trimkit import study
from trimkit.study.frame.controls import Choice, Slider, Switch
from trimkit.study.page.grid import MOST_ALONE, alone, packed_lab, states, together, told_on_page

from .conftest import labs_of

LABS = {name: getattr(study, name) for name in study.__all__ if name.endswith("_lab")}
LEAST, MOST = 12, 2500
"""States of one lab: fewer than LEAST would be no lab, more than MOST make a page slow to open (measured)."""
SAMPLED = 25


def same_as_alone(told, frames, make, hand):
    """Sampled stored frames against those of a lab that was never anywhere else."""
    lab = make()
    assert [each["name"] for each in told["controls"]] == list(lab.defaults)
    assert told["still"] == lab.told()["still"]
    for values in hand.sample(sorted(frames, key=str), min(SAMPLED, len(frames))):
        asked = dict(zip(lab.defaults, values, strict=True))
        kept, made = frames[values], lab.frame_of(asked)
        assert kept["picture"] == made.picture
        assert [tuple(each) for each in kept["readouts"]] == list(made.readouts)
        assert (kept["sentence"], kept["refused"]) == (made.sentence, made.refused)


@pytest.fixture(scope="module", params=LABS.values(), ids=LABS.keys())
def declared(request):
    return request.param().declared


def test_a_page_has_only_what_a_hand_can_reach_in_the_notebook_and_every_default(declared):
    for control in declared:
        whole = control.positions if isinstance(control, Slider) else getattr(control, "options", (False, True))
        assert control.default in together(control)
        assert set(together(control)) <= set(alone(control)) <= set(whole), control.name
        assert list(together(control)) == [each for each in whole if each in together(control)], "not in order"


def test_one_slider_of_each_lab_is_whole_when_it_is_moved_alone(declared):
    sliders = [each for each in declared if isinstance(each, Slider)]
    assert alone(sliders[0]) == sliders[0].positions or len(sliders[0].positions) > MOST_ALONE
    assert all(len(alone(each)) > 60 or alone(each) == each.positions for each in sliders)


def test_a_page_has_few_enough_states_to_open_at_once_and_each_of_them_once(declared):
    every = list(states(declared))
    assert LEAST <= len(every) <= MOST
    assert len(set(every)) == len(every)
    assert tuple(each.default for each in declared) in every


def test_every_slider_alone_with_every_choice_and_all_coarse_values_together_are_there(declared):
    """What lab.js relies on when it looks for the nearest stored state."""
    every = set(states(declared))
    hand = random.Random(1)
    for turn in range(200):
        moved = hand.choice([each for each in declared if isinstance(each, Slider)])
        one = tuple(
            hand.choice(alone(each)) if each is moved or not isinstance(each, Slider) else each.default
            for each in declared
        )
        assert one in every, turn
        assert tuple(hand.choice(together(each)) for each in declared) in every


def test_positions_that_are_thinned_keep_the_default_and_what_is_declared():
    slider = Slider("mass_g", "mass", "g", 255.0, 295.0, 0.1, 273.3, on_page=(258.4, 273.3))
    kept = alone(slider)
    assert {258.4, 273.3, 255.3, 294.8} <= set(kept)  # every fifth from the default, and the one that was named
    assert len(kept) == 81
    assert alone(Slider("mass_g", "mass", "g", 255.0, 295.0, 0.1, 273.3)) == slider.positions


def test_states_of_two_sliders_and_a_switch_by_hand():
    controls = (
        Slider("a", "a", "", 0.0, 3.0, 1.0, 1.0, on_page=(0.0, 1.0)),
        Slider("b", "b", "", 0.0, 2.0, 1.0, 0.0, on_page=(0.0, 2.0)),
        Switch("c", "c", True),
    )
    # a alone 4, b alone 3, both at their start once; beyond these of {0, 1} x {0, 2}: (0, 2); all of it for c twice
    assert len(list(states(controls))) == 2 * (4 + 3 - 1 + 1)
    chosen = Choice("d", "d", ("x", "y"), "x", on_page=("x",))
    assert set(states((controls[0], chosen))) == {(a, d) for a in (0.0, 1.0, 2.0, 3.0) for d in ("x", "y")}


def test_a_page_cannot_save_pins():
    lab = study.what_if_lab()
    assert "saves" in lab.told()
    assert "saves" not in told_on_page(lab)


@pytest.mark.parametrize("name", [pytest.param("tolerance_lab", marks=pytest.mark.nightly), "stepping_lab"])
def test_what_is_packed_is_what_a_new_lab_makes(name):
    text = f'<script type="application/gzip">{packed_lab(LABS[name]())}</script>'
    ((told, frames),) = labs_of(text)
    assert set(frames) == set(states(LABS[name]().declared))
    same_as_alone(told, frames, LABS[name], random.Random(name))
