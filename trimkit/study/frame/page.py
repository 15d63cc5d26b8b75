"""What a lab in the kernel and its pages say to each other.

A page tells where its controls are, which of them a hand has moved since the kernel last answered, and which button was
pressed, in one numbered message; so none overtakes another, and a control that code has moved meanwhile keeps what
the code gave it. The kernel answers with the number up to which it has heard, its values and pins, and the frame if the
page lacks it.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from trimkit.study.frame.ahead import Ahead, Send, Sent
from trimkit.study.frame.controls import Value
from trimkit.study.frame.lab import Lab
from trimkit.study.frame.state import Params, Result


class Page:
    """The kernel's side of the talk with all pages that show one lab.

    lab: whose state it is. send: sends a message, and binary parts, to every page.
    """

    def __init__(self, lab: Lab[Params, Result], send: Send) -> None:
        self._lab: Lab[Any, Any] = lab
        self._send = send
        self._heard: dict[str, int] = {}
        self._sent = Sent()
        self._ahead = Ahead(lab.declared, lab.frame_of, self._sent, send)

    def hear(self, message: Mapping[str, Any]) -> None:
        """Take a message of a page and answer it.

        Keys: page (which), n (its number), values (of all controls, in their order), moved (names of those that a hand
        moved), and if so button, ask (the page lacks the frame), hand (the slider being dragged), hello (a new page).
        """
        self._ahead.stop()
        lab = self._lab
        with lab.lock:
            page, number, said = message["page"], message["n"], None
            given: dict[str, Value] = dict(zip(lab.defaults, message["values"], strict=True))
            if number > self._heard.get(page, 0):
                self._heard[page] = number
                lab.move({name: given[name] for name in message["moved"]})
            if button := message.get("button"):
                said = lab.press(button, given)
            if message.get("hello"):
                self._sent.clear()
            whole = any(message.get(why) for why in ("ask", "hello", "button")) or lab.values not in self._sent
            self._send(self.answer(whole=whole) | ({} if said is None else {"said": said}), [])
            self._ahead.go(lab.values, message.get("hand"), next(iter(message["moved"]), None))

    def tell(self) -> None:
        """Tell every page what code has changed."""
        with self._lab.lock:
            self._send(self.answer(), [])
            if self._heard:  # there is a page
                self._ahead.go(self._lab.values)

    def answer(self, *, whole: bool = True) -> dict[str, object]:
        """Return where the lab is now; whole: with its frame."""
        lab = self._lab
        answer: dict[str, object] = {
            "heard": dict(self._heard),
            "values": list(lab.values.values()),
            "pins": lab.pins_told(),
        }
        if whole:
            self._sent.add(lab.values, lab.frame)
            answer["frame"] = lab.frame.told()
        return answer
