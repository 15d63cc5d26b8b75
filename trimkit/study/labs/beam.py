"""Lab: the shaft as a beam. Its stiffness along its length, and how it bends under a hung weight or in its swing."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.patches import Polygon, Rectangle
from scipy import constants

from trimkit.club.club import ClubBuild
from trimkit.club.order.order import shipped_order
from trimkit.club.profiles import profile_of
from trimkit.club.set import build_set
from trimkit.mechanics.batch import Floats
from trimkit.mechanics.beam import first_shape, tip_deflection
from trimkit.mechanics.clamped import ClampedClub
from trimkit.mechanics.profile import Profile, cut_butt, cut_tip
from trimkit.parts.units import MM_PER_IN, both_units, signed
from trimkit.study.figures.clubdrawing import BLADE
from trimkit.study.frame.clubreadouts import to_cut
from trimkit.study.frame.controls import Choice, Slider
from trimkit.study.frame.lab import Lab
from trimkit.study.frame.overlay import Live, Scene
from trimkit.study.frame.readout import Readout
from trimkit.study.frame.style import NOW, REFERENCE, styled_figure

CLUB = "7-iron"
HUNG, SWING = "hung weight", "first swing"
RAW_IN = 42.0
DEEPEST_IN = 4.4
WEIGHT_G_PER_IN = 2000.0
"""How much of a hung weight is an inch of its height in the picture, g."""
HOSEL_WIDTH_IN = 0.5
NEWTON_PER_G = constants.g * 1e-3


@dataclass(frozen=True)
class BeamParams:
    """tip_trim_in, butt_trim_in: cut off, in. load_g: mass hung on the tip, g. bends: by which the shaft bends."""

    tip_trim_in: float
    butt_trim_in: float
    load_g: float
    bends: str


@dataclass(frozen=True, eq=False)
class BentShaft:
    """A cut shaft in the clamp.

    shaft: what is left. bbgl_in: of the head, in. cap_in: of the grip, in. clamp_in: of bare butt inside the clamp, in.
    deflection_in: of its tip under the load, in. frequency_cpm: with the head. hung, swing: places from the cap end
    (in) and how far it lies below its straight place there (in), under the hung weight and at the turning point of its
    first swing, drawn as 1 in at the hosel.
    """

    params: BeamParams
    shaft: Profile
    bbgl_in: float
    cap_in: float
    clamp_in: float
    deflection_in: float
    frequency_cpm: float
    hung: tuple[Floats, Floats]
    swing: tuple[Floats, Floats]

    @property
    def length_in(self) -> float:
        """Length of the cut shaft, in."""
        return float(self.shaft.length_in)

    @property
    def tip_ei_n_m2(self) -> float:
        """Bending stiffness at the cut tip, N m^2."""
        return float(self.shaft.ei_at(0.0))

    @property
    def clamp_ei_n_m2(self) -> float:
        """Bending stiffness where the clamp begins, N m^2."""
        return float(self.shaft.ei_at(self.length_in - self.clamp_in))

    @property
    def stairs(self) -> tuple[Floats, Floats]:
        """Stiffness along the shaft as a line: places from the cap end (in), N m^2."""
        edges = self.length_in + self.cap_in - np.repeat(self.shaft.edges_in, 2)[1:-1]
        return edges, np.column_stack((self.shaft.ei_low_n_m2, self.shaft.ei_high_n_m2)).ravel()

    def tube(self, bent: tuple[Floats, Floats]) -> Floats:
        """Outline of the bent shaft: places from the cap end (in) and how far down (in), round it, (n, 2).

        bent: ``hung`` or ``swing``. The tube is as wide as it is; below the hosel's top it is not drawn.
        """
        from_cap = self.length_in + self.cap_in - self.shaft.edges_in
        low = np.minimum(np.repeat(from_cap, 2)[1:-1], bent[0][0])
        half = np.column_stack((self.shaft.outer_low_in, self.shaft.outer_high_in)).ravel() / 2
        along = np.concatenate([np.linspace(a, b, 9) for a, b in low.reshape(-1, 2)])
        half = np.concatenate([np.linspace(a, b, 9) for a, b in half.reshape(-1, 2)])
        down = np.interp(along, bent[0][::-1], bent[1][::-1])
        upper, lower = np.column_stack((along, down - half)), np.column_stack((along, down + half))
        return np.concatenate((upper, lower[::-1]))


def bend(start: ClubBuild, params: BeamParams) -> BentShaft:
    """Answer how the raw shaft of ``start``, cut as asked, bends in that club's clamp; raises ModelError as it does.

    The hung weight acts on the bare shaft's tip; in the swing the shaft has the club's head.
    """
    wanted, assembly = start.plan.wanted, start.assembly
    raw = profile_of(wanted.shaft, start.plan.raw_length_in)
    left = cut_butt(cut_tip(raw, params.tip_trim_in), params.butt_trim_in)
    cap, length = wanted.grip.cap_thickness_in, float(left.length_in)
    clamp, force = assembly.clamp_in - cap, params.load_g * NEWTON_PER_G
    headed: ClampedClub = {
        "tip_trim_in": 0.0,
        "cut_length_in": length,
        "bbgl_in": wanted.bbgl_in,
        "bore_depth_in": wanted.head.bore_depth_in,
        "cap_thickness_in": cap,
        "head_mass_g": wanted.head.head_mass_g + assembly.tip_weight_g,
        "cg_height_in": wanted.head.cg_height_in,
        "inertia_g_cm2": wanted.head.inertia_g_cm2,
        "clamp_in": assembly.clamp_in,
    }
    swing, hung = first_shape(left, **headed), tip_deflection(left, force_n=force, clamp_in=clamp)
    return BentShaft(
        params=params,
        shaft=left,
        bbgl_in=wanted.bbgl_in,
        cap_in=cap,
        clamp_in=clamp,
        deflection_in=float(hung.deflection_in),
        frequency_cpm=float(swing.frequency_cpm),
        hung=(length + cap - hung.from_tip_in, hung.along_in),
        swing=(length + cap - swing.from_tip_in, swing.deflection),
    )


def beam_readouts(now: BentShaft) -> tuple[Readout, ...]:
    """Return the readouts of a bent shaft."""
    inches = now.deflection_in
    return (
        Readout("tip deflection", inches, "in", 2, f"{inches:.2f} in ({inches * MM_PER_IN:.1f} mm)"),
        Readout("frequency, head on", now.frequency_cpm, "cpm", 1),
        Readout("EI at the tip", now.tip_ei_n_m2, "N m²", 1),
        Readout("EI at the clamp", now.clamp_ei_n_m2, "N m²", 1),
        to_cut("cut length", now.length_in),
    )


def _axes(stairs: Axes, bent: Axes, clamp_in: float) -> None:
    for axes in (stairs, bent):
        axes.set_xlim(RAW_IN + 2.2, -0.6)
        axes.axvspan(0, clamp_in, color="#999999", alpha=0.35, linewidth=0)
        axes.axvline(clamp_in, color="#333333", linewidth=1.5)
    stairs.set(ylim=(0, 103), ylabel="EI (N m²)")
    stairs.tick_params(labelbottom=False)
    stairs.text(clamp_in / 2, 8, "clamp", ha="center", fontsize=12)
    bent.set(ylim=(DEEPEST_IN, -0.35), ylabel="bent down (in)", xlabel="distance from the cap end (in)")
    bent.axhline(0, color="#333333", linewidth=1.0)


def _scene(clamp_in: float, reference: BentShaft) -> Scene:
    with styled_figure() as figure:
        stairs, bent = figure.subplots(2, 1, height_ratios=(1.0, 1.15))
        _axes(stairs, bent, clamp_in)
        ghost = REFERENCE.line()
        stairs.plot(*reference.stairs, **ghost)
        stairs.plot([], [], **NOW.line(), label="now")
        stairs.plot([], [], **ghost, label="before")
        stairs.legend(loc="upper left", fontsize=12, frameon=False, ncols=2, borderaxespad=0.1)
        live: Live = {
            "before": bent.plot([], [], **ghost)[0],
            "stairs": stairs.plot([], [], **NOW.line())[0],
            "tube": bent.add_patch(Polygon([(0, 0)], facecolor="#DCEAF4", edgecolor=NOW.colour, linewidth=1.2)),
            "steps": bent.vlines([], 0, 0, color="#333333", linewidth=1.0),
            "head": bent.add_patch(Polygon([(0, 0)], facecolor="#B9D4E8", edgecolor=NOW.colour, linewidth=1.2)),
            "weight": bent.add_patch(Rectangle((0, 0), 0, 0, facecolor="#777777", edgecolor="#333333")),
            "string": bent.plot([], [], color="#333333", linewidth=1.2)[0],
            "bent": bent.plot([], [], color=NOW.colour, linewidth=1.0)[0],
            "said": bent.text(0, 0, "", color=NOW.colour, fontsize=12, va="center", ha="left", fontweight="bold"),
            "by": bent.text(5.6, DEEPEST_IN - 0.15, "", fontsize=12, color="#333333", va="bottom", ha="right"),
        }
    return Scene(figure, live)


def _draw(live: Live, now: BentShaft, reference: BentShaft) -> None:
    live["stairs"].set(data=now.stairs)
    hung = now.params.bends == HUNG
    bent = now.hung if hung else now.swing
    end, deep = float(bent[0][0]), float(bent[1][0])
    live["before"].set(data=reference.hung if hung else reference.swing)
    live["bent"].set(data=bent)
    outline = now.tube(bent)
    live["tube"].set(xy=outline)
    steps = [at for at in range(9, len(outline) // 2, 9) if outline[at, 0] < end]
    live["steps"].set(segments=[[outline[at], outline[-1 - at]] for at in steps])
    high = now.params.load_g / WEIGHT_G_PER_IN
    live["weight"].set(bounds=(end - 0.8, deep + 0.45, 1.6, high), visible=hung)
    live["string"].set(data=([end, end], [deep, deep + 0.45]), visible=hung)
    live["head"].set(xy=_head(now), visible=not hung)
    live["said"].set(position=(end - 1.6, deep + 0.8))
    if hung:
        live["said"].set(text=f"{now.deflection_in:.2f} in")
        live["by"].set(text=f"bare shaft, {now.params.load_g:.0f} g on its tip")
    else:
        live["said"].set(text=f"{now.frequency_cpm:.1f} cpm")
        live["by"].set(text="head on, swing drawn as 1 in")


def _head(now: BentShaft) -> Floats:
    """Outline of the head at the end of the first swing: a sketch, tilted as the shaft is there."""
    places, down = now.swing
    slope = (down[0] - down[1]) / (places[0] - places[1])
    bore = now.length_in + now.cap_in - places[0]
    sole = places[0] + bore + now.bbgl_in
    hosel = [(bore + now.bbgl_in, 0.5), *BLADE, (bore + now.bbgl_in, -0.5)]
    along, across = np.transpose(hosel)
    at = sole - along
    return np.column_stack((at, down[0] + slope * (at - places[0]) - across * HOSEL_WIDTH_IN))


def _describe(now: BentShaft, reference: BentShaft) -> str:
    params, more = now.params, now.deflection_in - reference.deflection_in
    cuts = f"{both_units(params.tip_trim_in)} off the tip and {both_units(params.butt_trim_in)} off the butt"
    return (
        f"With {cuts}, the cut length is {both_units(now.length_in)}; "
        f"{params.load_g:.0f} g on the tip bends it by {now.deflection_in:.2f} in "
        f"({now.deflection_in * MM_PER_IN:.1f} mm), {signed(more, 2)} in compared with before. "
        f"With the head on, it swings at {now.frequency_cpm:.1f} cpm, "
        f"{signed(now.frequency_cpm - reference.frequency_cpm, 1)} cpm."
    )


def shaft_beam_lab() -> Lab[BeamParams, BentShaft]:
    """Return the lab on the shaft as a beam: the demo set's 7-iron shaft, its two cuts, and what bends it."""
    start = build_set(shipped_order()).club(CLUB)
    return Lab(
        title="Bending stiffness along a shaft, and the shaft bent",
        controls=(
            Slider(
                "tip_trim_in",
                "tip trim",
                "in",
                0.0,
                6.0,
                0.125,
                start.plan.tip_trim_in,
                on_page=(0.0, 1.0, 2.0, 3.0, 3.5, 4.0, 4.5, 5.0, 5.5, 6.0),
            ),
            Slider(
                "butt_trim_in",
                "butt trim",
                "in",
                0.0,
                4.0,
                0.1,
                round(start.plan.butt_trim_in, 9),
                on_page=(0.0, 0.1, 0.6, 1.1, 1.6, 2.1, 2.6, 3.1, 3.6, 4.0),
            ),
            Slider("load_g", "hung weight", "g", 200.0, 1500.0, 50.0, 1000.0, on_page=(500.0, 1000.0)),
            Choice("bends", "Bent by", (HUNG, SWING), HUNG),
        ),
        params=BeamParams,
        compute=partial(bend, start),
        build=partial(_scene, start.assembly.clamp_in),
        draw=_draw,
        read=beam_readouts,
        describe=_describe,
    )


def lesson_shaft() -> BentShaft:
    """Return the shaft the lab begins with: that of the demo set's 7-iron as planned, 1000 g on its tip."""
    start = build_set(shipped_order()).club(CLUB)
    return bend(start, BeamParams(start.plan.tip_trim_in, start.plan.butt_trim_in, 1000.0, HUNG))


def thirds_table() -> pd.DataFrame:
    """Return how far the lab shaft's tip drops with a third, two thirds and all of its free length out of the clamp.

    What sticks out is what bends, so each row's drop less that of the row above is what the third at the clamp does.
    Beside its share (whole percent) that of a tube that is the same all along: the drop is F L^3 / (3 E I), any
    textbook on strength of materials.
    """
    shaft = lesson_shaft()
    out = (shaft.length_in - shaft.clamp_in) * np.array([1, 2, 3]) / 3
    force = shaft.params.load_g * NEWTON_PER_G
    drops = [tip_deflection(shaft.shaft, force_n=force, clamp_in=shaft.length_in - each).deflection_in for each in out]
    drop_mm = MM_PER_IN * np.array(drops, dtype=float)
    return pd.DataFrame(
        {
            "the tip drops (mm)": drop_mm,
            "this third adds (mm)": np.diff(drop_mm, prepend=0.0),
            "share of the whole (%)": _shares(drop_mm),
            "in a plain tube (%)": _shares(out**3),
        },
        index=pd.Index([f"{each:.1f}" for each in out], name="sticking out (in)"),
    )


def _shares(drops: Floats) -> list[int]:
    """What each drop adds to the one before it, in whole percent of the last."""
    return [round(share) for share in 100 * np.diff(drops, prepend=0.0) / drops[-1]]
