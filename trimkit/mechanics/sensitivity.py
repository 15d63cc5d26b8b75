"""What one more gram, or one more sixteenth of an inch, does to a club's frequency and swingweight."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Required, Unpack

import numpy as np

from trimkit.mechanics.balance import balance, club_components
from trimkit.mechanics.batch import Floats, broadcast
from trimkit.mechanics.beam import first_frequency
from trimkit.mechanics.clamped import ClampedClub
from trimkit.mechanics.profile import SAME_PLACE_IN, Profile
from trimkit.parts.errors import ModelError

STEP_OF_TIP_SECTION_IN = 0.5
"""Parallel tip section by which neighbours of a taper-tip family differ, in: common practice, no source."""


@dataclass(frozen=True)
class Sensitivity:
    """What one unit of one change does, everything else as it was.

    change: its name. unit: how much of it. cpm: change of frequency. points: change of swingweight, in points.
    cpm_error, points_error: how far each is from the difference taken at twice the step.
    """

    change: str
    unit: str
    cpm: float
    points: float
    cpm_error: float
    points_error: float


@dataclass(frozen=True)
class _Change:
    """A direction in the space of a club's numbers: what each gains per unit, and how many units a difference spans."""

    name: str
    unit: str
    gains: dict[str, float]
    span: float


_SIXTEENTH = 1 / 16
_CHANGES = (
    _Change("head mass", "1 g", {"head_mass_g": 1.0}, 1.0),
    _Change("grip mass", "1 g", {"grip_mass_g": 1.0}, 1.0),
    _Change("tip trim", "1/16 in", {"tip_trim_in": _SIXTEENTH}, 0.5),
    # Taller hosel: bottom and top of the bore rise, so less shaft fills the same playing length.
    _Change("BBGL, tip trim as before", "1/16 in", {"bbgl_in": _SIXTEENTH, "cut_length_in": -_SIXTEENTH}, 0.5),
    _Change(
        "BBGL, tip trim corrected",
        "1/16 in",
        {"bbgl_in": _SIXTEENTH, "cut_length_in": -_SIXTEENTH, "tip_trim_in": _SIXTEENTH},
        0.5,
    ),
    # Deeper bore under the same hosel top: the shaft goes further down.
    _Change(
        "bore depth, hosel top as before",
        "1/16 in",
        {"bore_depth_in": _SIXTEENTH, "bbgl_in": -_SIXTEENTH, "cut_length_in": _SIXTEENTH},
        0.5,
    ),
    _Change("playing length", "1/16 in", {"cut_length_in": _SIXTEENTH}, 0.5),
    _Change("soft step", "1/2 in of tip section", {"tip_trim_in": -STEP_OF_TIP_SECTION_IN}, 1 / 16),
)


class BuiltClub(ClampedClub):
    """A club in the clamp with its grip (mass, g; centre from the cap end and length, in), each a single number."""

    grip_mass_g: Required[float]
    grip_cg_from_cap_in: Required[float]
    grip_length_in: Required[float]


def sensitivities(profile: Profile, **club: Unpack[BuiltClub]) -> tuple[Sensitivity, ...]:
    """Answer what each gram and each sixteenth does to one club: a table, one row per change.

    Playing length and the head's place above the ground line are kept, except in the row that changes the length. A
    soft step is a longer parallel tip section under the same club, equal to that much less tip trim; its row is the
    slope times the step. The grip lies in the clamp, so its mass changes no frequency in this model.

    Differences at two step sizes, central where the shaft allows both ways, else one-sided; the smaller step gives
    the value, its distance from the larger one the error. Raises ModelError as the frequency and the balance do, for a
    batch, and where a shaft has no room either way.
    """
    base: dict[str, Any] = dict(club)
    held_alone = ("clamp_in", "root_spring_n_m_per_rad", "ei_factor")
    clamp = {name: base.pop(name) for name in held_alone if name in base}
    shape, _ = broadcast(**base)
    if shape:
        raise ModelError(f"a batch of shape {shape}", "one club", "ask for one club at a time")
    schemes = [[_scheme(profile, base, change, change.span / divisor) for divisor in (1, 2)] for change in _CHANGES]
    moved = {
        name: np.array(
            [
                value + change.gains.get(name, 0.0) * offset
                for change, pair in zip(_CHANGES, schemes, strict=True)
                for offsets, _ in pair
                for offset in offsets
            ]
        )
        for name, value in base.items()
    }
    held = {name: values for name, values in moved.items() if not name.startswith("grip_")}
    cpm = first_frequency(profile, **held, **clamp)
    points = balance(club_components(profile, **moved)).swingweight_points
    rows, start = [], 0
    for change, pair in zip(_CHANGES, schemes, strict=True):
        slopes = []
        for _, weights in pair:
            here = slice(start, start + len(weights))
            slopes.append((float(weights @ cpm.frequency_cpm[here]), float(weights @ points[here])))
            start += len(weights)
        (cpm_far, points_far), (cpm_near, points_near) = slopes
        errors = abs(cpm_far - cpm_near), abs(points_far - points_near)
        rows.append(Sensitivity(change.name, change.unit, cpm_near, points_near, *errors))
    return tuple(rows)


def _scheme(profile: Profile, base: dict[str, float], change: _Change, span: float) -> tuple[Floats, Floats]:
    """Return offsets (in units of the change) and weights of a second-order difference that stays on the shaft."""

    def fits(units: float) -> bool:
        trim, cut, bore = (
            base[name] + change.gains.get(name, 0.0) * units
            for name in ("tip_trim_in", "cut_length_in", "bore_depth_in")
        )
        on_shaft = trim >= 0 and bore >= 0 and trim + cut <= float(profile.length_in) + SAME_PLACE_IN
        return on_shaft and trim + bore <= profile.tip_section_in + SAME_PLACE_IN

    if fits(span) and fits(-span):
        return np.array([-span, span]), np.array([-1.0, 1.0]) / (2 * span)
    for side in (span, -span):
        if fits(0) and fits(2 * side):
            return np.array([0.0, side, 2 * side]), np.array([-3.0, 4.0, -1.0]) / (2 * side)
    raise ModelError(
        f"{change.name}: the shaft has no room for {2 * span:g} times {change.unit} either way",
        "a cut that leaves some room at tip or butt",
        "choose a longer shaft",
    )


def sensitivity_table(rows: tuple[Sensitivity, ...]) -> str:
    """Return the rows as a plain text table: change, unit, cpm and swingweight points."""
    lines = [f"{'change':<32} {'of':<22} {'cpm':>8} {'points':>8}"]
    lines += [f"{row.change:<32} {row.unit:<22} {row.cpm:>8.3f} {row.points:>8.3f}" for row in rows]
    return "\n".join(lines)
