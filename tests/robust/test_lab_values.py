"""A lab's controls set by code to anything: refused in a sentence, or numbers of exactly the value that was given."""

import contextlib
import functools
import math
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trimkit import study
from trimkit.parts.errors import BenchError
from trimkit.study.frame.controls import Choice, Slider

SIZE = settings.get_profile("nightly" if settings.default is settings.get_profile("nightly") else "small")
SIZE = settings(SIZE, max_examples=max(8, SIZE.max_examples // 4))

ANY = st.one_of(
    st.floats(),
    st.integers(),
    st.none(),
    st.booleans(),
    st.text(max_size=8),
    st.complex_numbers(),
    st.binary(max_size=3),
)

LABS = [name for name in study.__all__ if name.endswith("_lab")]


@functools.cache
def opened(name):
    return getattr(study, name)()


def allowed(control):
    if isinstance(control, Slider):
        return st.one_of(st.floats(control.low, control.high), st.sampled_from([control.low, control.high]))
    return st.sampled_from(control.options) if isinstance(control, Choice) else st.booleans()


def assert_numbers_or_a_refusal(lab):
    """What stands in the lab now is finite everywhere, or a refusal with nothing beside it."""
    if lab.result is None:
        assert lab.readouts == ()
        assert lab.frame.refused
        assert "Do next" in lab.sentence
        return
    assert all(math.isfinite(readout.value) for readout in lab.readouts)
    assert not re.search(r"\b(nan|inf)\b", str(lab.frame), re.IGNORECASE)


@pytest.mark.parametrize("name", LABS)
@SIZE
@given(st.data())
def test_any_place_of_all_sliders_gives_numbers_or_a_refusal(count, name, data):
    count("labs, allowed values")
    lab = opened(name)
    lab.reset()
    values = {control.name: data.draw(allowed(control), control.name) for control in lab.declared}
    with contextlib.suppress(BenchError):
        lab.set(**values)
    assert_numbers_or_a_refusal(lab)
    assert lab.values == values


@pytest.mark.parametrize("name", LABS)
@SIZE
@given(st.data())
def test_any_value_is_taken_as_it_is_or_refused_and_nothing_moves(count, name, data):
    count("labs, any value")
    lab = opened(name)
    control = data.draw(st.sampled_from(lab.declared))
    value = data.draw(ANY)
    lab.reset()
    before = lab.frame
    try:
        lab.set(**{control.name: value})
    except BenchError:
        if lab.result is not None:
            assert lab.frame is before
            assert lab.values == lab.defaults
    else:
        now = lab.values[control.name]
        assert now == (pytest.approx(float(value), abs=1e-6) if isinstance(control, Slider) else value)
    assert_numbers_or_a_refusal(lab)
