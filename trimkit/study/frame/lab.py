"""What every lab is made of: controls, one picture that keeps up with the hand, readouts, a sentence, pins.

A lab is a chain of pure steps: the controls' values make one frozen ``params``; ``compute(params)`` gives a result;
``draw`` puts the result into the live artists of the scene; ``read`` and ``describe`` say the same in numbers and in
one sentence. :class:`Lab` holds the state and the widgets and runs the chain whenever a control moves.
"""

from __future__ import annotations

import base64
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from html import escape
from typing import TYPE_CHECKING, Any, Generic, TypeVar

import ipywidgets as widgets

from trimkit.parts.errors import BenchError
from trimkit.parts.units import quantity, true_minus
from trimkit.study.frame.controls import CONTROLS_WIDTH_PX, Choice, Control, Value, button, titled
from trimkit.study.frame.overlay import Live, Overlay, Scene

if TYPE_CHECKING:
    import pandas as pd

Params = TypeVar("Params")
Result = TypeVar("Result")
SAME_CELL = "1 / 1 / 2 / 2"
VIEW_MIME = "application/vnd.jupyter.widget-view+json"
TOGETHER = re.compile(r"(?<=\d) (?=\d+/\d)|(?<=≈) ")
"""The gaps in ≈ 35 7/8, where a line must not break."""
STYLE = """<style>
.trimkit-still { display: none; }
.trimkit-lab { container-type: inline-size; }
.trimkit-lab .widget-html-content { line-height: 1.3; min-width: 0; }
.trimkit-lab .trimkit-layer svg { display: block; width: 100%; height: auto; }
.trimkit-lab .widget-slider { display: grid; grid-template-columns: 1fr auto; height: auto; }
.trimkit-lab .widget-slider .widget-label { text-align: left; grid-area: 1 / 1; }
.trimkit-lab .widget-slider .widget-readout { grid-area: 1 / 2; }
.trimkit-lab .widget-slider .slider-container { grid-area: 2 / 1 / 3 / 3; height: 20px; }
.trimkit-lab .widget-toggle-buttons { height: auto; }
.trimkit-lab .trimkit-readouts { display: grid; gap: 1px 16px; margin: 4px 0 2px;
  grid-template-columns: repeat(2, minmax(0, 1fr)); }
.trimkit-lab .trimkit-readouts div { font-size: var(--jp-content-font-size1); line-height: 1.35;
  font-variant-numeric: tabular-nums; }
.trimkit-lab .trimkit-readouts small { font-size: 0.86em; line-height: 1; white-space: nowrap; }
.trimkit-lab .trimkit-sentence { margin: 4px 0; font-size: var(--jp-content-font-size1); min-height: 5.2em; }
@container (max-width: 960px) {
  .trimkit-lab .trimkit-readouts div { min-height: 2.7em; }
  .trimkit-lab .trimkit-sentence { min-height: 6.8em; }
}
.trimkit-lab .trimkit-refused { border-left: 4px solid #D55E00; padding-left: 8px; font-weight: bold; }
.trimkit-lab .trimkit-sentence.trimkit-refused::first-letter { text-transform: uppercase; }
.trimkit-lab table.trimkit-pins { border-collapse: collapse; font-size: 0.93em; font-variant-numeric: tabular-nums; }
.trimkit-lab table.trimkit-pins th, .trimkit-lab table.trimkit-pins td { padding: 1px 10px 1px 0; text-align: right; }
</style>"""


@dataclass(frozen=True)
class Readout:
    """One number under the picture.

    value: in ``unit``, shown with ``decimals`` places. shown: the text to show instead (a swingweight's letter scale, a
    sixteenth); the difference to the reference is always that of ``value``. compare: False leaves the difference out.
    before: what the difference is taken from where it is not the reference's value.
    """

    label: str
    value: float
    unit: str = ""
    decimals: int = 1
    shown: str | None = None
    compare: bool = True
    before: float | None = None

    def __str__(self) -> str:
        return self.shown if self.shown is not None else quantity(self.value, self.unit, self.decimals)

    def change_from(self, then: Readout) -> float | None:
        """Return the difference to the reference's readout, in ``unit``; None if it is not compared."""
        if not self.compare:
            return None
        return self.value - (then.value if self.before is None else self.before)


@dataclass(frozen=True)
class Pin(Generic[Params]):
    """A what-if that was kept: its letter, the params and what was read."""

    letter: str
    params: Params
    readouts: tuple[Readout, ...]


class Lab(Generic[Params, Result]):
    """Controls, picture, readouts, sentence and pins of one question; shown by being the last line of a cell.

    title: what the picture shows, for a screen reader. params: makes the frozen params from the controls' values by
    name. compute: params to result, pure. build: the result of the reference to the scene (draw the ghost here, it
    does not move). draw: sets the live artists, given (live, result, reference). read: the readouts of a result.
    describe: one sentence with the same numbers, given (result, reference). reference: what everything is compared
    with; the defaults of the controls unless given.

    After any move ``params``, ``result``, ``readouts``, ``sentence`` and ``figure`` are those of the newest values.
    When a step raises, ``result`` is None, there are no readouts, ``sentence`` is the error's, and it is raised again.
    """

    controls: dict[str, Any]
    params: Params
    result: Result | None
    readouts: tuple[Readout, ...]
    sentence: str

    def __init__(
        self,
        *,
        title: str,
        controls: Sequence[Control],
        params: Callable[..., Params],
        compute: Callable[[Params], Result],
        build: Callable[[Result], Scene],
        draw: Callable[[Live, Result, Result], None],
        read: Callable[[Result], Sequence[Readout]],
        describe: Callable[[Result, Result], str],
        reference: Params | None = None,
    ) -> None:
        self.title = title
        self.defaults: dict[str, Value] = {control.name: control.default for control in controls}
        self._make_params, self._compute, self._draw, self._read, self._describe = params, compute, draw, read, describe
        self.declared = tuple(controls)
        self.reference = compute(params(**self.defaults) if reference is None else reference)
        self._then = tuple(read(self.reference))
        self.scene = build(self.reference)
        self.figure = self.scene.figure
        self.overlay = Overlay(self.scene)
        self.pins: list[Pin[Params]] = []
        self._widgets()
        self._refresh()

    # What a test or a notebook reads and sets

    def set(self, **values: Value) -> Lab[Params, Result]:
        """Move controls by name, as a hand would, with one refresh for all of them."""
        for name, value in values.items():
            self._allowed(name, value)
        self._held = True
        try:
            for name, value in values.items():
                self.controls[name].value = value
        finally:
            self._held = False
        self._refresh()
        return self

    def reset(self) -> None:
        """Bring back every control's default; pins stay."""
        self.set(**self.defaults)

    def pin(self) -> None:
        """Keep the present values for comparison."""
        if self.result is None:
            return
        self.pins.append(Pin(_letter(len(self.pins)), self.params, self.readouts))
        self._pins.value = self._pins_html()

    def clear_pins(self) -> None:
        """Forget all pins."""
        self.pins.clear()
        self._pins.value = ""

    def pin_rows(self) -> list[dict[str, Value]]:
        """The pins as rows: the controls' values, then the readouts, each column with its unit."""
        return [
            self._settings(pin)
            | {titled(r.label, r.unit): r.value if r.shown is None else r.shown for r in pin.readouts}
            for pin in self.pins
        ]

    def _settings(self, pin: Pin[Params]) -> dict[str, Value]:
        titles = {control.name: titled(control.label, getattr(control, "unit", "")) for control in self.declared}
        return {"pin": pin.letter} | {title: getattr(pin.params, name) for name, title in titles.items()}

    def pin_table(self) -> pd.DataFrame:
        """The pins as a table, which can be saved with ``to_csv``."""
        import pandas as pd

        return pd.DataFrame(self.pin_rows())

    @property
    def readout(self) -> dict[str, Readout]:
        """The readouts by label."""
        return {readout.label: readout for readout in self.readouts}

    # The chain

    def _allowed(self, name: str, value: Value) -> None:
        control = next((control for control in self.declared if control.name == name), None)
        if control is None:
            allowed = f"one of {', '.join(self.defaults)}"
            raise BenchError(f"This lab has no control {name!r}", allowed, "use one of these names")
        control.check(value)

    def _moved(self, _change: object = None) -> None:
        if not self._held:
            self._refresh()

    def _refresh(self) -> None:
        """Run the chain and show it: one message to the browser for picture, readouts and sentence together."""
        try:
            values = {name: control.value for name, control in self.controls.items()}
            for control in self.declared:
                if isinstance(control, Choice):  # its widget lets None through
                    control.check(values[control.name])
            self.params = self._make_params(**values)
            self.result: Result | None = self._compute(self.params)
            self._draw(self.scene.live, self.result, self.reference)
            self.readouts = tuple(self._read(self.result))
            self.sentence = self._describe(self.result, self.reference)
            self._live.value = self.overlay.live(f"{self.title}. {self.sentence}") + self._words()
        except Exception as error:
            # JupyterLab hides what a callback raises: say it where the person looks, and let it go on.
            self.result, self.readouts, self.sentence = None, (), str(error) or type(error).__name__
            self._live.value = self._blank() + self._said(
                [f"{escape(then.label)} –" for then in self._then], "trimkit-refused"
            )
            raise
        if self._background.value != (still := STYLE + self.overlay.background()):
            self._background.value = still

    def _words(self) -> str:
        return self._said(
            [
                f"{escape(now.label)} <b>{escape(str(now))}</b>{_difference(now, then)}"
                for now, then in zip(self.readouts, self._then, strict=True)
            ]
        )

    def _said(self, readouts: Sequence[str], look: str = "") -> str:
        """Readouts and sentence; a refusal keeps the readouts' places, so that nothing below the lab moves."""
        cells = "".join(f"<div>{each}</div>" for each in readouts)
        return (
            f'<div class="trimkit-readouts">{cells}</div>'
            f'<p class="{f"trimkit-sentence {look}".rstrip()}">{TOGETHER.sub("&nbsp;", escape(self.sentence))}</p>'
        )

    def _blank(self) -> str:
        return f'<svg viewBox="{self.overlay.view_box}" role="img" aria-label="{escape(self.sentence)}"></svg>'

    def _pins_html(self) -> str:
        rows = self.pin_rows()
        head = "".join(f"<th>{escape(name)}</th>" for name in rows[0])
        body = "".join(
            f"<tr>{''.join(f'<td>{escape(_cell(value))}</td>' for value in row.values())}</tr>" for row in rows
        )
        return f'<table class="trimkit-pins"><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>'

    # What is on the screen

    def _widgets(self) -> None:
        self._held = False
        self.controls = {control.name: control.widget() for control in self.declared}
        for control in self.controls.values():
            control.observe(self._moved, "value")
        buttons = [
            button("Reset", "Back to the values the lab began with", self.reset),
            button("Pin this one", "Keep these numbers in the table below", self.pin),
            button("Clear pins", "Empty the table below", self.clear_pins),
        ]
        self.buttons = {each.description: each for each in buttons}
        layer = {"grid_area": SAME_CELL, "margin": "0", "width": "auto", "min_width": "0"}
        self._background, self._live = (widgets.HTML(layout=widgets.Layout(**layer)) for _ in range(2))
        self._background.add_class("trimkit-layer")
        self._live.add_class("trimkit-layer")
        self._pins = widgets.HTML(layout=widgets.Layout(max_height="160px", overflow="auto", margin="0"))
        left = widgets.VBox(
            [*self.controls.values(), widgets.HBox(buttons)],
            layout=widgets.Layout(width=f"{CONTROLS_WIDTH_PX}px", flex="0 0 auto"),
        )
        width, _height = self.overlay.size_px
        right = widgets.GridBox(
            [self._background, self._live],
            layout=widgets.Layout(flex="1 1 0", min_width="0", max_width=f"{width}px", align_content="flex-start"),
        )
        self.view = widgets.VBox([widgets.HBox([left, right]), self._pins])
        self.view.add_class("trimkit-lab")

    def _ipython_display_(self) -> None:
        """Show the live lab; on a page without a kernel the picture, and under it the sentence.

        Of one output a page shows one form only, so the sentence is a second one, which a live lab hides (STYLE).
        """
        from IPython.display import display

        data, metadata = self._repr_mimebundle_()
        said = {"text/html": f'<p class="trimkit-still">{escape(self.sentence)}</p>', "text/plain": self.sentence}
        display(data, metadata=metadata, raw=True)  # type: ignore[no-untyped-call]
        display(said, raw=True)  # type: ignore[no-untyped-call]

    def _repr_mimebundle_(self, **_kwargs: object) -> tuple[dict[str, Any], dict[str, Any]]:
        """The live lab, and for a page without a kernel the picture and the sentence as they stand now."""
        width, height = self.overlay.size_px
        data = {
            VIEW_MIME: {"version_major": 2, "version_minor": 0, "model_id": self.view.model_id},
            "image/png": base64.b64encode(self.overlay.png()).decode(),
            "text/plain": self.sentence,
        }
        return data, {"image/png": {"width": width, "height": height}}


def _difference(now: Readout, then: Readout) -> str:
    change = now.change_from(then)
    if change is None:
        return ""
    unit = "% points" if now.unit == "%" else now.unit  # of two percentages the difference is no percentage
    return f" <small>({escape(quantity(change, unit, now.decimals, '+'))})</small>"


def _cell(value: Value) -> str:
    return true_minus(f"{value:.4g}") if isinstance(value, float) else str(value)


def _letter(index: int) -> str:
    return (_letter(index // 26 - 1) if index >= 26 else "") + chr(ord("A") + index % 26)
