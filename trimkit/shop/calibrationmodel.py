"""What clubs and bare shafts read with other stiffness and another clamp, and how that changes with either.

Standing: frequencies by :mod:`trimkit.mechanics.beam`; derivatives by differences of second order.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from trimkit.club.clamp import frequencies_cpm, with_root_spring
from trimkit.mechanics.batch import Floats
from trimkit.mechanics.profile import Profile
from trimkit.shop.reading import Held

SCALE = 1e-3
"""Compliance of a clamp that gives noticeably, rad/(N m): makes every parameter of order one."""
_STEP = 1e-4


@dataclass(frozen=True, eq=False)
class CalibrationModel:
    """What n things in the clamp read, as a function of a point: the EI factor of each kind of shaft, then the clamp's
    compliance in units of :data:`SCALE`.

    held: in the clamp, one a reading. kind: the place of each one's kind of shaft among the factors, shape (n,).
    """

    held: Sequence[Held]
    kind: NDArray[np.intp]

    def cpm(self, point: Floats) -> Floats:
        """Return the frequencies (cpm), shape (n,); raises ModelError for what cannot be clamped so."""
        return self._cpm(point[:-1][self.kind], float(point[-1]))

    def _cpm(self, factor: Floats, compliance: float) -> Floats:
        spring = 1 / SCALE / compliance if compliance > 0 else None
        held = [with_root_spring(each, spring) for each in self.held]
        return frequencies_cpm(held, ei_factor=factor, profiles=self._profiles)

    @cached_property
    def _profiles(self) -> list[Profile]:
        return [held.profile for held in self.held]

    def derivatives(self, point: Floats) -> Floats:
        """Return the change of cpm with each part of the point, shape (n, parts).

        A reading depends on its own kind's factor alone, so four frequencies a reading give them all. A clamp that does
        not give is varied upwards only.
        """
        factor, compliance = point[:-1][self.kind], float(point[-1])
        found = np.zeros((len(self.held), len(point)))
        more, less = self._cpm(factor * np.array([[1 + _STEP], [1 - _STEP]]), compliance)
        found[np.arange(len(self.held)), self.kind] = (more - less) / (2 * _STEP * factor)
        if compliance > _STEP:
            more, less = (self._cpm(factor, compliance + step) for step in (_STEP, -_STEP))
            found[:, -1] = (more - less) / (2 * _STEP)
        else:
            now, one, two = (self._cpm(factor, compliance + n * _STEP) for n in range(3))
            found[:, -1] = (4 * one - two - 3 * now) / (2 * _STEP)
        return found
