"""The page's side of a form: one widget whose script draws the fields and sends them, all together, with a number."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import anywidget
import traitlets

_HERE = Path(__file__).parent


class FormPage(anywidget.AnyWidget):
    """What a page shows of a form. shape: its pieces; state: values, faults and what it says, with the last number.

    The page sends all its fields and the button that was pressed as one message, and the next one after the answer:
    so no press overtakes what was typed before it, whichever of the kernel's threads takes the message.
    """

    _esm = (_HERE / "form.js").read_text(encoding="utf-8")
    _css = (_HERE / "form.css").read_text(encoding="utf-8")
    title = traitlets.Unicode("Form").tag(sync=True)
    shape: traitlets.List[Any] = traitlets.List().tag(sync=True)
    state: traitlets.Dict[str, Any] = traitlets.Dict().tag(sync=True)

    def __init__(self, asked: Callable[[dict[str, Any]], None], **traits: Any) -> None:
        super().__init__(**traits)
        self.on_msg(lambda _widget, content, _buffers: asked(content))
