"""The fields of the order form: one for each name that an order file may hold."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

import ipywidgets as widgets

from trimkit.parts.errors import BenchError

NOTHING = ""


@dataclass(frozen=True)
class Field:
    """One field: its name in the order file, what people read, its width in pixels, and its choices if it has some."""

    name: str
    label: str
    width_px: int = 190
    choices: tuple[tuple[str, Any], ...] = ()

    def widget(self) -> Any:
        """Return a new field of ipywidgets, empty."""
        look = {
            "description": self.label,
            "style": {"description_width": "auto"},
            "layout": widgets.Layout(width=f"{self.width_px}px"),
        }
        if self.choices == ((NOTHING, False), (NOTHING, True)):
            return widgets.Checkbox(value=False, indent=False, **look)
        if self.choices:
            return widgets.Dropdown(options=self.choices, value=self.choices[0][1], **look)
        return widgets.Text(value="", continuous_update=False, **look)


TICK = ((NOTHING, False), (NOTHING, True))
STEPS = (
    ("not", NOTHING),
    *((f"{number} soft", number) for number in (1, 2, 3)),
    *((f"{number} hard", -number) for number in (1, 2, 3)),
)
BORE = (("follow it", "correct"), ("leave it", "leave"), ("as far as it goes", "as far as it goes"))
WHO = (Field("title", "title", 460), Field("client", "client", 300))
WISH = (
    Field("flex", "flex, or a place like R/S 0.5", 330),
    Field("wanted_swingweight", "swingweight wanted", 240),
    Field("soft_steps", "stepped", 150, STEPS),
)
LENGTH = (
    Field("club", "built to length: club", 240),
    Field("playing_length_in", "playing length (in)", 220),
    Field("step_in", "step, empty: the ladder's (in)", 270),
)
ASSEMBLY = (
    Field("ferrule_mass_g", "ferrule (g)", 140),
    Field("tape_mass_g", "tape (g)", 130),
    Field("epoxy_mass_g", "epoxy (g)", 135),
    Field("tip_weight_g", "tip weight (g)", 150),
    Field("clamp_in", "clamp (in)", 140),
    Field("root_spring_n_m_per_rad", "clamp stiffness (N m/rad)", 220),
)
MEASURED = (
    Field("head_mass_g", "mass (g)", 140),
    Field("bore_depth_in", "bore depth (in)", 170),
    Field("bbgl_in", "BBGL (in)", 150),
    Field("playing_length_in", "playing length (in)", 200),
)
OWN = (
    Field("flex", "own flex", 160),
    Field("soft_steps", "stepped", 170, (("as the set", NOTHING), ("not", 0), *STEPS[1:])),
    Field("tip_weight_g", "own tip weight (g)", 180),
    Field("wanted_swingweight", "own swingweight", 170),
    Field("raw_length_in", "shaft in hand: length (in)", 220),
    Field("raw_mass_g", "mass (g)", 140),
    Field("pulled", "pulled from another club", 200, TICK),
    Field("tip_cut_in", "off its tip already (in)", 210),
    Field("bought_length_in", "taper tip: bought at (in)", 210),
)
DECIDED = (
    Field("bare_shaft_in", "dry fit: bare (in)", 175),
    Field("dry_fitted_in", "fitted (in)", 145),
    Field("trim_as", "trim", 150, (("the usual way", NOTHING), ("by mass", "mass"), ("by number", "number"))),
    Field("bore", "bore", 170, BORE),
    Field("extend", "extend", 75, TICK),
    Field("outside_rules", "not under the rules", 150, TICK),
    Field("why", "reason", 430),
)


def named(parts: Mapping[str, Any], none: str | None = None) -> tuple[tuple[str, str], ...]:
    """Return parts by name as the choices of a field; none: how "no part" reads, None where one must be chosen."""
    return (*(() if none is None else ((none, NOTHING),)), *((name, name) for name in parts))


def put(widget: Any, value: Any) -> None:
    """Put a value of an order into its field; raises BenchError for one that is not among the field's choices."""
    if isinstance(widget, widgets.Checkbox):
        widget.value = bool(value)
    elif isinstance(widget, widgets.Dropdown):
        known = [option for _, option in widget.options]
        if value is not None and value not in known:
            raise BenchError(
                f"{widget.description} is {value!r}", ", ".join(str(each) for each in known), "choose one of these"
            )
        widget.value = known[0] if value is None else value
    else:
        # Never as 1e-05: people do not write so, and a field does not read it.
        widget.value = format(Decimal(repr(value)), "f") if isinstance(value, float) else str(value or NOTHING)


def taken(fields: Mapping[str, Any]) -> dict[str, Any]:
    """Return what the fields hold, by name, without the empty ones; text as it was typed."""
    values = {name: field.value for name, field in fields.items()}
    values = {name: value.strip() if isinstance(value, str) else value for name, value in values.items()}
    return {name: value for name, value in values.items() if value != NOTHING and value is not False}
