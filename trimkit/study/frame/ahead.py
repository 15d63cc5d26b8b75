"""Which states a hand may come to next, nearest first; and their frames, made and sent while nothing else is asked."""

from __future__ import annotations

import gzip
import json
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from threading import Condition, Event, Thread
from typing import Protocol

from trimkit.study.frame.controls import Control, Slider, Value
from trimkit.study.frame.state import Frame

PAGE_KEYS = 10  # the parts of a slider that Page Up and Page Down move by
FAR = 3  # such a jump comes after this many single steps
OTHERS = 2  # a step of another control than the one moved last counts as so many
REST_S = 0.06  # the kernel begins when a hand has rested this long, if the page has what a next key asks for
QUICK = 16  # frames made without a pause: the nearest
PAUSE = 8.0  # after each further one, a pause of so many times what it took
DRAG_PAUSE = 0.5  # the same while a hand drags: the page needs the processor to draw
MOST_S = 1.0  # processor time spent on the surroundings of one state
MOST_SENT = 3_000_000  # characters of pictures sent for one state
BATCH_S = 0.08  # frames are sent together that took this long
STORED = 8_000_000
"""Characters of pictures that a page keeps; beyond this lab.js forgets the oldest, and so does :class:`Sent`."""


def near(
    controls: Sequence[Control], values: Mapping[str, Value], hand: str | None = None, last: str | None = None
) -> Iterator[dict[str, Value]]:
    """Give the states that differ from ``values`` in one control, nearest first, all controls in turn.

    hand: the name of the slider that is being dragged; only the places where a drag of it stops are looked at then.
    last: the name of the control that was moved last, where the next key is likely to fall.
    """
    ranked: list[tuple[float, str, Value]] = []
    for control in controls:
        if hand is not None and control.name != hand:
            continue
        now = values[control.name]
        if isinstance(control, Slider):
            at, end = control.nearest(float(now)), len(control.positions) - 1
            jump = max(1, round(end / PAGE_KEYS))
            jumps = set() if hand else {0, end, at - jump, at + jump}
            counts = 1 if last in (None, control.name) else OTHERS
            for place, position in enumerate(control.positions):
                if hand and position not in control.stops:
                    continue
                away = counts * abs(place - at)
                ranked.append((min(away, FAR + 0.5) if place in jumps else away, control.name, position))
        else:
            options: Sequence[Value] = getattr(control, "options", (True, False))
            ranked += [(1.5, control.name, option) for option in options]
    for _, name, value in sorted(ranked, key=lambda each: each[0]):
        if value != values[name]:
            yield {**values, name: value}


class Send(Protocol):
    """How a message with binary parts goes to the pages."""

    def __call__(self, content: dict[str, object], buffers: list[bytes], /) -> None: ...


class Sent:
    """Which states the page has a frame of, as lab.js counts it: the oldest go when the pictures are too many."""

    def __init__(self) -> None:
        self._sizes: dict[tuple[Value, ...], int] = {}
        self._total = 0

    def __contains__(self, values: Mapping[str, Value]) -> bool:
        return tuple(values.values()) in self._sizes

    def add(self, values: Mapping[str, Value], frame: Frame) -> None:
        """Count a frame that is sent."""
        key = tuple(values.values())
        self._total += len(frame.picture) - self._sizes.pop(key, 0)
        self._sizes[key] = len(frame.picture)
        while self._total > STORED:
            self._total -= self._sizes.pop(next(iter(self._sizes)))

    def clear(self) -> None:
        """Forget all: a page has begun anew."""
        self._sizes.clear()
        self._total = 0


class Ahead:
    """Makes frames around one state in a thread of its own and sends them, until it is told to stop or of another."""

    def __init__(
        self, controls: Sequence[Control], frame_of: Callable[[Mapping[str, Value]], Frame], sent: Sent, send: Send
    ) -> None:
        self._controls, self._frame_of, self._sent, self._send = controls, frame_of, sent, send
        self._told = Condition()
        self._goal: tuple[dict[str, Value], str | None, str | None] | None = None
        self._stopped = Event()
        self._thread: Thread | None = None
        self._batch: list[tuple[dict[str, Value], Frame]] = []

    def stop(self) -> None:
        """Stop after the frame that is being made."""
        self._stopped.set()

    def go(self, values: dict[str, Value], hand: str | None = None, last: str | None = None) -> None:
        """Begin around these values (of the dragged slider alone, if one is dragged; see :func:`near`)."""
        with self._told:
            self._goal = (values, hand, last)
            self._stopped.set()
            self._told.notify()
            if self._thread is None:
                self._thread = Thread(target=self._run, name="lab frames", daemon=True)
                self._thread.start()

    def _run(self) -> None:
        while True:
            with self._told:
                if self._goal is None:
                    self._thread = None
                    return
                (values, hand, last), self._goal = self._goal, None
                self._stopped.clear()
                states = list(near(self._controls, values, hand, last))
                if hand is None and all(there in self._sent for there in states[:2]):
                    self._told.wait(REST_S)
            if not self._stopped.is_set():
                self._serve(states, hand)

    def _serve(self, states: Sequence[dict[str, Value]], hand: str | None) -> None:
        spent, batch_s, made, characters = 0.0, 0.0, 0, 0
        for there in states:
            if there in self._sent:
                continue
            start = time.thread_time()
            frame = self._frame_of(there)
            taken = time.thread_time() - start
            self._batch.append((there, frame))
            self._sent.add(there, frame)
            made, spent, batch_s = made + 1, spent + taken, batch_s + taken
            characters += len(frame.picture)
            if self._stopped.is_set():
                return  # what is made goes with the next that is sent
            if batch_s > BATCH_S or made in (2, 2 * len(self._controls)):
                self._flush()
                batch_s = 0.0
            if spent > MOST_S or characters > MOST_SENT:
                break
            if hand or made > QUICK:
                with self._told:
                    self._told.wait((DRAG_PAUSE if hand else PAUSE) * taken)
                if self._stopped.is_set():
                    return
        self._flush()

    def _flush(self) -> None:
        if self._batch:
            self._send({"ahead": len(self._batch)}, [packed(self._batch)])
            self._batch.clear()


def packed(frames: Sequence[tuple[Mapping[str, Value], Frame]]) -> bytes:
    """Return frames with the values they belong to as gzip of JSON, as lab.js unpacks it."""
    entries = [[list(values.values()), frame.told()] for values, frame in frames]
    return gzip.compress(json.dumps(entries, ensure_ascii=False, allow_nan=False).encode(), 1, mtime=0)
