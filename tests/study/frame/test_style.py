"""The house's look: published colours, and pens that stay apart without colour."""

import io

import matplotlib
from matplotlib.colors import to_rgb

from trimkit.study.frame import style

# Okabe and Ito (2008), Color Universal Design, as printed with RGB values by B. Wong, "Points of view: Color
# blindness", Nature Methods 8 (2011) 441, figure 2.
OKABE_ITO = {
    "black": (0, 0, 0),
    "orange": (230, 159, 0),
    "sky blue": (86, 180, 233),
    "bluish green": (0, 158, 115),
    "yellow": (240, 228, 66),
    "blue": (0, 114, 178),
    "vermillion": (213, 94, 0),
    "reddish purple": (204, 121, 167),
}


def rgb(colour):
    return tuple(round(255 * part) for part in to_rgb(colour))


def luminance(colour):
    """Relative luminance, WCAG 2.1, definition "relative luminance"."""
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in to_rgb(colour)]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_colours_are_the_published_colour_blind_safe_ones():
    for colour in (*(pen.colour for pen in style.SERIES), style.NOW.colour, style.REFUSED):
        assert rgb(colour) in OKABE_ITO.values()


def test_the_reference_is_grey():
    assert len(set(rgb(style.REFERENCE.colour))) == 1


def test_no_two_pens_share_a_dash_or_a_marker_so_that_colour_is_never_needed():
    assert len({pen.dash for pen in style.SERIES}) == len({pen.marker for pen in style.SERIES}) == len(style.SERIES)
    assert style.NOW.dash != style.REFERENCE.dash
    assert style.NOW.marker != style.REFERENCE.marker


def test_what_moves_and_its_ghost_stand_out_from_white():
    # WCAG 2.1, success criterion 1.4.11: graphical objects need a contrast of 3 to 1.
    for pen in (style.NOW, style.REFERENCE):
        assert 1.05 / (luminance(pen.colour) + 0.05) >= 3


def test_letters_are_of_projector_size_and_the_readers_settings_stay():
    before = dict(matplotlib.rcParams)
    with style.styled_figure() as figure:
        axes = figure.subplots()
        axes.set(xlabel="length (in)", xlim=(0, 1), ylim=(0, 1))
    figure.savefig(io.BytesIO(), format="png")
    assert min(label.get_fontsize() for label in [*axes.get_xticklabels(), axes.xaxis.label]) >= 12
    assert dict(matplotlib.rcParams) == before


def test_a_lab_picture_fits_beside_the_controls_of_a_notebook_cell():
    with style.styled_figure() as figure:
        width, height = figure.get_size_inches() * style.PIXELS_PER_IN
    assert width <= 670
    assert height <= 420
