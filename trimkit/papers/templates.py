"""Templates for a shop's own parts: each CSV file with an example in it, and an order that uses them.

The columns are those of the row models (``trimkit.parts.rows``), which check the examples too. All examples are
invented and called examples; they are there to be written over.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from trimkit.club.orderfile import toml_text
from trimkit.parts.components import FlexKind, HeadKind, Material, TipKind
from trimkit.parts.csvtext import csv_text
from trimkit.parts.errors import Place, SaveError
from trimkit.parts.rows import (
    TABLES,
    GripRow,
    HeadRow,
    LadderFileRow,
    RawLengthRow,
    Row,
    ScheduleFileRow,
    SectionRow,
    ShaftRow,
    StationRow,
)
from trimkit.parts.saving import save_texts

ORDER_FILE = "example_order.toml"
STEEL, TAPER, GRAPHITE = "example steel parallel", "example steel taper", "example graphite"
_HEAD, _GRIP, _LADDER, _CLUB = "example 7-iron head", "example grip", "example ladder", "7-iron"
_ABOUT = f"""\
# An example order. Everything here and in the CSV files beside it is invented: write your own measurements over it.
# The unit is at the end of a name: _in inches, _g grams. "37 1/2 in", "95.3 cm" and "9.4 oz" can be read too.
# Check everything:  trimkit check FOLDER         and then  trimkit check FOLDER/{ORDER_FILE} --data FOLDER
# Used beside the shipped parts (--own-parts FOLDER), the folder may lack any file that you do not need.
# Do not cut anything by an example. The makers' own instructions come first.

"""


def _steel(name: str, tip_in: float, length_in: float) -> list[SectionRow]:
    edges_in = (0.0, 11.5, 20.0, 30.0, length_in)
    outer_in = (tip_in, 0.44, 0.52, 0.6)
    return [
        SectionRow(shaft=name, from_tip_in=low, to_tip_in=high, outer_diameter_in=outer, wall_in=0.014)
        for low, high, outer in zip(edges_in, edges_in[1:], outer_in, strict=False)
    ]


def example_rows() -> dict[type[Row], list[Row]]:
    """Return the example rows of every data file by model: one part or line of each kind, lengths in in."""
    steel = {"material": Material.STEEL, "flex_kind": FlexKind.DISCRETE, "flexes": "R", "butt_diameter_in": 0.6}
    rows: Iterable[Row] = (
        HeadRow(
            head=_HEAD,
            kind=HeadKind.IRON,
            club=_CLUB,
            head_mass_g=265,
            bore_diameter_in=0.37,
            bore_depth_in=1.25,
            bbgl_in=1,
            cg_height_in=0.35,
            inertia_g_cm2=2500,
        ),
        ShaftRow.model_validate(
            steel
            | {"shaft": STEEL, "tip_kind": TipKind.PARALLEL, "tip_diameter_in": 0.37, "tip_section_in": 11.5}
            | {"raw_length_in": 41, "raw_mass_g": 112}
        ),
        ShaftRow.model_validate(
            steel
            | {"shaft": TAPER, "tip_kind": TipKind.TAPER, "tip_diameter_in": 0.355, "tip_section_in": 11.5}
            | {"raw_length_in": 38, "raw_mass_g": 102}
        ),
        ShaftRow.model_validate(
            steel
            | {"shaft": GRAPHITE, "tip_kind": TipKind.PARALLEL, "tip_diameter_in": 0.335, "tip_section_in": 5}
            | {"material": Material.GRAPHITE, "raw_length_in": 46, "raw_mass_g": 62}
        ),
        *_steel(STEEL, 0.37, 41),
        *_steel(TAPER, 0.355, 38),
        StationRow(shaft=GRAPHITE, from_tip_in=0, ei_n_m2=22, mass_g_per_m=55, outer_diameter_in=0.335),
        StationRow(shaft=GRAPHITE, from_tip_in=23, ei_n_m2=38, mass_g_per_m=52, outer_diameter_in=0.44),
        StationRow(shaft=GRAPHITE, from_tip_in=46, ei_n_m2=70, mass_g_per_m=52, outer_diameter_in=0.6),
        GripRow(
            grip=_GRIP,
            grip_mass_g=50,
            grip_length_in=10.5,
            core_diameter_in=0.6,
            cap_thickness_in=0.1,
            cg_from_cap_in=4,
        ),
        ScheduleFileRow(shaft=STEEL, flex="R", club=_CLUB, tip_trim_in=2, bbgl_reference_in=1),
        LadderFileRow(ladder=_LADDER, club=_CLUB, head_mass_g=265, playing_length_in=37),
        RawLengthRow(family=TAPER, club=_CLUB, raw_length_in=38),
    )
    return {model: [row for row in rows if isinstance(row, model)] for model in TABLES.values()}


def template_files() -> dict[str, str]:
    """Return the texts of the templates by file name: each CSV file with its examples, and the example order."""
    examples = example_rows()
    texts = {
        file: csv_text(
            list(model.model_fields), [[getattr(r, n) for n in model.model_fields] for r in examples[model]], file
        )
        for file, model in TABLES.items()
    }
    order = {
        "title": "Example order",
        "client": "example client",
        "shaft": STEEL,
        "grip": _GRIP,
        "ladder": _LADDER,
        "flex": "R",
        "assembly": {"ferrule_mass_g": 1.5, "tape_mass_g": 2.0, "epoxy_mass_g": 1.5},
        "club": [{"head": _HEAD}],
    }
    return texts | {ORDER_FILE: _ABOUT + toml_text(order)}


def write_templates(folder: Path) -> tuple[Path, ...]:
    """Write the templates into a new or empty folder, all or none, and return their paths.

    Raises SaveError if the folder holds anything, or cannot be written to.
    """
    if folder.is_dir() and any(folder.iterdir()):
        raise SaveError(
            "the folder is not empty", "a new folder", "name a folder that is not there yet", Place(str(folder))
        )
    return save_texts(folder, template_files())
