"""Any bytes and any numbers in a sensor's file: refused in words, or a frequency that is in the readings."""

import tempfile
from pathlib import Path

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from trimkit.cli import main
from trimkit.parts.errors import BenchError
from trimkit.shop.seriesfile import read_series
from trimkit.shop.swings import FASTEST_CPM, SLOWEST_CPM, film_frequency
from trimkit.shop.swingseries import series_frequency

SIZE = settings.get_profile("nightly" if settings.default is settings.get_profile("nightly") else "small")
CELL = st.one_of(
    st.sampled_from(["", " ", "nan", "-inf", "1e999", "1,5", "1,250", "1_0", "٣", '"', "0x1", "=1+1", "\0", "x"]),
    st.floats().map(str),
    st.text(max_size=8),
)


def told(answer):
    """What there is to answer, or None if it is refused in words."""
    refusal = None
    try:
        return answer()
    except BenchError as refused:
        refusal = refused
    assert refusal.given
    assert refusal.allowed
    assert refusal.next_step
    return None


def of_file(path):
    return told(lambda: series_frequency(*read_series(path)))


def sound(found):
    assert 0.9 * SLOWEST_CPM <= found.frequency_cpm <= 1.1 * FASTEST_CPM
    assert 0 <= found.sd_cpm <= 2.0
    assert abs(found.passes_cpm - found.spectrum_cpm) <= 3.0
    assert found.swings >= 5
    assert 0 <= found.damping < 1


def saved(folder, raw):
    path = Path(folder) / "sensor.csv"
    path.write_bytes(raw)
    return path


@settings(SIZE)
@given(st.one_of(st.binary(max_size=300), st.text(alphabet='0123456789.,;-e\n\r"\t ', max_size=300).map(str.encode)))
def test_any_bytes(count, raw):
    taken = count("series, bytes")
    with tempfile.TemporaryDirectory() as folder:
        path = saved(folder, raw)
        if (found := of_file(path)) is not None:
            sound(found)
            taken()
        assert main(["frequency", str(path)]) in (0, 1)


@st.composite
def swung(draw):
    """Times, readings and the cpm of a swing, fading and noisy as drawn."""
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    cpm, zeta = draw(st.floats(110, 800)), draw(st.floats(0, 0.02))
    rate, span_s = draw(st.floats(150, 400)), draw(st.floats(3, 8))
    time = np.arange(int(rate * span_s)) / rate
    turning = 2 * np.pi * cpm / 60
    reading = np.exp(-zeta * turning * time) * np.cos(turning * time + draw(st.floats(0, 6)))
    return time, reading + draw(st.floats(0, 0.2)) * rng.normal(size=time.size), cpm


@settings(SIZE)
@given(swung(), st.data())
def test_a_swing_with_spoiled_cells_is_refused_or_still_the_swing(count, swing, data):
    taken = count("series, cells")
    time, reading, cpm = swing
    lines = [[f"{a:.6f}", f"{b:.5f}"] for a, b in zip(time, reading, strict=True)]
    for _ in range(data.draw(st.integers(0, 2))):
        at, how = (
            data.draw(st.integers(0, len(lines) - 1)),
            data.draw(st.sampled_from(["cell", "out", "twice", "spike"])),
        )
        if how == "cell":
            lines[at][data.draw(st.integers(0, 1)) % len(lines[at])] = data.draw(CELL)
        elif how == "out":
            del lines[at : at + data.draw(st.integers(1, 60))]
        elif how == "twice":
            lines.insert(at, list(lines[at]))
        else:
            lines[at][-1] = str(data.draw(st.floats(-20, 20)))
    with tempfile.TemporaryDirectory() as folder:
        raw = "\n".join(",".join(line) for line in lines).encode("utf-8", "replace")
        found = of_file(saved(folder, raw))
    if found is not None:
        sound(found)
        assert abs(found.frequency_cpm - cpm) <= max(5 * found.sd_cpm, 1e-2)
        taken()


NUMBERS = st.one_of(st.floats(), st.floats(-10, 10), st.sampled_from([1e12, -1e12, 5e-324, 1e300, 0.0]))


@settings(SIZE)
@given(st.lists(NUMBERS, min_size=40, max_size=120), st.lists(NUMBERS, min_size=40, max_size=120), st.booleans())
def test_any_numbers(count, times, readings, even):
    taken = count("series, numbers")
    many = min(len(times), len(readings))
    time = np.arange(many) / 100 if even else np.sort(times[:many])
    if (found := told(lambda: series_frequency(time, readings[:many]))) is not None:
        sound(found)
        taken()


@settings(SIZE)
@given(st.integers(0, 100), st.integers(0, 5000), st.one_of(st.floats(), st.floats(20, 1000)), st.floats())
def test_any_counts_of_a_film(count, swings, frames, rate, rate_error):
    taken = count("films")
    if (found := told(lambda: film_frequency(swings, frames, rate, rate_error))) is not None:
        assert SLOWEST_CPM <= found.frequency_cpm <= FASTEST_CPM
        assert 0 < found.sd_cpm <= 2.0
        taken()
