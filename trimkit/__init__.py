"""trimkit: cut golf shafts by the trade's rules, check the cut by mechanics, and see why.

The rooms, from the bench upwards (nothing imports back up; a test holds it):

``trimkit.parts``      what lies on the bench: units, components, checked data files
``trimkit.trim``       the trade's rules: schedule, bore depth, head mass, butt cut
``trimkit.mechanics``  the physics: profile, frequency, balance
``trimkit.club``       both joined: an order, one club, a set, the flex scale
``trimkit.check``      before the saw: set line, double check, likely causes
``trimkit.shop``       more than one set: shelf, assignment, calibration, tolerance
``trimkit.papers``     what leaves the bench: sheet, tables, record
``trimkit.study``      what people see and touch: labs, figures, order form, exercises

Importing the package itself loads none of them, so that ``import trimkit`` stays quick.
"""

__version__ = "0.1.0"
