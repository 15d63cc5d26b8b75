"""What the sheet's numbers are based on: assumptions in sentences, and every stated figure with unit and standing."""

from __future__ import annotations

from dataclasses import dataclass

from trimkit.check.consistency import CHOSEN_HERE, CheckTolerances
from trimkit.club.set import SetBuild
from trimkit.mechanics.tube import STEEL_YOUNGS_MODULUS_PA
from trimkit.papers.cautions import CAUTION_SOURCE
from trimkit.papers.equipmentrules import NEAR_IN
from trimkit.parts.components import STEEL_DENSITY_KG_M3, Material
from trimkit.parts.sources import Source, Standing
from trimkit.parts.units import MM_PER_IN, say_number
from trimkit.trim.practice import PRACTICE_SOURCE

STANDINGS = {
    Standing.PUBLISHED: "printed in a source that anyone can look up",
    Standing.MEASURED: "measured on the part in hand",
    Standing.CHOSEN: "decided by the client, the shop or the writers of this sheet",
    Standing.DERIVED: "follows by arithmetic or geometry from the others",
    Standing.OWN_DATA: "from the shop's own files",
    Standing.COMMON_PRACTICE: "what the trade commonly does; nobody has published why",
    Standing.FROM_MEMORY: "remembered, not looked up: check it before relying on it",
    Standing.INVENTED: "made up to show how the sheet works: never cut a real shaft by it",
}

WORDS = {
    "playing length": "from the end of the grip's cap to the ground, along the shaft, the club's sole on the ground",
    "cut length": "the bare shaft after both cuts",
    "tip trim, butt trim": "what comes off the thin end, which goes into the head; off the thick end, under the grip",
    "bore, BBGL": "the hole in the head that takes the shaft; bottom of bore to ground line: how far above the ground "
    "the shaft ends, along the shaft",
    "trims as": "the club whose row of the cutting table is used; a 2.37-iron is 0.37 of the way from the 2-iron to "
    "the 3-iron",
    "off the set's line": "how far a club's frequency is above or below the line through the whole set",
    "cpm": "cycles per minute: how often the clamped club swings to and fro; a higher number means stiffer",
    "swingweight": "how heavy the head feels in the swing, a letter and a number; A is light, later letters heavier",
    "MOI": "moment of inertia about the end of the grip: how hard it is to start the club turning",
    "soft step": "a taper-tip shaft made for the next longer club; hard step: for the next shorter one",
}


@dataclass(frozen=True)
class StatedFigure:
    """A figure that comes from neither a part nor the order: what it is, its value with the unit, and its source."""

    what: str
    value: str
    source: Source

    @property
    def rests_on(self) -> str:
        """Its source and standing in words; a source of what is chosen here already says so."""
        return self.source.text if self.source is CHOSEN_HERE else str(self.source)


def assumptions(built: SetBuild) -> tuple[str, ...]:
    """Return what the predictions assume, a sentence each."""
    order, first = built.order, built.clubs[0]
    spring = order.assembly.root_spring_n_m_per_rad
    clamp = (
        "a rigid clamp; a shop's clamp yields a little and reads lower"
        if spring is None
        else f"a clamp that yields {spring:g} N m per radian (from the order)"
    )
    if order.shaft.unknown:
        shaft = f"No prediction for shaft {order.shaft.name}: {order.shaft.unknown}. Its cuts are by the rules alone."
    elif order.shaft.material is Material.STEEL:
        shaft = (
            f"Steel: E = {STEEL_YOUNGS_MODULUS_PA / 1e6:.0f} N/mm² (EN 1993-1-1), density {STEEL_DENSITY_KG_M3:.0f} "
            "kg/m³ (constructional steel tables); wall thickness scaled so that the shaft has its measured mass."
        )
    else:
        shaft = (
            "Graphite: stiffness and mass along the shaft from its stations in the data, mass scaled so that the shaft "
            "has its measured mass."
        )
    lines = [
        f"Frequency: shaft clamped over {order.assembly.clamp_in:g} in from the cap end (from memory, unverified), "
        f"{clamp}.",
        shaft,
        "Left out: shear, torsion from the heel-toe offset of the head's centre of mass, damping, gravity, and "
        "the compliance of hosel and grip.",
        "There is no published standard for shaft flex: the letters are from this shaft's own schedule, for the "
        "same club, head and length.",
        "Swingweight: fulcrum 14 in from the cap end, D0 at 213.5 oz in, 1.75 oz in a point (from memory, unverified).",
        f"Also in each club: ferrule {order.assembly.ferrule_mass_g:g} g, tape {order.assembly.tape_mass_g:g} g, "
        f"epoxy {order.assembly.epoxy_mass_g:g} g, tip weight {order.assembly.tip_weight_g:g} g (from the order; 0 "
        "where it was not weighed).",
    ]
    if order.wanted_swingweight and first.predicted is None:
        lines.append(f"Wanted swingweight: {order.wanted_swingweight}; weigh the parts, none is predicted.")
    elif order.wanted_swingweight:
        lines.append(f"Wanted swingweight: {order.wanted_swingweight}; the {first.plan.club} is {first.swingweight}.")
    return tuple(lines)


def stated_figures(built: SetBuild, tolerances: CheckTolerances) -> tuple[StatedFigure, ...]:
    """Return every tolerance and every figure of bench practice that was used, with unit and standing."""
    practice = built.clubs[0].plan.wanted.practice

    def both(length_in: float) -> str:
        return f"{say_number(length_in, 4)} in ({length_in * MM_PER_IN:.2f} mm)"

    return (
        StatedFigure("double check: a club off the set's line", f"{tolerances.frequency_cpm:g} cpm", tolerances.source),
        StatedFigure("double check: a cut or a sum of lengths off", both(tolerances.cut_in), CHOSEN_HERE),
        StatedFigure("double check: head off its rung of the ladder", f"{tolerances.rungs:g} rungs", CHOSEN_HERE),
        StatedFigure("the same, a hybrid", f"{tolerances.hybrid_rungs:g} rungs", CHOSEN_HERE),
        StatedFigure(
            "double check: raw shaft off its mass",
            f"{say_number(100 * tolerances.raw_mass_fraction, 1)} %",
            CHOSEN_HERE,
        ),
        StatedFigure(
            "double check: a written swingweight off", f"{tolerances.swingweight_points:g} points", CHOSEN_HERE
        ),
        StatedFigure("double check: a schedule row off its neighbours", both(tolerances.schedule_in), CHOSEN_HERE),
        StatedFigure("build-up tape, one layer", both(practice.tape_thickness_in), PRACTICE_SOURCE),
        StatedFigure("most to build up under a grip, in diameter", both(practice.most_build_up_in), PRACTICE_SOURCE),
        StatedFigure("a caliper's last digit", both(practice.caliper_in), PRACTICE_SOURCE),
        StatedFigure("bore this much wider than the tip: next size", both(practice.widest_bore_in), PRACTICE_SOURCE),
        StatedFigure("longest extension", both(practice.longest_extension_in), PRACTICE_SOURCE),
        StatedFigure("an extension reaches into the shaft", both(practice.extension_insert_in), PRACTICE_SOURCE),
        StatedFigure("two measurements of one length differ", both(practice.measuring_error_in), PRACTICE_SOURCE),
        StatedFigure("Equipment Rules: near a limit", both(NEAR_IN), CHOSEN_HERE),
        StatedFigure("cautions", "in words", CAUTION_SOURCE),
    )
