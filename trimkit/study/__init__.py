"""What people see and touch: labs, figures, tables of the lessons, the forms of the shop bench, exercises.

Each name is loaded when it is first used; ``exercises`` is a package of its own.
"""

from trimkit import lazily

_HOME = {
    "WhatIfParams": "labs.whatif",
    "assign_form": "form.rack.assignform",
    "balance_lab": "labs.balance",
    "batch_table": "labs.closeness",
    "bent_line_picture": "figures.bentline",
    "bore_depth_lab": "labs.bore",
    "butt_table": "labs.length",
    "calibrate_form": "form.rack.calibrateform",
    "club_parts_picture": "figures.clubparts",
    "correction_table": "labs.bore",
    "cutting_to_length_lab": "labs.length",
    "demo_families": "labs.stepping",
    "dry_fit_picture": "figures.dryfit",
    "first_club": "labs.firstcut",
    "first_cut_lab": "labs.firstcut",
    "first_cuts_table": "labs.firstcut",
    "first_parts_table": "labs.firstcut",
    "flex_scale_lab": "labs.flexscale",
    "frequency_form": "form.rack.frequencyform",
    "head_weight_lab": "labs.headmass",
    "hybrid_table": "labs.headmass",
    "kept_form": "form.keptform",
    "ladder_table": "labs.headmass",
    "lesson_club": "labs.lever",
    "measured_form": "form.measuredform",
    "moment_table": "labs.lever",
    "order_form": "form.orderform",
    "plan_form": "form.planform",
    "practice_bench": "form.bench",
    "rationale_lab": "labs.rationale",
    "raw_length_table": "labs.stepping",
    "raw_pair_picture": "figures.rawpair",
    "reading_table": "labs.flexscale",
    "remedies_table": "labs.lever",
    "records_form": "form.recordsform",
    "schedule_lab": "labs.schedule",
    "schedule_table": "labs.schedule",
    "set_frequency_picture": "figures.set",
    "set_frequency_svg": "figures.set",
    "set_line_lab": "labs.setline",
    "shaft_beam_lab": "labs.beam",
    "shop_bench": "form.bench",
    "slopes_table": "labs.setline",
    "start_form": "form.startform",
    "step_gain_picture": "figures.stepgains",
    "stepping_lab": "labs.stepping",
    "stock_form": "form.rack.stockform",
    "straightness_table": "labs.flexscale",
    "thirds_table": "labs.beam",
    "three_lines_table": "labs.setline",
    "tolerance_lab": "labs.tolerance",
    "what_if_lab": "labs.whatif",
    "what_if_table": "labs.whatif",
    "worth_table": "labs.stepping",
}
"""Each public name and the module that it lives in."""

__all__ = [*_HOME]
__getattr__ = lazily(__name__, _HOME)
