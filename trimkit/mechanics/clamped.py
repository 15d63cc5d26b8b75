"""From the bench's inches and grams to cantilevers: what of the shaft is free, what moves rigidly with the head.

Positions count along the shaft from its raw tip, in. The shaft's lower end lies at ``tip_trim_in``, the hosel's top at
``tip_trim_in + bore_depth_in``; the clamp holds from ``clamp_in`` below the cap end upwards. What lies in the hosel
moves with the head as one rigid body.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from scipy import constants

from trimkit.mechanics.batch import Floats
from trimkit.mechanics.cantilever import Cantilevers
from trimkit.mechanics.profile import Profile

# Longer segments are divided: the error estimate of a long parallel tip section then needs no second look.
_LONGEST_ELEMENT_IN = 4.0


@dataclass(frozen=True, eq=False)
class Pieces:
    """The segments of P profiles divided into E elements; metres and kilograms; (E + 1, P) and (E, P)."""

    edges: Floats
    ei_low: Floats
    ei_high: Floats
    mu_low: Floats
    mu_high: Floats
    stepped: bool


def pieces(profile: Profile) -> Pieces:
    """Return a profile's segments, none longer than 4 in; a stack's shafts along the last axis."""
    count = profile.edges_in.shape[-1] - 1
    longest = np.diff(profile.edges_in).reshape(-1, count).max(axis=0)
    parts = np.maximum(np.ceil(longest / _LONGEST_ELEMENT_IN), 1).astype(int)
    owner = np.repeat(np.arange(count), parts)
    low_share = np.concatenate([np.arange(n) / n for n in parts])
    high_share = np.concatenate([np.arange(1, n + 1) / n for n in parts])

    def share(low: Floats, high: Floats, at: Floats) -> Floats:
        lower, upper = low.reshape(-1, count)[:, owner], high.reshape(-1, count)[:, owner]
        return np.where(at == 1, upper, lower + at * (upper - lower)).T

    edges = profile.edges_in * constants.inch
    upper_edges = share(edges[..., :-1], edges[..., 1:], high_share)
    ei_low, ei_high = profile.ei_low_n_m2, profile.ei_high_n_m2
    mu_low, mu_high = profile.mass_low_g_per_m * 1e-3, profile.mass_high_g_per_m * 1e-3
    return Pieces(
        np.concatenate([edges.reshape(-1, count + 1)[:, :1].T, upper_edges]),
        share(ei_low, ei_high, low_share),
        share(ei_low, ei_high, high_share),
        share(mu_low, mu_high, low_share),
        share(mu_low, mu_high, high_share),
        profile.stepped,
    )


@dataclass(frozen=True, eq=False)
class Bench:
    """A flat batch of B clubs in the clamp; metres, kilograms; each (B,).

    lower_end, hosel_top, clamp_edge: positions from the raw tip. head_mass, head_offset (of its centre beyond the
    hosel's top), head_inertia. which: the club's profile among those of the pieces.
    """

    lower_end: Floats
    hosel_top: Floats
    clamp_edge: Floats
    head_mass: Floats
    head_offset: Floats
    head_inertia: Floats
    root_compliance: Floats
    ei_factor: Floats
    mass_factor: Floats
    which: np.ndarray

    def chunks(self, size: int) -> Iterator[tuple[slice, Bench]]:
        """Yield the batch in pieces that stay in the processor's cache."""
        for start in range(0, self.which.size, size):
            part = slice(start, start + size)
            yield part, Bench(*(getattr(self, name)[part] for name in self.__dataclass_fields__))


def cantilevers(shaft: Pieces, bench: Bench) -> Cantilevers:
    """Return the free parts of the shafts as cantilevers, each with head and hosel part as the body at its end."""
    one = shaft.edges.shape[1] == 1

    def pick(values: Floats) -> Floats:
        return values if one else values[:, bench.which]

    edges = pick(shaft.edges)
    ends = np.minimum(np.maximum(edges, bench.hosel_top), bench.clamp_edge)
    lengths = ends[1:] - ends[:-1]
    mu_low, mu_high = pick(shaft.mu_low), pick(shaft.mu_high)
    if shaft.stepped:
        ei = pick(shaft.ei_low) * bench.ei_factor
        mu = mu_low * bench.mass_factor
        ei_ends, mu_ends = (ei, ei), (mu, mu)
    else:
        whole = edges[1:] - edges[:-1]
        low = (ends[:-1] - edges[:-1]) / whole
        high = (ends[1:] - edges[:-1]) / whole
        # An element outside the free part has no length; its stiffness is any positive number.
        low, high = np.clip(low, 0.0, 1.0), np.clip(high, 0.0, 1.0)
        ei_low, ei_high = pick(shaft.ei_low), pick(shaft.ei_high)
        ei_ends = tuple((ei_low + at * (ei_high - ei_low)) * bench.ei_factor for at in (low, high))  # type: ignore[assignment]
        mu_ends = tuple((mu_low + at * (mu_high - mu_low)) * bench.mass_factor for at in (low, high))  # type: ignore[assignment]
    body = _with_hosel_part(edges, mu_low, mu_high, bench)
    return Cantilevers(lengths, *ei_ends, *mu_ends, *body, bench.root_compliance)


def _with_hosel_part(edges: Floats, mu_low: Floats, mu_high: Floats, bench: Bench) -> tuple[Floats, Floats, Floats]:
    """Return mass, offset beyond the hosel's top and inertia of the head together with the shaft inside it."""
    inside = edges[:-1] < bench.hosel_top.max()
    count = int(inside.any(axis=1).sum())
    edges, mu_low, mu_high = edges[: count + 1], mu_low[:count], mu_high[:count]
    ends = np.minimum(np.maximum(edges, bench.lower_end), bench.hosel_top)
    lengths, whole = ends[1:] - ends[:-1], edges[1:] - edges[:-1]
    mass = first = second = np.zeros(1)
    for gauss in (0.5 - math.sqrt(1 / 12), 0.5 + math.sqrt(1 / 12)):
        place = ends[:-1] + gauss * lengths
        piece = lengths / 2 * (mu_low + (mu_high - mu_low) * (place - edges[:-1]) / whole)
        beyond = bench.hosel_top - place
        mass = mass + piece.sum(axis=0)
        first = first + (piece * beyond).sum(axis=0)
        second = second + (piece * beyond**2).sum(axis=0)
    factor = bench.mass_factor
    total = bench.head_mass + factor * mass
    moment = bench.head_mass * bench.head_offset + factor * first
    inertia = bench.head_inertia + bench.head_mass * bench.head_offset**2 + factor * second
    centre = moment / total
    return total, centre, inertia - total * centre**2
