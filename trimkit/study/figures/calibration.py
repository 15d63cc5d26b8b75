"""Figure of a calibration: how far each reading lies from the fitted model."""

from __future__ import annotations

import io
from pathlib import Path

import matplotlib
import numpy as np

from trimkit.parts.errors import SaveError
from trimkit.parts.saving import save_bytes, save_text
from trimkit.shop.calibration import Calibration
from trimkit.study.figures.set import Picture, svg_of
from trimkit.study.frame.style import ALLOWED_BAND, PIXELS_PER_IN, RC, SERIES, styled_figure

ENDINGS = (".svg", ".png")


def calibration_picture(found: Calibration) -> Picture:
    """Draw every reading less the fitted model (cpm) over its free length (in), a mark for each kind of shaft.

    The band is one error of a reading either way, as the standard deviations use it.
    """
    free = np.array([reading.free_length_in for reading in found.readings])
    kinds = np.array([reading.shaft for reading in found.readings])
    error = found.reading_error_cpm
    with styled_figure(8.2, 4.4 + 0.3 * len(found.factors)) as figure:
        axes = figure.add_subplot()
        axes.axhspan(-error, error, color=ALLOWED_BAND, alpha=0.15, label=f"error of one reading, ± {error:.2g} cpm")
        for edge in (-error, error):
            axes.axhline(edge, color=ALLOWED_BAND, linewidth=1.0)
        axes.axhline(0, color="black", linewidth=0.8)
        for number, each in enumerate(found.factors):
            mine = kinds == each.shaft
            label = f"{each.shaft}: EI factor {each.ei_factor:.3f} ± {each.ei_factor_sd:.3f}"
            pen = SERIES[number % len(SERIES)]
            axes.plot(free[mine], found.residual_cpm[mine], **pen.mark(9), label=label)
        axes.margins(x=0.06, y=0.15)
        axes.set_xlabel("free length, clamp to hosel or bare tip (in)")
        axes.set_ylabel("reading less model (cpm)")
        figure.legend(loc="outside upper center", frameon=False)
    worst = int(np.argmax(np.abs(found.residual_cpm)))
    inside = int((np.abs(found.residual_cpm) <= error).sum())
    factors = ", ".join(f"{each.shaft} {each.ei_factor:.3f}" for each in found.factors)
    sentence = (
        f"{inside} of {len(found.readings)} readings lie within one error of a reading, {error:.2g} cpm, of the model; "
        f"the farthest is {found.readings[worst].what}, {found.residual_cpm[worst]:+.1f} cpm. EI factors: {factors}."
    )
    return Picture(figure, sentence)


def save_picture(path: Path, picture: Picture, *, replace: bool = False) -> Path:
    """Save a picture as .svg or .png, by the ending of its name, and return the path: the whole file, or none.

    Raises SaveError for another ending, and as :func:`trimkit.parts.saving.save_bytes`.
    """
    ending = checked_ending(path)
    if ending == ".svg":
        return save_text(path, svg_of(picture.figure, picture.sentence), replace=replace)
    file = io.BytesIO()
    with matplotlib.rc_context(RC):
        picture.figure.savefig(file, format="png", dpi=PIXELS_PER_IN, metadata={"Software": None})
    return save_bytes(path, file.getvalue(), replace=replace)


def checked_ending(path: Path) -> str:
    """Return the ending of a picture's name, or raise SaveError if no picture is saved so."""
    if (ending := path.suffix.lower()) not in ENDINGS:
        given = f"the picture {path.name!r} has the ending {ending!r}"
        raise SaveError(given, " or ".join(ENDINGS), "choose a name with one of them")
    return ending
