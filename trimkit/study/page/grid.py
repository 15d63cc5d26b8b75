"""Which states of a lab a page without a kernel has pictures of, and those pictures packed."""

from __future__ import annotations

import base64
import gzip
import itertools
import json
from collections.abc import Iterator, Sequence
from typing import Any

from trimkit.study.frame.controls import Choice, Control, Slider, Value
from trimkit.study.frame.lab import Lab

MOST_ALONE = 101
"""A slider that is coarser on a page has at most about so many positions there when it is moved alone; chosen here."""
THINNED = (1, 2, 5, 10, 20, 50, 100)


def alone(control: Control) -> tuple[Value, ...]:
    """Return the values that a page has of a control while no other slider is moved, in order."""
    if not isinstance(control, Slider):
        return control.options if isinstance(control, Choice) else (False, True)
    positions = control.positions
    if control.on_page is None:
        return positions
    every = next((n for n in THINNED if len(positions) <= n * MOST_ALONE), THINNED[-1])
    start = positions.index(control.default) % every
    return tuple(sorted({*positions[start::every], *control.on_page}))


def together(control: Control) -> tuple[Value, ...]:
    """Return the values that a page has of a control whatever the others are, in order; the default is one of them."""
    chosen: tuple[Value, ...] | None = getattr(control, "on_page", None)
    return alone(control) if chosen is None else chosen


def states(controls: Sequence[Control]) -> Iterator[tuple[Value, ...]]:
    """Give each state that a page has a picture of, once.

    These are: each position of each slider with the other sliders at their defaults, for all choices and switches; and
    the ``on_page`` values of all controls, each with each.
    """
    given: set[tuple[Value, ...]] = set()
    sliders = [each for each in controls if isinstance(each, Slider)]
    sheets: list[list[tuple[Value, ...]]] = [
        [alone(each) if each is moved or not isinstance(each, Slider) else (each.default,) for each in controls]
        for moved in sliders
    ]
    sheets.append([together(each) for each in controls])
    for sheet in sheets:
        # The first control varies fastest: pictures that lie side by side differ little, and pack well.
        for backwards in itertools.product(*reversed(sheet)):
            state = backwards[::-1]
            if state not in given:
                given.add(state)
                yield state


def told_on_page(lab: Lab[Any, Any]) -> dict[str, Any]:
    """Return what :meth:`Lab.told` says, for a page without a kernel: fewer positions, and nothing to save with."""
    told = lab.told()
    told.pop("saves", None)
    for said, control in zip(told["controls"], lab.declared, strict=True):
        said["stored"] = list(together(control))
        if isinstance(control, Slider):
            said["positions"] = said["stops"] = list(alone(control))
    return told


def packed_lab(lab: Lab[Any, Any]) -> str:
    """Return a lab with a picture of each of its page's states: base64 of gzip of JSON, as page.js unpacks it."""
    names = list(lab.defaults)
    frames = [
        [list(state), lab.frame_of(dict(zip(names, state, strict=True))).told()] for state in states(lab.declared)
    ]
    made = json.dumps({"told": told_on_page(lab), "frames": frames}, ensure_ascii=False, allow_nan=False)
    return base64.b64encode(gzip.compress(made.encode(), 9, mtime=0)).decode()
