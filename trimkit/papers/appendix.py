"""What the sheet's numbers are based on: assumptions in sentences, and every stated figure with unit and standing."""

from __future__ import annotations

from dataclasses import dataclass

from trimkit.check.consistency import CHOSEN_HERE, CheckTolerances
from trimkit.club.set import SetBuild
from trimkit.club.shoptables import SHOP_LIMIT, ShopFile
from trimkit.club.swingweight import swingweight_tolerance
from trimkit.mechanics.tube import STEEL_YOUNGS_MODULUS_PA
from trimkit.papers.cautions import CAUTION_SOURCE
from trimkit.papers.equipmentrules import NEAR_IN
from trimkit.parts.components import STEEL_DENSITY_KG_M3, HeadKind, Material
from trimkit.parts.sources import Source, Standing
from trimkit.parts.units import MM_PER_IN, ruled, say_number

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
    "flex": "where the club lies on its own shaft's flexes, by its frequency: the same club cut to each of them is the "
    "scale",
    "cpm": "cycles per minute: how often the clamped club swings to and fro; a higher number means stiffer",
    "swingweight": "how heavy the head feels in the swing, a letter and a number; A is light, later letters heavier",
    "MOI": "moment of inertia about the end of the grip: how hard it is to start the club turning",
}

_IN_SHOP = "the shop's own"
TRIMS_AS = "trims as"
SOFT_STEP = "soft step"


def words(built: SetBuild) -> dict[str, str]:
    """Return the words of the sheet with their meanings, those of a kind of club or shaft only where there is one."""
    between = next((club.plan.equivalent for club in built.clubs if club.plan.equivalent.fraction), None)
    found = dict(WORDS)
    several: tuple[str, ...] = next(
        (club.plan.wanted.shaft.flexes for club in built.clubs if len(club.plan.wanted.shaft.flexes) > 1), ()
    )
    if several:
        softer, stiffer = several[-2:]
        found["flex"] += f"; {softer}/{stiffer} 0.20 is 0.20 of the way from {softer} to {stiffer}"
    found["flex"] += "; outside the flexes it is told in cpm from the nearest"
    if between is not None:
        found[TRIMS_AS] = (
            f"the club whose row of the cutting table is used; a {between} is {say_number(between.fraction, 2)} of the "
            f"way from the {between.longer} to the {between.shorter}"
        )
    if any(club.plan.wanted.soft_steps for club in built.clubs):
        found[SOFT_STEP] = "a taper-tip shaft made for the next longer club; hard step: for the next shorter one"
    return found


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
    order, said = built.order, built.order.said_of_assembly
    own = ShopFile() if order.shop is None else order.shop
    materials = {club.plan.wanted.shaft.material for club in built.clubs if club.predicted is not None}
    spring = order.assembly.root_spring_n_m_per_rad
    measured = own.clamp.root_compliance_rad_per_n_m is not None and "root_spring_n_m_per_rad" not in said
    if spring is not None:
        by = f"{_IN_SHOP}, below" if measured else "from the order"
        clamp = f"a clamp that yields {spring:g} N m per radian ({by})"
    elif measured:
        clamp = f"a rigid clamp ({_IN_SHOP}, below)"
    else:
        clamp = "a rigid clamp; a shop's clamp yields a little and reads lower"
    length_from = "from memory, unverified"
    if own.clamp.clamp_in is not None:
        length_from = "from the order" if "clamp_in" in said else f"{_IN_SHOP}, below"
    by_shop = [name.removesuffix("_mass_g") for name, mass in own.usual if mass is not None and name not in said]
    masses_from = "from the order" + (f"; {_IN_SHOP}: {', '.join(by_shop)}" if by_shop else "")
    shafts = {
        Material.STEEL: f"Steel: E = {STEEL_YOUNGS_MODULUS_PA / 1e6:.0f} N/mm² (EN 1993-1-1), density "
        f"{STEEL_DENSITY_KG_M3:.0f} kg/m³ (constructional steel tables); wall thickness scaled so that the shaft has "
        "its measured mass.",
        Material.GRAPHITE: "Graphite: stiffness and mass along the shaft from its stations in the data, mass scaled so "
        "that the shaft has its measured mass.",
    }
    lines = [
        f"Frequency: shaft clamped over {order.assembly.clamp_in:g} in from the cap end ({length_from}), {clamp}.",
        *(text for material, text in shafts.items() if material in materials),
        "Left out: shear, torsion from the heel-toe offset of the head's center of mass, damping, gravity, and "
        "the compliance of hosel and grip.",
        "There is no published standard for shaft flex: the letters are from each shaft's own schedule.",
        "Swingweight: fulcrum 14 in from the cap end, D0 at 213.5 oz in, 1.75 oz in a point (from memory, unverified).",
        f"Also in each club: ferrule {order.assembly.ferrule_mass_g:g} g, tape {order.assembly.tape_mass_g:g} g, "
        f"epoxy {order.assembly.epoxy_mass_g:g} g, {_say_tip_weights(built)} ({masses_from}; 0 "
        "where it was not weighed).",
    ]
    return (*lines, *_wishes(built))


def _wishes(built: SetBuild) -> list[str]:
    """Return each swingweight that is wanted with its clubs, and what those need that are further off than allowed."""
    clubs: dict[str, list[str]] = {}
    for club in built.clubs:
        if (need := club.need) is not None:
            more = f" ({need.said})" if need.beyond_tolerance else ""
            clubs.setdefault(need.wanted, []).append(f"{club.plan.club} {club.swingweight}{more}")
    tolerance = swingweight_tolerance(built.order.shop)
    points = (
        f"{tolerance.points:g} {'point' if tolerance.points == 1 else 'points'} ({tolerance.source.standing.value})"
    )
    return [
        f"Wanted swingweight: {wanted}, give or take {points}. {'; '.join(each)}." for wanted, each in clubs.items()
    ]


def _say_tip_weights(built: SetBuild) -> str:
    weights: dict[float, list[str]] = {}
    for club in built.clubs:
        weights.setdefault(club.assembly.tip_weight_g, []).append(club.plan.club)
    said = ", ".join(f"{weight:g} g ({', '.join(names)})" for weight, names in weights.items())
    return f"tip weight {next(iter(weights)):g} g" if len(weights) == 1 else f"tip weight {said}"


def both(length_in: float) -> str:
    """Return a length by the ruler and in millimetres."""
    return f"{ruled(length_in)} ({length_in * MM_PER_IN:.2f} mm)"


def shop_figures(built: SetBuild) -> tuple[StatedFigure, ...]:
    """Return what the shop's own file adds to the figures of a set: its clamp, its calibrated shafts, its limits.

    What the order decides in its place is left out, and so are shafts that the set does not have.
    """
    order = built.order
    if (shop := order.shop) is None:
        return ()
    clamp, limits, said = shop.clamp, shop.tolerances, order.said_of_assembly
    found = []
    if clamp.clamp_in is not None and "clamp_in" not in said:
        found.append(StatedFigure("clamp of the frequency machine", both(clamp.clamp_in), shop.clamp_source))
    if (gives := clamp.root_compliance_rad_per_n_m) is not None and "root_spring_n_m_per_rad" not in said:
        spread = clamp.root_compliance_sd_rad_per_n_m
        value = f"{gives * 1e3:g}" + (f" ± {spread * 1e3:g}" if spread else "") + " mrad per N m"
        found.append(StatedFigure("the same: how far it gives", value, shop.clamp_source))
    used = {club.plan.wanted.shaft.name for club in built.clubs}
    found += [
        StatedFigure(f"stiffness of {each.shaft}, beside its description", each.factor_words, each.source)
        for each in shop.calibrated
        if each.shaft in used
    ]
    rows = (
        ("playing length", limits.playing_length_in, both),
        ("frequency", limits.frequency_cpm, lambda cpm: f"{cpm:g} cpm"),
        ("swingweight", limits.swingweight_points, lambda points: f"{points:g} points"),
        ("total mass", limits.total_mass_g, lambda grams: f"{grams:g} g"),
    )
    found += [
        StatedFigure(f"finished club: {what} off", say(limit), SHOP_LIMIT)
        for what, limit, say in rows
        if limit is not None
    ]
    return tuple(found)


def stated_figures(built: SetBuild, tolerances: CheckTolerances) -> tuple[StatedFigure, ...]:
    """Return every tolerance and every figure of bench practice that was used, with unit and standing.

    A figure that only tape, an extension or a hybrid needs is left out where there is none.
    """
    practice = built.clubs[0].plan.wanted.practice

    def of_bench(what: str, name: str) -> StatedFigure:
        return StatedFigure(what, both(getattr(practice, name)), practice.source(name))

    plans = [club.plan for club in built.clubs]
    tape, extended = any(plan.tape_layers for plan in plans), any(plan.extension_in for plan in plans)
    used = {
        "the same, a hybrid": any(plan.wanted.head.kind is HeadKind.HYBRID for plan in plans),
        "build-up tape, one layer": tape,
        "most to build up under a grip, in diameter": tape,
        "longest extension": extended,
        "an extension reaches into the shaft": extended,
    }
    figures = (
        StatedFigure("double check: a club off the set's line", f"{tolerances.frequency_cpm:g} cpm", tolerances.source),
        StatedFigure("double check: a cut or a sum of lengths off", both(tolerances.cut_in), CHOSEN_HERE),
        StatedFigure("double check: head off its rung of the ladder", f"{tolerances.rungs:g} rungs", CHOSEN_HERE),
        StatedFigure("the same, a hybrid", f"{tolerances.hybrid_rungs:g} rungs", CHOSEN_HERE),
        StatedFigure(
            "double check: raw shaft off its mass",
            f"{say_number(100 * tolerances.raw_mass_fraction, 1)} %",
            CHOSEN_HERE,
        ),
        StatedFigure("double check: a schedule row off its neighbors", both(tolerances.schedule_in), CHOSEN_HERE),
        of_bench("build-up tape, one layer", "tape_thickness_in"),
        of_bench("most to build up under a grip, in diameter", "most_build_up_in"),
        of_bench("a caliper's last digit", "caliper_in"),
        of_bench("bore this much wider than the tip: next size", "widest_bore_in"),
        of_bench("longest extension", "longest_extension_in"),
        of_bench("an extension reaches into the shaft", "extension_insert_in"),
        of_bench("two measurements of one length differ", "measuring_error_in"),
        StatedFigure("Equipment Rules: near a limit", both(NEAR_IN), CHOSEN_HERE),
        *shop_figures(built),
        StatedFigure("cautions", "in words", CAUTION_SOURCE),
    )
    return tuple(figure for figure in figures if used.get(figure.what, True))
