"""What every lab of the facade does: each slider's one step is seen, heard and read; Reset brings all of it back."""

import pytest

from trimkit.study import lab as labs
from trimkit.study.controls import Slider

LABS = {name: getattr(labs, name) for name in dir(labs) if name.endswith("_lab")}


@pytest.fixture(scope="module", params=LABS.values(), ids=LABS.keys())
def lab(request):
    return request.param()


def shown(lab):
    return lab.sentence, [str(each) for each in lab.readouts], lab.overlay.live("")


def sliders(lab):
    return [control for control in lab.declared if isinstance(control, Slider)]


def test_there_is_one_for_each_lesson_s_lab():
    assert len(LABS) == 13


def test_one_step_of_any_slider_changes_sentence_readouts_and_picture(lab):
    for slider in sliders(lab):
        lab.reset()
        before = shown(lab)
        lab.set(**{slider.name: slider.default + slider.step})
        for what, then, now in zip(("sentence", "readouts", "picture"), before, shown(lab), strict=True):
            assert now != then, f"{slider.label}: the same {what}"


def test_reset_brings_back_what_the_lab_began_with(lab):
    lab.reset()
    before = shown(lab)
    assert lab.defaults == {control.name: control.default for control in lab.declared}
    for slider in sliders(lab):
        lab.set(**{slider.name: slider.default + slider.step})
    lab.reset()
    assert shown(lab) == before
