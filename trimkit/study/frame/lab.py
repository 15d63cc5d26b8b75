"""What every lab is made of: controls, one picture that keeps up with the hand, readouts, a sentence, pins.

A lab is a chain of pure steps: the controls' values make one frozen ``params``; ``compute(params)`` gives a result;
``draw`` puts the result into the live artists of a scene; ``read`` and ``describe`` say the same in numbers and in one
sentence. What a page shows of one state is a :class:`Frame`; :meth:`Lab.frame_of` makes the frame of any state without
touching the present one, so that a page can be sent the frames that a hand may ask for next.
"""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from html import escape
from threading import RLock
from typing import TYPE_CHECKING, Any, Generic

from trimkit.parts.errors import BenchError
from trimkit.parts.units import true_minus
from trimkit.study.frame.controls import Control, Value, titled
from trimkit.study.frame.overlay import Live, Overlay, Scene
from trimkit.study.frame.readout import Readout
from trimkit.study.frame.state import Frame, Params, Pin, Result, State, letter_of, live_view

if TYPE_CHECKING:
    import pandas as pd
    from matplotlib.figure import Figure

    from trimkit.study.frame.widget import LabWidget

TOGETHER = re.compile(r"(?<=\d) (?=\d+/\d)|(?<=≈) ")
"""The gaps in ≈ 35 7/8, where a line must not break."""

NOT_RUNNING = (
    ".jp-OutputArea-child:has(+ * + * .trimkit-still) > .jupyter-widgets:not(:has(*))"
    "{font-size:0}"
    ".jp-OutputArea-child:has(+ * + * .trimkit-still) > .jupyter-widgets:not(:has(*))::after"
    "{font-size:13px;content:'As it was saved. Run this cell to move it.'}"
)
"""In the place of the error that JupyterLab shows for a lab that is not running."""


class Lab(Generic[Params, Result]):
    """Controls, picture, readouts, sentence and pins of one question; shown by being the last line of a cell.

    title: what the picture shows, for a screen reader. params: makes the frozen params from the controls' values by
    name. compute: params to result, pure. build: the result of the reference to the scene (draw the ghost here, it
    does not move). draw: sets the live artists, given (live, result, reference). read: the readouts of a result.
    describe: one sentence with the same numbers, given (result, reference). reference: what everything is compared
    with; the defaults of the controls unless given.

    After any move ``values``, ``params``, ``result``, ``readouts``, ``sentence`` and ``figure`` are those of the newest
    values. When a step raises, ``result`` is None, there are no readouts, ``sentence`` is the error's; :meth:`set`
    raises it again. Any thread may use a lab: one lock keeps its states whole.
    """

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
        self.declared = tuple(controls)
        self.defaults: dict[str, Value] = {control.name: control.taken(control.default) for control in controls}
        self._make_params, self._compute, self._draw, self._read, self._describe = params, compute, draw, read, describe
        self.lock = RLock()
        self.reference = compute(params(**self.defaults) if reference is None else reference)
        self._then = tuple(read(self.reference))
        self._build = partial(build, self.reference)
        self._shown = self._overlay()
        self._ahead: Overlay | None = None
        self._view: LabWidget | None = None
        self.pins: list[Pin[Params]] = []
        self._now = self._state(self.defaults, self._shown)
        self._drawn = self._now
        if self._now.error is not None:
            raise self._now.error

    # What a test or a notebook reads and sets

    def set(self, **values: Value) -> Lab[Params, Result]:
        """Move controls by name, as a hand would, with one refresh for all of them.

        Raises BenchError if there is no such control or it does not have this value (nothing moves then), and whatever
        a step of the chain raises.
        """
        with self.lock:
            self._now = self._drawn = self._state(self._taken(values, self._now.values), self._shown)
            self._tell()
            if self._now.error is not None:
                raise self._now.error
        return self

    def reset(self) -> None:
        """Bring back every control's default; pins stay."""
        self.set(**self.defaults)

    def frame_of(self, values: Mapping[str, Value]) -> Frame:
        """Return what a page shows of these values (the rest at their defaults); the lab itself stays where it is.

        A step that raises makes a frame that says so. Raises BenchError as :meth:`set` for a value a control lacks.
        """
        with self.lock:
            return self._state(self._taken(values, self.defaults), self._scene_ahead()).frame

    @property
    def values(self) -> dict[str, Value]:
        """The controls' values by name."""
        return dict(self._now.values)

    @property
    def params(self) -> Params:
        """The params of the present values."""
        return self._now.params

    @property
    def result(self) -> Result | None:
        """What the chain computed, or None if a step raised."""
        return self._now.result

    @property
    def readouts(self) -> tuple[Readout, ...]:
        """The numbers under the picture."""
        return self._now.readouts

    @property
    def readout(self) -> dict[str, Readout]:
        """The readouts by label."""
        return {readout.label: readout for readout in self.readouts}

    @property
    def sentence(self) -> str:
        """The sentence under the picture."""
        return self._now.sentence

    @property
    def frame(self) -> Frame:
        """What a page shows of the present values."""
        return self._now.frame

    @property
    def overlay(self) -> Overlay:
        """The picture in its two layers, of the present values."""
        with self.lock:
            if self._drawn is not self._now:  # a page moved the lab
                self._now = self._drawn = self._state(self._now.values, self._shown)
            return self._shown

    @property
    def scene(self) -> Scene:
        """The figure and its live artists."""
        return self.overlay.scene

    @property
    def figure(self) -> Figure:
        """The picture as matplotlib has it."""
        return self.overlay.figure

    # Pins

    def pin(self) -> None:
        """Keep the present values for comparison."""
        with self.lock:
            self._pin(self._now)
            self._tell()

    def clear_pins(self) -> None:
        """Forget all pins."""
        with self.lock:
            self.pins.clear()
            self._tell()

    def pin_rows(self) -> list[dict[str, Value]]:
        """The pins as rows: the controls' values, then the readouts, each column with its unit."""
        return [
            self._settings(pin)
            | {titled(r.label, r.unit): r.value if r.shown is None else r.shown for r in pin.readouts}
            for pin in self.pins
        ]

    def pin_table(self) -> pd.DataFrame:
        """The pins as a table, which can be saved with ``to_csv``."""
        import pandas as pd

        return pd.DataFrame(self.pin_rows())

    def _settings(self, pin: Pin[Params]) -> dict[str, Value]:
        titles = {control.name: titled(control.label, getattr(control, "unit", "")) for control in self.declared}
        return {"pin": pin.letter} | {title: getattr(pin.params, name) for name, title in titles.items()}

    def _pin(self, state: State[Params, Result]) -> None:
        if state.result is not None:
            self.pins.append(Pin(letter_of(len(self.pins)), state.params, state.readouts))

    # The chain

    def _taken(self, values: Mapping[str, Value], rest: Mapping[str, Value]) -> dict[str, Value]:
        declared = {control.name: control for control in self.declared}
        for name in values:
            if name not in declared:
                allowed = f"one of {', '.join(declared)}"
                raise BenchError(f"This lab has no control {name!r}", allowed, "use one of these names")
        return dict(rest) | {name: declared[name].taken(value) for name, value in values.items()}

    def _state(self, values: dict[str, Value], overlay: Overlay) -> State[Params, Result]:
        """Run the chain; the picture is drawn in the scene of ``overlay``."""
        params = self._make_params(**values)
        try:
            result = self._compute(params)
            self._draw(overlay.scene.live, result, self.reference)
            readouts = tuple(self._read(result))
            sentence = self._describe(result, self.reference)
            picture = overlay.live(f"{self.title}. {sentence}")
        except Exception as error:
            # JupyterLab hides what a callback raises: say it where the person looks.
            sentence = str(error) or type(error).__name__
            blank = tuple((then.label, "–", "") for then in self._then)
            return State(
                values, params, None, (), sentence, Frame(overlay.blank(sentence), blank, sentence, True), error
            )
        shown = tuple(
            (now.label, str(now), now.change_said(then)) for now, then in zip(readouts, self._then, strict=True)
        )
        words = TOGETHER.sub("\N{NO-BREAK SPACE}", sentence)
        return State(values, params, result, readouts, sentence, Frame(picture, shown, words))

    def move(self, values: Mapping[str, Value]) -> None:
        """Move controls by name for a page: as :meth:`set`, but the figure waits until somebody looks at it."""
        with self.lock:
            taken = self._taken(values, self._now.values)
            if taken != self._now.values:
                self._now = self._state(taken, self._scene_ahead())

    def _overlay(self) -> Overlay:
        """A new scene; all scenes of a lab write the same text for the same state."""
        return Overlay(self._build(), hashlib.sha256(self.title.encode()).hexdigest()[:10])

    def _scene_ahead(self) -> Overlay:
        """The scene of frames that a page is sent; never the one that ``figure`` shows."""
        if self._ahead is None:
            self._ahead = self._overlay()
        return self._ahead

    # What is on the screen

    def told(self) -> dict[str, Any]:
        """Return what a page needs once: the controls, the picture's still layer, the columns of the pins.

        numbers: which readouts have a column there; one that only repeats a control has none.
        """
        settings = [titled(each.label, getattr(each, "unit", "")) for each in self.declared]
        numbers = [titled(then.label, then.unit) for then in self._then]
        new = [at for at, number in enumerate(numbers) if number not in settings]
        return {
            "title": self.title,
            "controls": [control.told() for control in self.declared],
            "still": self._shown.background(),
            "size": self._shown.size_px,
            "pinned": ["pin", *settings, *(numbers[at] for at in new)],
            "numbers": new,
        }

    def pins_told(self) -> list[list[str]]:
        """Return the pins as a page shows them, a row each."""
        return [[_cell(value) for value in row.values()] for row in self.pin_rows()]

    def press(self, button: Mapping[str, Any], values: Mapping[str, Value]) -> dict[str, Any] | None:
        """Do what a button of the page does at these values: pin, or clear the pins; return what to say of it."""
        with self.lock:
            if button["name"] == "pin":
                self._pin(self._state(self._taken(values, self.defaults), self._scene_ahead()))
            elif button["name"] == "clear":
                self.pins.clear()
        return None

    @property
    def view(self) -> LabWidget:
        """The lab in JupyterLab, made when it is first asked for."""
        if self._view is None:
            from trimkit.study.frame.widget import LabWidget

            self._view = LabWidget(self)
        return self._view

    def _tell(self) -> None:
        if self._view is not None:
            self._view.page.tell()

    def _ipython_display_(self) -> None:
        """Show the live lab and, for a page on which it is not running, its picture and the sentence."""
        from IPython.display import display

        for data, metadata in self.outputs():
            display(data, metadata=metadata, raw=True)  # type: ignore[no-untyped-call]

    def outputs(self) -> tuple[tuple[dict[str, Any], dict[str, Any]], ...]:
        """Return the live lab, the picture and the sentence as they are now: data by MIME type, and metadata, of each.

        A page shows one form of an output, so these are three: a live lab hides the others (lab.css), and of a notebook
        that is opened again, where no lab is running, they are what one sees.
        """
        width, height = self.overlay.size_px
        picture = {"image/png": base64.b64encode(self.overlay.png()).decode(), "text/plain": self.sentence}
        said = f'<style>{NOT_RUNNING}</style><p class="trimkit-still">{escape(self.sentence)}</p>'
        self.view.show_now()
        return (
            (live_view(self.view.model_id), {}),
            (picture, {"image/png": {"width": width, "height": height}}),
            ({"text/html": said, "text/plain": self.sentence}, {}),
        )


def _cell(value: Value) -> str:
    return true_minus(f"{value:.4g}") if isinstance(value, float) else str(value)
