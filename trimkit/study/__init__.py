"""What people see and touch: labs, figures, tables of the lessons, the forms of the shop bench, exercises.

Each name is loaded when it is first used; ``exercises`` is a package of its own.
"""

from trimkit import lazily

_HOME = {
    "WhatIfParams": "labs.whatif",
    "agreement_table": "labs.closeness",
    "assign_form": "form.rack.assignform",
    "assignment_picture": "figures.tolerance",
    "balance_lab": "labs.balance",
    "bore_depth_lab": "labs.bore",
    "butt_table": "labs.length",
    "calibrate_form": "form.rack.calibrateform",
    "class_scatter": "labs.closeness",
    "contributions_picture": "figures.tolerance",
    "correction_table": "labs.bore",
    "cut_table": "labs.beam",
    "cutting_to_length_lab": "labs.length",
    "demo_families": "labs.stepping",
    "first_cut_lab": "labs.firstcut",
    "flex_scale_lab": "labs.flexscale",
    "frequency_form": "form.rack.frequencyform",
    "head_weight_lab": "labs.headmass",
    "ladder_table": "labs.headmass",
    "lesson_club": "labs.lever",
    "lesson_shaft": "labs.beam",
    "measured_form": "form.measuredform",
    "moment_table": "labs.lever",
    "order_form": "form.orderform",
    "plan_form": "form.planform",
    "rack_assignments": "labs.setline",
    "rack_table": "labs.setline",
    "rationale_lab": "labs.rationale",
    "raw_length_table": "labs.stepping",
    "reading_table": "labs.flexscale",
    "records_form": "form.recordsform",
    "schedule_lab": "labs.schedule",
    "schedule_table": "labs.schedule",
    "set_frequency_picture": "figures.set",
    "set_frequency_svg": "figures.set",
    "set_line_lab": "labs.setline",
    "shaft_beam_lab": "labs.beam",
    "shop_bench": "form.bench",
    "start_form": "form.startform",
    "stepping_lab": "labs.stepping",
    "stock_form": "form.rack.stockform",
    "straightness_table": "labs.flexscale",
    "thirds_table": "labs.beam",
    "tolerance_lab": "labs.tolerance",
    "two_ways_table": "labs.lever",
    "what_if_lab": "labs.whatif",
    "what_if_table": "labs.whatif",
    "worth_table": "labs.stepping",
}
"""Each public name and the module that it lives in."""

__all__ = [*_HOME]
__getattr__ = lazily(__name__, _HOME)
