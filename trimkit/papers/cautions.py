"""What can hurt someone at the bench, for the sheet; each lesson has the cautions for its own work.

These are reminders, not instructions for safe work: :data:`WHO_DECIDES` names what comes first.
Standing: common practice, no source.
"""

from __future__ import annotations

from enum import StrEnum

from trimkit.parts.components import Material
from trimkit.parts.sources import Source, Standing

CAUTION_SOURCE = Source("reminders of the bench", Standing.COMMON_PRACTICE)

WHO_DECIDES = (
    "These are reminders, not training. The makers' own instructions and safety data sheets, the rules of your "
    "workplace and, in a class, the person in charge come before this sheet. If you are not sure, ask first."
)


class Work(StrEnum):
    """The work that a caution belongs to; the value is its heading."""

    CUTTING = "Cutting"
    STEEL_DUST = "Steel dust"
    GRAPHITE_DUST = "Graphite dust"
    EPOXY = "Epoxy"
    HEAT = "Pulling a head with heat"
    TOO_FAR = "A shaft trimmed too far"


CAUTIONS = {
    Work.CUTTING: (
        "Wear eye protection with side shields for cutting, grinding and pulling. Keep the guards on the saw, hold the "
        "shaft in a clamp made for it, and tie back sleeves and hair."
    ),
    Work.STEEL_DUST: (
        "Sparks and hot chips fly: keep anything that burns away from the saw, and graphite dust out of the same "
        "extractor. The cut edge is sharp and hot: let it cool, then take off the burr."
    ),
    Work.GRAPHITE_DUST: (
        "Graphite dust harms lungs, eyes and skin: cut wet or with extraction, wear a respirator rated for it, wipe up "
        "wet, never blow it away."
    ),
    Work.EPOXY: (
        "Wear nitrile gloves and air the room. Before the first swing, let the epoxy cure for as long as its maker "
        "says."
    ),
    Work.HEAT: (
        "Wear heat-resistant gloves: nitrile melts. Heat in short passes and no hotter than needed, pull straight, "
        "away from people. Burning glue gives off fumes: air the room. Never heat graphite without control. Head and "
        "hosel stay hot for a long time."
    ),
    Work.TOO_FAR: (
        "A shaft trimmed beyond its maker's limit can break in the swing. Never cut further than the maker allows; "
        "what was cut off cannot be put back: mark such a shaft and do not play it."
    ),
}
"""The cautions, each for its work, in a beginner's words."""


IN_SHORT = {
    Work.CUTTING: "eye protection with side shields, guards on, shaft in its clamp.",
    Work.STEEL_DUST: "sparks fly; the cut edge is hot and sharp.",
    Work.GRAPHITE_DUST: "harms lungs: cut wet or with extraction, wear a respirator, never blow.",
    Work.EPOXY: "nitrile gloves, fresh air; let it cure before the first swing.",
    Work.HEAT: "heat-resistant gloves, short passes, fresh air.",
    Work.TOO_FAR: "can break in the swing: never past its maker's limit.",
}
"""The same in a few words, for the card beside the saw; the full ones are on the page behind it."""


def cautions_for(*materials: Material) -> dict[Work, str]:
    """Return the cautions for work on shafts of these materials, without those for another material's dust.

    Without a material: all of them.
    """
    dust = {Material.STEEL: Work.STEEL_DUST, Material.GRAPHITE: Work.GRAPHITE_DUST}
    left_out = {work for material, work in dust.items() if materials and material not in materials}
    return {work: text for work, text in CAUTIONS.items() if work not in left_out}
