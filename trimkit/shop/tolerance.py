"""What the bench's tolerances do to a set's frequencies, to first order, and which of them matters most.

Each error is normal about zero and independent, both from club to club and of the other errors; the half-width of a
tolerance is two standard deviations. Both are chosen here. A saw with a wrong stop, or a scale that reads high, moves
a whole set at once: that is not covered. :mod:`trimkit.shop.sampling` answers the same question by sampling many sets.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, fields
from typing import TYPE_CHECKING

import numpy as np

from trimkit.club.card import Assembly, BenchCard, card_of
from trimkit.club.clamp import frequencies_cpm
from trimkit.club.profiles import profile_of, sections_at_raw_length
from trimkit.mechanics.batch import Floats
from trimkit.mechanics.profile import steel_profile
from trimkit.parts.components import Material, TipKind
from trimkit.parts.errors import ModelError
from trimkit.parts.sources import Source, Standing
from trimkit.trim.bore import BoreChoice
from trimkit.trim.plan import TrimPlan

if TYPE_CHECKING:
    import pandas as pd

HALF_WIDTH_IN_SD = 2.0
"""Standard deviations in the half-width of a tolerance: chosen here, so that about 95 % stay within it."""
_ROOM_IN_SD = 6.0
_WALL_STEP = 0.01

_RULER = Source("half a division of a ruler in sixteenths of an inch", Standing.FROM_MEMORY)
_SCALE = Source("a bench scale that shows whole grams", Standing.FROM_MEMORY)
_DEMO = Source("a figure chosen here for the demo; set your shop's own", Standing.INVENTED)


@dataclass(frozen=True)
class Tolerances:
    """Half-widths (plus or minus) that a bench keeps to; :data:`TOLERANCE_SOURCES` says where the usual ones come from.

    tip_trim_in: of the tip cut. cut_length_in: of the cut length, measured from the cut tip. bbgl_in: of measuring the
    bore, which enters both cuts. head_mass_g: of the head with its weights. shaft_mass_percent: from shaft to shaft at
    the same stiffness. wall_percent: of a steel tube's wall at the same outer diameters; 0 for shafts that were weighed
    one by one; ignored for graphite. ei_percent: of stiffness from shaft to shaft, for any other reason. clamp_in: of
    the depth in the clamp.

    Raises ModelError if one is not a finite number of 0 or more.
    """

    tip_trim_in: float = field(default=1 / 32, metadata={"source": _RULER})
    cut_length_in: float = field(default=1 / 32, metadata={"source": _RULER})
    bbgl_in: float = field(default=1 / 32, metadata={"source": _RULER})
    head_mass_g: float = field(default=0.5, metadata={"source": _SCALE})
    shaft_mass_percent: float = field(default=1.0, metadata={"source": _DEMO})
    wall_percent: float = field(default=1.0, metadata={"source": _DEMO})
    ei_percent: float = field(default=2.0, metadata={"source": _DEMO})
    clamp_in: float = field(default=1 / 32, metadata={"source": _RULER})

    def __post_init__(self) -> None:
        for name in TOLERANCES:
            value = getattr(self, name)
            if not (np.isfinite(value) and value >= 0):
                raise ModelError(f"tolerance {name} is {value}", "a finite number, 0 or more", "correct the tolerance")

    @property
    def sd(self) -> Floats:
        """Standard deviations in the order of :data:`TOLERANCES`, each in the unit of its name, shape (k,)."""
        return np.array([getattr(self, name) for name in TOLERANCES]) / HALF_WIDTH_IN_SD


TOLERANCES = tuple(each.name for each in fields(Tolerances))
"""The names of the tolerances, in order."""

TOLERANCE_SOURCES: Mapping[str, Source] = {each.name: each.metadata["source"] for each in fields(Tolerances)}
"""Where each usual tolerance comes from, and its standing."""


@dataclass(frozen=True)
class Scattered:
    """Planned clubs, and how the numbers of each follow the errors at the bench.

    cards: the clubs as planned. gains: for each number of a clamped club, and for ``ei_factor`` and ``mass_factor``
    (relative), the change per unit of each error, shape (n, k). sd: standard deviations of the errors, shape (k,).
    """

    plans: tuple[TrimPlan, ...]
    cards: tuple[BenchCard, ...]
    gains: Mapping[str, Floats]
    sd: Floats

    def frequencies_cpm(self, draws: Floats) -> Floats:
        """Return cpm, shape (..., n), for errors counted in standard deviations: draws of shape (..., n, k)."""
        moved = {name: np.einsum("...nk,nk->...n", draws, gain * self.sd) for name, gain in self.gains.items()}
        ei, mass = 1 + moved.pop("ei_factor"), 1 + moved.pop("mass_factor")
        return frequencies_cpm(self.cards, moved, ei_factor=ei, mass_factor=mass)


def scattered(
    plans: Iterable[TrimPlan],
    tolerances: Tolerances | None = None,
    assembly: Assembly | Sequence[Assembly] | None = None,
) -> Scattered:
    """Return planned clubs and how errors at the bench move them.

    tolerances: None for the usual ones. assembly: one for all clubs, or one for each. If a head's BBGL is measured too
    large, more is trimmed off the tip (where the plan corrects for the bore) and the cut length is shorter. Raises
    ModelError if there is no club, or if an error of six standard deviations would make a tip trim negative or leave
    too little tip for the bore.
    """
    plans, tolerances = tuple(plans), tolerances or Tolerances()
    if not plans:
        raise ModelError("no club", "one club or more", "plan a set first")
    each = assembly if isinstance(assembly, Sequence) else [assembly] * len(plans)
    cards = tuple(card_of(plan, own) for plan, own in zip(plans, each, strict=True))
    names = ("tip_trim_in", "cut_length_in", "head_mass_g", "clamp_in", "ei_factor", "mass_factor")
    gains = {name: np.zeros((len(plans), len(TOLERANCES))) for name in names}
    column = {name: k for k, name in enumerate(TOLERANCES)}
    for n, plan in enumerate(plans):
        trimmed = plan.tip_trim_in > 0
        # An error at the butt end counts as an error of the clamp: it changes the free length by the same amount.
        gains["clamp_in"][n, column["cut_length_in"]] = -1
        gains["clamp_in"][n, column["clamp_in"]] = 1
        if trimmed:
            for name, gain in (("tip_trim_in", 1), ("cut_length_in", -1), ("clamp_in", -1)):
                gains[name][n, column["tip_trim_in"]] = gain
        if trimmed and plan.wanted.shaft.tip_kind is TipKind.PARALLEL and _corrected(plan):
            for name, gain in (("tip_trim_in", 1), ("cut_length_in", -1)):
                gains[name][n, column["bbgl_in"]] = gain
        else:
            gains["clamp_in"][n, column["bbgl_in"]] = 1
        gains["head_mass_g"][n, column["head_mass_g"]] = 1
        gains["mass_factor"][n, column["shaft_mass_percent"]] = 0.01
        gains["ei_factor"][n, column["ei_percent"]] = 0.01
    for name, exponent in zip(("ei_factor", "mass_factor"), _wall_exponents(cards), strict=True):
        gains[name][:, column["wall_percent"]] = 0.01 * exponent
    made = Scattered(plans, cards, gains, tolerances.sd)
    _refuse_no_room(made)
    return made


def _corrected(plan: TrimPlan) -> bool:
    return plan.wanted.decisions.bore is not BoreChoice.LEAVE and plan.bbgl_uncorrected_in == 0


def _wall_exponents(cards: Sequence[BenchCard]) -> tuple[Floats, Floats]:
    """Return, for each club, the exponents of wall in EI and in mass, as one factor each for the whole shaft.

    With them mass and frequency change, to first order, as they do when every section's wall gets thicker.
    """
    ei, mass = np.zeros(len(cards)), np.zeros(len(cards))
    steel = [n for n, card in enumerate(cards) if card.wanted.shaft.material is Material.STEEL]
    if not steel:
        return ei, mass
    step, walls = _WALL_STEP, []
    for sign in (-1, 1):
        by_shaft = {}
        for n in steel:
            shaft, length = cards[n].wanted.shaft, cards[n].described_length_in
            by_shaft[shaft, length] = steel_profile(
                sections_at_raw_length(shaft, length),
                wall_factor=profile_of(shaft, length).scale_factor * (1 + sign * step),
                tip_section_in=cards[n].profile.tip_section_in,
            )
        walls.append([by_shaft[cards[n].wanted.shaft, cards[n].described_length_in] for n in steel])
    thin, thick = walls
    mass[steel] = [
        float(np.log(b.mass_g / a.mass_g) / np.log((1 + step) / (1 - step))) for a, b in zip(thin, thick, strict=True)
    ]

    def slope(low: Floats, high: Floats) -> Floats:
        return np.asarray(np.log(high / low) / np.log((1 + step) / (1 - step)))

    own, both = [cards[n] for n in steel], np.array([[1 - step], [1 + step]])
    calibrated = [card.wanted.shaft.ei_factor for card in own]
    by_wall = slope(*(frequencies_cpm(own, profiles=profiles, ei_factor=calibrated) for profiles in walls))
    by_ei = slope(*frequencies_cpm(own, ei_factor=both))
    by_mass = slope(*frequencies_cpm(own, mass_factor=both))
    ei[steel] = (by_wall - mass[steel] * by_mass) / by_ei
    return ei, mass


def _refuse_no_room(made: Scattered) -> None:
    error = _ROOM_IN_SD * np.sqrt(((made.gains["tip_trim_in"] * made.sd) ** 2).sum(axis=1))
    for card, most in zip(made.cards, error, strict=True):
        left = card.profile.tip_section_in - card.tip_trim_in - card.wanted.head.bore_depth_in
        for room, what in ((card.tip_trim_in, "its tip trim"), (left, "the parallel tip beyond its bore")):
            if most > room + 1e-9:
                raise ModelError(
                    f"the {card.club}: {what} is {room:.3f} in, and the errors of cut and bore reach {most:.3f} in",
                    "errors that leave a cut of 0 in or more, and a bore that is filled",
                    "state smaller tolerances of tip trim and BBGL, or choose another cut",
                )


@dataclass(frozen=True, eq=False)
class Budget:
    """What each tolerance does to each club, to first order: n clubs, k tolerances.

    frequency_cpm: as planned, shape (n,). effect_cpm: of one standard deviation of each error, shape (n, k);
    + stiffer.
    """

    clubs: tuple[str, ...]
    tolerances: tuple[str, ...]
    half_widths: tuple[float, ...]
    frequency_cpm: Floats
    effect_cpm: Floats

    @property
    def variance_cpm2(self) -> Floats:
        """Variance of each club's frequency, cpm^2, shape (n,): the sum of squared effects."""
        return np.asarray((self.effect_cpm**2).sum(axis=1))

    @property
    def sd_cpm(self) -> Floats:
        """Standard deviation of each club's frequency, cpm, shape (n,)."""
        return np.sqrt(self.variance_cpm2)

    @property
    def share(self) -> Floats:
        """Fraction of each club's variance due to each tolerance, 0 to 1, shape (n, k); 0 where nothing varies."""
        total = self.variance_cpm2[:, None]
        return np.divide(self.effect_cpm**2, total, out=np.zeros(self.effect_cpm.shape), where=total > 0)

    @property
    def ranking(self) -> tuple[tuple[str, float], ...]:
        """The tolerances with their fraction of the whole set's variance (0 to 1), largest first."""
        whole = (self.effect_cpm**2).sum(axis=0)
        part = whole / whole.sum() if whole.sum() > 0 else whole
        return tuple(sorted(zip(self.tolerances, part.tolist(), strict=True), key=lambda each: -each[1]))


def first_order(
    plans: Iterable[TrimPlan],
    tolerances: Tolerances | None = None,
    assembly: Assembly | Sequence[Assembly] | None = None,
) -> Budget:
    """Answer which tolerance matters most, and how far each club's frequency spreads.

    sd^2 = sum over tolerances of (df/dx sd_x)^2, the law of propagation for independent errors (GUM, JCGM 100:2008,
    equation 10), df/dx by central differences over one standard deviation. Raises ModelError as :func:`scattered`.
    """
    tolerances = tolerances or Tolerances()
    made = scattered(plans, tolerances, assembly)
    n, k = len(made.plans), len(TOLERANCES)
    ways = np.eye(k)[:, None, :] * np.ones((1, n, 1))
    high, low = made.frequencies_cpm(np.stack([ways, -ways]))
    planned = made.frequencies_cpm(np.zeros((n, k)))
    half_widths = tuple(float(getattr(tolerances, name)) for name in TOLERANCES)
    return Budget(tuple(plan.club for plan in made.plans), TOLERANCES, half_widths, planned, ((high - low) / 2).T)


def contributions_table(budget: Budget) -> pd.DataFrame:
    """Return the budget, one row per club and tolerance: half-width in its own unit, effect (cpm), variance.

    effect_of_one_sd_cpm is signed; share_percent is of that club's variance; standing as :data:`TOLERANCE_SOURCES`.
    """
    import pandas as pd

    rows = [
        {
            "club": club,
            "tolerance": name,
            "half_width": half_width,
            "effect_of_one_sd_cpm": budget.effect_cpm[n, k],
            "variance_cpm2": budget.effect_cpm[n, k] ** 2,
            "share_percent": 100 * budget.share[n, k],
            "usual_value": str(TOLERANCE_SOURCES[name]),
        }
        for n, club in enumerate(budget.clubs)
        for k, (name, half_width) in enumerate(zip(budget.tolerances, budget.half_widths, strict=True))
    ]
    return pd.DataFrame(rows).set_index(["club", "tolerance"])
