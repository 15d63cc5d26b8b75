"""The physics: profile, frequency, balance. Never imports ``trimkit.trim``.

From the shaft outwards:

``profile``      stiffness, mass and diameter along a shaft; cuts (``tube``, ``sectionmass`` serve it)
``clamped``      a batch of clubs in the clamp, checked and in SI units (``batch``: shapes and refusals)
``cantilever``   the first mode of a batch of cantilevers with a body at the end, with its error
``beam``         first frequency and its shape; how a bare shaft bends under a weight
``balance``      mass, balance point, swingweight, MOI, and the mass needed for a wanted swingweight or MOI
``sensitivity``  what a gram and a sixteenth of an inch do
"""
