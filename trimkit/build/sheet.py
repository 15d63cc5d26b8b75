"""The sheet of a set: one self-contained HTML page to print, with every cut, its reason and its source."""

from __future__ import annotations

from pathlib import Path

import trimkit
from trimkit.build.atomic import save_text
from trimkit.build.benchcard import card_of
from trimkit.build.doublecheck import double_check
from trimkit.build.set import SetBuild
from trimkit.mechanics.tube import STEEL_DENSITY_KG_M3, STEEL_YOUNGS_MODULUS_PA
from trimkit.parts.components import Material, TipKind
from trimkit.parts.units import MM_PER_IN, nearest_mark
from trimkit.trim.steps import StepKind, TrimStep

DIVISIONS = 16

CAUTIONS = (
    "Wear eye protection with side shields for cutting, grinding and pulling; keep the saw's guards on.",
    "Cut graphite wet or with extraction, and wear a respirator fit for its dust; never heat graphite without control.",
    "Wear nitrile gloves with epoxy, and air the room; heat in short passes.",
    "Let the glue cure for as long as its maker says before the first swing.",
    "A shaft trimmed beyond its maker's limit can break. The makers' own instructions, local workplace rules and, "
    "in a class, the person in charge come before this sheet.",
)


def mark(exact_in: float) -> str:
    """Return a length as the nearest mark of the ruler, for the saw.

    >>> mark(3.97)
    '4 in'
    """
    return nearest_mark(exact_in, DIVISIONS).text


def exact(exact_in: float) -> str:
    """Return a length in decimals, in millimetres, and what the nearest mark adds to it.

    >>> exact(3.97)
    '3.970 in, 100.8 mm; mark +0.030 in'
    >>> exact(2.5)
    '2.500 in, 63.5 mm'
    """
    error = nearest_mark(exact_in, DIVISIONS).error_in
    text = f"{exact_in:.3f} in, {exact_in * MM_PER_IN:.1f} mm"
    return (text + (f"; mark {error:+.3f} in" if abs(error) >= 0.0005 else "")).replace("-", "−")


def step_inches(step: TrimStep) -> str:
    """Return the inches of a step as the sheet shows them; those that are added carry their sign."""
    if step.kind is StepKind.CLUB:
        return ""
    sign = "+" if step.kind in (StepKind.FLEX, StepKind.BORE) else ""
    return f"{step.inches:{sign}.3f} in".replace("-", "−")


def assumptions(built: SetBuild) -> tuple[str, ...]:
    """Return what the predictions rest on, a sentence each."""
    order, first = built.order, built.clubs[0]
    shaft = order.shaft
    lines = [
        f"Frequency: shaft clamped over {order.assembly.clamp_in:g} in from the cap end (from memory, unverified), a "
        "clamp that does not give; a shop's clamp gives a little and reads lower.",
        "Left out: shear, the torsion that the heel-toe offset of the head's centre couples in, damping, gravity, and "
        "the give of hosel and grip.",
        "There is no published standard for shaft flex: the letters are those of this shaft's own schedule, at the "
        "same club, head and length.",
        "Swingweight: fulcrum 14 in from the cap end, D0 at 213.5 oz in, 1.75 oz in a point (from memory, unverified).",
        f"Also in each club: ferrule {order.assembly.ferrule_mass_g:g} g, tape {order.assembly.tape_mass_g:g} g, "
        f"epoxy {order.assembly.epoxy_mass_g:g} g (from the order).",
    ]
    if shaft.material is Material.STEEL:
        lines.insert(
            1,
            f"Steel: E = {STEEL_YOUNGS_MODULUS_PA / 1e6:.0f} N/mm² (EN 1993-1-1), density {STEEL_DENSITY_KG_M3:.0f} "
            "kg/m³ (constructional steel tables); wall thickness scaled until the shaft weighs what the scale says.",
        )
    if order.wanted_swingweight:
        lines.append(f"Wanted swingweight: {order.wanted_swingweight}; the {first.plan.club} is {first.swingweight}.")
    return tuple(lines)


def frequency_sentence(built: SetBuild) -> str:
    """Return the set's frequencies in one sentence, for a figure's caption and for a screen reader."""
    first, last = built.clubs[0], built.clubs[-1]
    return (
        f"The frequency rises from {first.frequency_cpm:.1f} cpm ({first.plan.club}, "
        f"{first.plan.playing_length_in:.2f} in) to {last.frequency_cpm:.1f} cpm ({last.plan.club}, "
        f"{last.plan.playing_length_in:.2f} in)."
    )


def sheet_html(built: SetBuild, figure_svg: str) -> str:
    """Return the whole page as text: no script, nothing fetched; words from an order or a data file are escaped.

    figure_svg: an inline SVG made by this package's own figures, which is put in as it is.
    """
    from jinja2 import Environment, PackageLoader, StrictUndefined
    from markupsafe import Markup

    check = double_check([card_of(club.plan) for club in built.clubs], built.order.assembly)
    environment = Environment(
        loader=PackageLoader("trimkit.build", "."), autoescape=True, undefined=StrictUndefined, trim_blocks=True
    )
    return environment.get_template("sheet.html.j2").render(
        order=built.order,
        clubs=built.clubs,
        taper=built.order.shaft.tip_kind is TipKind.TAPER,
        check=check,
        checked=tuple(zip(built.clubs, check.clubs, strict=True)),
        cautions=CAUTIONS,
        assumptions=assumptions(built),
        figure_svg=Markup(figure_svg),  # our own figure; the SVG writer escaped its texts
        figure_sentence=frequency_sentence(built),
        divisions=DIVISIONS,
        mark=mark,
        exact=exact,
        step_inches=step_inches,
        version=trimkit.__version__,
    )


def write_sheet(built: SetBuild, path: Path, *, figure_svg: str, replace: bool = False) -> Path:
    """Write the sheet as one HTML file and return its path: the whole file, or none.

    Raises SaveError if the file is there and may not be replaced, or cannot be written; what was there stays.
    """
    return save_text(path, sheet_html(built, figure_svg), replace=replace)
