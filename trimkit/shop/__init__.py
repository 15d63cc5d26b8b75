"""More than one set: raw shafts, assignment, shelf, calibration, tolerance."""
