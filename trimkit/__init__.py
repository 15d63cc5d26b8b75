"""trimkit: cut golf shafts by the trade's rules, check the cut by mechanics, and see why.

The rooms, from the bench upwards (nothing imports back up; a test holds it):

``trimkit.parts``      what lies on the bench: units, components, checked data files
``trimkit.trim``       the trade's rules: schedule, bore depth, head mass, butt cut
``trimkit.mechanics``  the physics: profile, frequency, balance
``trimkit.build``      both joined for one club and one set: order, club, sheet
``trimkit.study``      what people see and touch: figures and labs

Importing the package itself loads none of them, so that ``import trimkit`` stays quick.
"""

__version__ = "0.1.0"
