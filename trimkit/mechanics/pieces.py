"""A profile's segments as the solver takes them: SI units, elements along the first axis, none too long."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from trimkit.mechanics.batch import Floats
from trimkit.parts.units import M_PER_IN

# Longer segments are divided: the error estimate of a long parallel tip section then needs no second look.
_LONGEST_ELEMENT_IN = 5.0


@dataclass(frozen=True, eq=False)
class Pieces:
    """The segments of P profiles divided into E elements; metres and kilograms; (E + 1, P) and (E, P)."""

    edges: Floats
    ei_low: Floats
    ei_high: Floats
    mu_low: Floats
    mu_high: Floats
    stepped: bool


def divided(edges_in: Floats, ei: tuple[Floats, Floats], mass_g_per_m: tuple[Floats, Floats]) -> Pieces:
    """Return segments as pieces of at most 5 in.

    edges_in: (..., n + 1). ei (N m^2), mass_g_per_m: values at the lower and at the upper ends of segments, (..., n).
    """
    count = edges_in.shape[-1] - 1
    longest = np.diff(edges_in).reshape(-1, count).max(axis=0)
    parts = np.maximum(np.ceil(longest / _LONGEST_ELEMENT_IN), 1).astype(int)
    owner = np.repeat(np.arange(count), parts)
    number = np.arange(owner.size) - np.repeat(np.cumsum(parts) - parts, parts)

    def at(share: Floats, low: Floats, high: Floats) -> Floats:
        lower, upper = low.reshape(-1, count)[:, owner], high.reshape(-1, count)[:, owner]
        return np.where(share == 1, upper, lower + share * (upper - lower)).T

    low, high = number / parts[owner], (number + 1) / parts[owner]
    first = edges_in.reshape(-1, count + 1)[:, :1].T
    return Pieces(
        np.concatenate([first, at(high, edges_in[..., :-1], edges_in[..., 1:])]) * M_PER_IN,
        at(low, *ei),
        at(high, *ei),
        at(low, *mass_g_per_m) * 1e-3,
        at(high, *mass_g_per_m) * 1e-3,
        stepped=bool(np.array_equal(*ei) and np.array_equal(*mass_g_per_m)),
    )
