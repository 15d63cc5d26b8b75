"""The labs: each a question about one club of the demo set, answered while a slider moves.

A lesson calls one of these and shows what it returns; all state lives in the returned lab.
"""

from __future__ import annotations

from trimkit.study.labs.balance import balance_lab
from trimkit.study.labs.beam import shaft_beam_lab
from trimkit.study.labs.bore import bore_depth_lab
from trimkit.study.labs.firstcut import first_cut_lab
from trimkit.study.labs.flexscale import flex_scale_lab
from trimkit.study.labs.headmass import head_weight_lab
from trimkit.study.labs.length import cutting_to_length_lab
from trimkit.study.labs.rationale import rationale_lab
from trimkit.study.labs.schedule import schedule_lab
from trimkit.study.labs.setline import set_line_lab
from trimkit.study.labs.stepping import stepping_lab
from trimkit.study.labs.tolerance import tolerance_lab
from trimkit.study.labs.whatif import what_if_lab

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
