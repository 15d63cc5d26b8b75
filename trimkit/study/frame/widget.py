"""A lab as one widget of JupyterLab: lab.js shows it, :class:`trimkit.study.frame.page.Page` talks to it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import anywidget
import traitlets

from trimkit.study.frame.lab import Lab
from trimkit.study.frame.page import Page
from trimkit.study.frame.state import Params, Result

HERE = Path(__file__).parent


class LabWidget(anywidget.AnyWidget):
    """told: what a page needs once. now: where the lab was when it was last shown. page: the talk with the pages."""

    _esm = (HERE / "lab.js").read_text(encoding="utf-8")
    _css = (HERE / "lab.css").read_text(encoding="utf-8")
    told = traitlets.Dict().tag(sync=True)
    now = traitlets.Dict().tag(sync=True)

    def __init__(self, lab: Lab[Params, Result]) -> None:
        self.page = Page(lab, self._post)
        super().__init__(told=lab.told(), now=self.page.answer())
        self.on_msg(self._hear)

    def show_now(self) -> None:
        """A page that opens begins where the lab is now."""
        self.now = self.page.answer()

    def _hear(self, _widget: object, message: dict[str, Any], _buffers: object) -> None:
        self.page.hear(message)

    def _post(self, content: dict[str, object], buffers: list[bytes]) -> None:
        self.send(content, buffers)
