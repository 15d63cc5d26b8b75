"""What the record keeps of one club: each stage with its reason and what it rests on, each decision, the prediction."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from textwrap import wrap

from trimkit.club.order.order import Order
from trimkit.club.set import build_set
from trimkit.papers.record.build import first_record
from trimkit.papers.record.model import Record, RecordedClub
from trimkit.papers.record.store import ENDING, read_file
from trimkit.papers.record.words import revisions_lines
from trimkit.parts.errors import BenchError
from trimkit.parts.units import nearest_mark
from trimkit.study.form.bench import BenchForm, ShopBench
from trimkit.study.form.entries import Values
from trimkit.study.form.pieces import Answer, Lines, Output, Rows, aligned
from trimkit.trim.steps import StepKind, joined

KEPT = "kept"
HEADS = ("stage", "comes to", "reason", "rests on")
REASON_LETTERS = 42
"""How wide a reason is where a page shows it as text."""
NO_RECORD = "No record has been made yet: this is what it would keep."


def kept_form(bench: ShopBench, club: str) -> BenchForm:
    """Return the form that shows what the newest revision of the order's record keeps of a club.

    Before there is a record: what it would keep of the order. club: such as ``sand wedge``; of two the first. Raises
    BenchError, when it shows, if there is no such club or the order cannot be planned.
    """
    planned: list[tuple[Order, Record]] = []

    def found() -> tuple[RecordedClub, tuple[str, ...]]:
        """Return the club and where it was found, in lines; raises BenchError if there is none or the plan fails."""
        path = bench.path(f"{Path(bench.order_file).stem}{ENDING}")
        if bench.order_file and path.exists():
            record = read_file(path)
            said = (f"From {path.name}.", *revisions_lines(record))
        else:
            order = bench.order()
            if not planned or planned[0][0] != order:
                planned[:] = [(order, first_record(build_set(order), datetime.now(UTC)))]
            record, said = planned[0][1], (NO_RECORD,)
        for each in record.latest.clubs:
            if each.club == club:
                return each, said
        raise BenchError(f"there is no {club}", "a club of the order", "name another club in the cell of this form")

    def answer(_pressed: str, _values: Values) -> Answer:
        try:
            kept, said = found()
        except BenchError as refused:
            return Answer(bench.words(refused), fine=False, shown={KEPT: []})
        return Answer(shown={KEPT: [Rows(HEADS, kept_rows(kept), club, frozenset({1})), Lines(said)]})

    def still() -> str:
        try:
            kept, said = found()
        except BenchError as refused:
            return bench.words(refused)
        lines = []
        for stage, amount, why, rests_on in (HEADS, *kept_rows(kept)):
            first, *more = wrap(why, REASON_LETTERS)
            lines += [(stage, amount, rests_on, first), *(("", "", "", each) for each in more)]
        return "\n".join((club, "", aligned(lines), *said))

    return BenchForm(bench, (Output(KEPT),), answer, still, f"What the record keeps of the {club}")


def kept_rows(club: RecordedClub) -> tuple[tuple[str, ...], ...]:
    """Return a row for each stage, each decision and the prediction of a recorded club, as :data:`HEADS`."""
    steps = [
        (
            step.step,
            "–" if step.step == StepKind.CLUB else nearest_mark(step.inches_in).text,
            step.reason,
            joined(*step.sources).standing.value,
        )
        for step in club.steps
    ]
    decisions = [
        (
            "decision",
            "–" if each.effect_cpm is None else f"{each.effect_cpm:+.1f} cpm".replace("-", "−"),
            f"{each.what} Why: {each.why}.",
            "chosen in the order",
        )
        for each in club.decisions
    ]
    found = club.predicted
    if found is None:
        return (*steps, *decisions, ("plays", "–", club.no_prediction, "–"))
    spread = "" if found.frequency_sd_cpm is None else f" ± {2 * found.frequency_sd_cpm:.1f}"
    said = f"Flex {found.flex}." + (" The ± is two standard deviations." if spread else "")
    return (*steps, *decisions, ("plays", f"{found.frequency_cpm:.1f}{spread} cpm", said, "the beam model"))
