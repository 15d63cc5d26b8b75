"""The integer programme behind the shelf: it assigns clubs to pieces and packs, one goal after the other."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from trimkit.mechanics.batch import Floats
from trimkit.parts.errors import ModelError

if TYPE_CHECKING:
    from scipy.sparse import coo_array

    Rows = tuple[coo_array | Floats, Floats, Floats]


def choose(
    pairs: Sequence[tuple[int, int]],
    *,
    orders: Sequence[str],
    on_shelf: Sequence[int],
    packs: Sequence[tuple[int, int | None]],
    opens: Sequence[bool],
    waste_in: Sequence[float],
) -> tuple[dict[int, int], tuple[int, ...]]:
    """Return which piece each club is cut from, for as many clubs as possible, and how many packs to buy of each offer.

    pairs: (club, piece) that fit; pieces are numbered first by shelf, then by offer. orders: each club's order.
    on_shelf: how many there are of each shelf piece. packs: the size of each offer's pack, and the most packs of it.
    opens: whether a pair takes an unused master off the shelf. waste_in: what it cuts off, in.

        x_cp = 1 if club c is cut from piece p:  sum_p x_cp + short_c = 1;  sum_c x_cp <= on_shelf_p or packs_p pack_p.

    Goals, each minimised with those before it held at their best (scipy.optimize.milp, no gap allowed): clubs short,
    and of those the fewest of the first order, then of the second...; shafts bought; masters opened; inches cut off.
    The first is one sum in which a club short counts more the earlier its order: the sets of clubs that can be cut
    together are the independent sets of a transversal matroid, so that any weights above 0 that fall from order to
    order give the same clubs (J. Edmonds, "Matroids and the greedy algorithm", 1971).

    Raises ModelError if the programme is not solved.
    """
    from scipy.sparse import coo_array

    n, clubs, rows_of_stock = len(pairs), len(orders), len(on_shelf) + len(packs)
    size = n + len(packs) + clubs
    of_packs, of_short = slice(n, n + len(packs)), slice(n + len(packs), size)
    club, piece = np.array(pairs, dtype=int).reshape(-1, 2).T
    each_pair, each_pack, each_club = np.arange(n), np.arange(len(packs)), np.arange(clubs)
    every_club = coo_array(
        (np.ones(n + clubs), (np.r_[club, each_club], np.r_[each_pair, of_short.start + each_club])),
        shape=(clubs, size),
    )
    stock = coo_array(
        (
            np.r_[np.ones(n), [-float(pack) for pack, _ in packs]],
            (np.r_[piece, len(on_shelf) + each_pack], np.r_[each_pair, n + each_pack]),
        ),
        shape=(rows_of_stock, size),
    )
    most = [clubs if limit is None else limit for _, limit in packs]
    places = {order: place for place, order in enumerate(reversed(dict.fromkeys(orders)), start=1)}
    short, bought, opened, waste = np.zeros((4, size))
    short[of_short] = [places[order] for order in orders]
    bought[of_packs] = [pack for pack, _ in packs]
    opened[:n], waste[:n] = opens, waste_in
    rows: list[Rows] = [(every_club, np.ones(clubs), np.ones(clubs))]
    if rows_of_stock:
        rows.append((stock, np.full(rows_of_stock, -np.inf), np.array([*on_shelf, *[0] * len(packs)], dtype=float)))
    solution = _one_after_the_other(
        [short, bought, opened, waste],
        rows=rows,
        upper=np.array([*[1] * n, *most, *[1] * clubs], dtype=float),
    )
    taken = np.flatnonzero(solution[:n] > 0.5).tolist()
    return dict(pairs[i] for i in taken), tuple(int(value) for value in solution[of_packs])


def _one_after_the_other(goals: Sequence[Floats], *, rows: list[Rows], upper: Floats) -> Floats:
    solution: Floats | None = None
    for goal in goals:
        if not goal.any():
            continue
        if solution is None or goal @ solution > 0:  # no goal is below 0: one that is at 0 already is at its best
            solution = _least(goal, rows, upper)
        best = float(goal @ solution)
        if best == 0:
            upper = np.where(goal > 0, 0.0, upper)
        else:
            rows = [*rows, (goal[None, :], np.array([-np.inf]), np.array([best + 1e-6]))]
    assert solution is not None  # the first goal counts every club
    return solution


def _least(goal: Floats, rows: list[Rows], upper: Floats) -> Floats:
    from scipy.optimize import Bounds, LinearConstraint, milp

    found = milp(
        goal,
        integrality=np.ones(upper.size, dtype=int),
        bounds=Bounds(np.zeros(upper.size), upper),
        constraints=[LinearConstraint(*row) for row in rows],
        options={"mip_rel_gap": 0.0},
    )
    if found.x is None:
        raise ModelError(
            f"the integer program was not solved ({found.message})",
            "a shelf of some hundred pieces",
            "plan fewer orders at a time",
        )
    return np.round(found.x)
