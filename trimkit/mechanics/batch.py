"""Batches: named arrays that broadcast to one shape, and refusals that name the place in the batch."""

from __future__ import annotations

import math
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from trimkit.parts.errors import ModelError

Floats: TypeAlias = NDArray[np.float64]


def where_in_batch(bad: NDArray[np.bool_]) -> tuple[int, ...]:
    """Return the index of the first True value."""
    return tuple(int(i) for i in np.unravel_index(int(np.argmax(bad)), bad.shape))


def refuse_where(bad: Any, what: str, values: ArrayLike, allowed: str, next_step: str) -> None:
    """Raise ModelError if any value is bad, with the value and its batch index (no index for a single club).

    bad: booleans. values: the numbers judged, in whatever unit ``what`` names, broadcasting against ``bad``.
    """
    if bad is np.False_ or not np.any(bad):  # the first for speed: comparing single numbers returns it
        return
    bad = np.asarray(bad, dtype=bool)
    index = where_in_batch(bad)
    value = float(np.broadcast_to(np.asarray(values, dtype=float), bad.shape)[index])
    place = f" at batch index {index if len(index) > 1 else index[0]}" if index else ""
    raise ModelError(f"{what} is {value:.6g}{place}", allowed, next_step)


def broadcast(**named: ArrayLike) -> tuple[tuple[int, ...], dict[str, Floats]]:
    """Return the common shape and each named array (not yet expanded) as finite float64, units unchanged.

    Raises ModelError for a value that is not a finite number, for shapes that do not fit, and for an empty batch.
    """
    arrays: dict[str, Floats] = {}
    for name, values in named.items():
        try:
            # [()] turns a single value into a plain number, whose arithmetic is ten times as fast.
            arrays[name] = np.asarray(values, dtype=np.float64)[()]
        except (TypeError, ValueError):
            raise ModelError(
                f"{name} is {values!r}", "a number or an array of numbers", f"give {name} as numbers"
            ) from None
        if arrays[name].ndim or not math.isfinite(arrays[name]):
            bad = ~np.isfinite(arrays[name])
            refuse_where(bad, name, arrays[name], "finite numbers", "measure it and give the number")
    try:
        shape = np.broadcast_shapes(*{array.shape for array in arrays.values()})
    except ValueError:
        shapes = ", ".join(f"{name} {array.shape}" for name, array in arrays.items() if array.shape)
        raise ModelError(
            f"arrays of shapes that do not fit: {shapes}",
            "single numbers, or arrays that broadcast to one shape",
            "give one value for each club, or one for all",
        ) from None
    if 0 in shape:
        empty = ", ".join(name for name, array in arrays.items() if array.size == 0)
        raise ModelError(f"an empty batch ({empty})", "one club or more", "skip the call when there is no club")
    return shape, arrays
