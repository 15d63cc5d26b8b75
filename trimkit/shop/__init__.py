"""More than one club or set: raw shafts, assignment, shelf, calibration, tolerance."""
