"""The picture of a calibration: its marks are the residuals, and it is saved as what its name says."""

import numpy as np
import pytest
from matplotlib.image import imread

from trimkit.club.card import Assembly, card_of
from trimkit.club.clamp import frequencies_cpm
from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.parts.errors import SaveError
from trimkit.shop.calibration import calibrate
from trimkit.shop.reading import club_reading
from trimkit.study.figures.calibration import calibration_picture, save_picture

PLANS = [build.plan for name in ("evening_class", "wood_pair") for build in build_set(shipped_order(name)).clubs]


@pytest.fixture(scope="module")
def found():
    held = [card_of(plan, Assembly(root_spring_n_m_per_rad=1200.0)) for plan in PLANS]
    off = 0.2 * np.random.default_rng(4).standard_normal(len(PLANS))
    read = [club_reading(plan, float(f)) for plan, f in zip(PLANS, frequencies_cpm(held) + off, strict=True)]
    return calibrate(read, reading_error_cpm=0.2)


def test_every_residual_is_a_mark_over_its_free_length(found):
    (axes,) = calibration_picture(found).figure.axes
    marks = [line.get_xydata() for line in axes.lines if line.get_marker() not in ("None", None)]
    assert [len(each) for each in marks] == [each.readings for each in found.factors]
    free = [reading.free_length_in for reading in found.readings]
    assert np.concatenate(marks) == pytest.approx(np.transpose([free, found.residual_cpm]))
    assert axes.get_xlabel().endswith("(in)")
    assert axes.get_ylabel().endswith("(cpm)")


def test_the_band_is_one_error_of_a_reading_either_way(found):
    (axes,) = calibration_picture(found).figure.axes
    edges = [line.get_ydata()[0] for line in axes.lines if line.get_marker() in ("None", None)]
    assert sorted(edges) == pytest.approx([-found.reading_error_cpm, 0, found.reading_error_cpm])


def test_the_sentence_counts_what_lies_in_the_band_and_names_the_farthest(found):
    residual = np.abs(found.residual_cpm)
    sentence = calibration_picture(found).sentence
    assert sentence.startswith(f"{(residual <= found.reading_error_cpm).sum()} of {len(PLANS)} readings")
    assert f"the farthest is {found.readings[int(residual.argmax())].what}, " in sentence


def test_a_picture_is_saved_as_its_name_says(found, tmp_path):
    picture = calibration_picture(found)
    drawn = save_picture(tmp_path / "p.svg", picture).read_text(encoding="utf-8")
    assert drawn.startswith("<svg")
    assert 'xmlns="http://www.w3.org/2000/svg"' in drawn
    # 8.2 in at 96 pixels to the inch, in four channels.
    assert imread(save_picture(tmp_path / "p.PNG", picture)).shape[1:] == (787, 4)


@pytest.mark.parametrize("name", ["p.pdf", "p", "p.svg.gz"])
def test_another_ending_is_refused(found, tmp_path, name):
    with pytest.raises(SaveError, match=r"\.svg or \.png"):
        save_picture(tmp_path / name, calibration_picture(found))
    assert list(tmp_path.iterdir()) == []


def test_an_older_picture_is_left_alone_unless_it_may_be_replaced(found, tmp_path):
    path = tmp_path / "p.png"
    path.write_text("mine", encoding="utf-8")
    with pytest.raises(SaveError, match="is there already"):
        save_picture(path, calibration_picture(found))
    assert path.read_text(encoding="utf-8") == "mine"
    assert save_picture(path, calibration_picture(found), replace=True).read_bytes().startswith(b"\x89PNG")
