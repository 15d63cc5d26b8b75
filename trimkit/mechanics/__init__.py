"""The physics: profile, frequency, balance. Never imports ``trimkit.trim``.

From the shaft outwards:

``profile``      stiffness, mass and diameter along a shaft; cuts (``tube``, ``pieces``, ``sectionmass`` serve it)
``clamped``      a batch of clubs in the clamp, checked and in SI units (``batch``: shapes and refusals)
``cantilever``   the first mode of a batch of cantilevers with a body at the end, with its error
``beam``         first frequency, its shape, tip deflection
``modes``        several modes of one club by a general eigen-solver
``neglected``    what the model leaves out, in cpm
``balance``      mass, balance point, swingweight, MOI, and the masses that give wanted ones
``sensitivity``  what a gram and a sixteenth of an inch do
"""
