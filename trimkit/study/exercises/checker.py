"""The checker: a lesson's exercises, each with an answer box, its marking in a sentence, and later the solution."""

from __future__ import annotations

from html import escape
from typing import Any

import ipywidgets as widgets

from trimkit.study.exercises.exercise import LETTER_SCALE, Exercise
from trimkit.study.exercises.marking import Marking, Outcome, check
from trimkit.study.exercises.wording import numbered, questions_html, questions_text, unbroken
from trimkit.study.frame.controls import button
from trimkit.study.frame.state import live_view

TRIES = 2
"""After this many wrong tries the solution may be shown."""
STYLE = """<style>
.trimkit-exercises { max-width: 62em; }
.trimkit-exercises .widget-html-content { line-height: 1.4; font-size: var(--jp-content-font-size1, 14px); }
.trimkit-exercises .trimkit-question { margin: 10px 0 2px; }
.trimkit-exercises .trimkit-marking { border-left: 4px solid; padding-left: 8px; margin: 2px 0; }
.trimkit-exercises .trimkit-right { border-color: #0072B2; }
.trimkit-exercises .trimkit-not-yet { border-color: #D55E00; border-left-style: double; }
.trimkit-exercises .trimkit-solution { border-left: 4px dotted #777; padding-left: 8px; margin: 2px 0; }
</style>"""


class Asked:
    """One exercise on the screen and the answers to it so far.

    exercise: what is asked. number: as on the sheet, 02.1. marking: of the last check; None before the first. tries:
    the checks that counted.
    """

    def __init__(self, exercise: Exercise, number: str) -> None:
        self.exercise, self.number = exercise, number
        self.marking: Marking | None = None
        self.tries = 0
        self._last = ""
        self._awaited = False
        self._widgets()

    @property
    def may_show(self) -> bool:
        """Whether the solution may be shown: after a right answer, or after two tries."""
        return self.tries >= TRIES or (self.marking is not None and self.marking.right)

    def answer(self, text: str) -> Marking:
        """Write a text into the box and check it, as a student would."""
        self.box.value = text
        return self.check()

    def check(self) -> Marking:
        """Mark the text in the box and show the marking; the same text again is not another try."""
        text = self.box.value.strip()
        self._awaited = False
        marking = Marking(Outcome.UNREADABLE, "Write your answer in the box first.")
        if text:
            marking = check(self.exercise, text)
        self.tries += marking.counts and text != self._last
        self._last = text
        self.marking = marking
        look = "right" if marking.right else "not-yet"
        sentence = escape(marking.sentence)
        self._said.value = f'<div class="trimkit-marking trimkit-{look}" role="status">{sentence}</div>'
        if self.may_show:
            self.show_button.layout.display = ""
        return marking

    def show_solution(self) -> None:
        """Show the worked solution if it is due."""
        if self.may_show:
            solution = escape(unbroken(self.exercise.solution))
            self._solution.value = f'<div class="trimkit-solution"><b>Solution.</b> {solution}</div>'

    def _widgets(self) -> None:
        asked = self.exercise
        question = widgets.HTML(
            f'<div class="trimkit-question"><b>{self.number}</b> {escape(unbroken(asked.question))}</div>',
            layout=widgets.Layout(margin="0"),
        )
        unit = {LETTER_SCALE: "letter scale", "": "a number"}.get(asked.unit, asked.unit)
        self.box = widgets.Text(
            description=f"Answer {self.number} ({unit})",
            placeholder="type, then Enter",
            continuous_update=False,
            style={"description_width": "initial"},
            layout=widgets.Layout(width="380px"),
        )
        # Listen for Enter itself, so that leaving the box with Tab is not a try.
        self.box.on_msg(self._entered)
        self.box.observe(self._arrived, "value")
        self.check_button = button("Check", f"Check answer {self.number}", self._clicked)
        self.show_button = button("Show solution", f"Worked solution of exercise {self.number}", self.show_solution)
        self.show_button.layout.display = "none"
        self._said = widgets.HTML(layout=widgets.Layout(margin="0"))
        self._solution = widgets.HTML(layout=widgets.Layout(margin="0"))
        row = widgets.HBox([self.box, self.check_button, self.show_button])
        self.view = widgets.VBox([question, row, self._said, self._solution])

    def _entered(self, _widget: object, content: dict[str, Any], _buffers: object) -> None:
        if content.get("event") == "submit":
            late = self._old_text
            if self.box.value.strip():
                self.check()
            self._awaited = late

    def _clicked(self) -> None:
        late = self._old_text
        self.check()
        self._awaited = late

    @property
    def _old_text(self) -> bool:
        """Whether the box holds nothing new: the page may send the text only after the Enter that belongs to it."""
        return self.box.value.strip() in ("", self._last)

    def _arrived(self, _change: object) -> None:
        if self._awaited:
            self.check()


class Checker:
    """All exercises of a lesson on the screen; ``asked[0].answer("5 3/4")`` answers the first one."""

    def __init__(self, lesson: str, exercises: tuple[Exercise, ...], seed: int) -> None:
        self.lesson, self.exercises, self.seed = lesson, exercises, seed
        self.asked = tuple(Asked(exercise, number) for number, exercise in numbered(exercises))
        self.view = widgets.VBox([widgets.HTML(STYLE + self._heading()), *(asked.view for asked in self.asked)])
        self.view.add_class("trimkit-exercises")

    def _heading(self) -> str:
        return (
            f"Exercises of lesson {escape(self.lesson)} that are checked here, seed {self.seed}: another seed gives "
            "different numbers. Write <code>5 3/4</code>, <code>5.75 in</code>, <code>146 mm</code> or "
            "<code>-1/4</code>, then press Enter."
        )

    def _repr_mimebundle_(self, **_kwargs: object) -> dict[str, Any]:
        """The live exercises, and the questions as text for a page without a kernel."""
        return live_view(self.view.model_id) | {
            "text/html": questions_html(self.exercises),
            "text/plain": questions_text(self.exercises),
        }
