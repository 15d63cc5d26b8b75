"""The labs: each a question about one club of the demo set, answered while a slider moves.

A lesson calls one of these and shows what it returns; all state lives in the returned lab.
"""

from __future__ import annotations

from trimkit.study.balancelab import balance_lab
from trimkit.study.beamlab import shaft_beam_lab
from trimkit.study.borelab import bore_depth_lab
from trimkit.study.cutlab import first_cut_lab
from trimkit.study.flexlab import flex_scale_lab
from trimkit.study.lengthlab import cutting_to_length_lab
from trimkit.study.masslab import head_weight_lab
from trimkit.study.rationalelab import rationale_lab
from trimkit.study.schedulelab import schedule_lab
from trimkit.study.setlinelab import set_line_lab
from trimkit.study.steppinglab import stepping_lab
from trimkit.study.tolerancelab import tolerance_lab
from trimkit.study.whatiflab import what_if_lab

__all__ = [
    "balance_lab",
    "bore_depth_lab",
    "cutting_to_length_lab",
    "first_cut_lab",
    "flex_scale_lab",
    "head_weight_lab",
    "rationale_lab",
    "schedule_lab",
    "set_line_lab",
    "shaft_beam_lab",
    "stepping_lab",
    "tolerance_lab",
    "what_if_lab",
]
