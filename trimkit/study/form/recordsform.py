"""The records of the folder: find one, show it with every reading, compare it with another or with what it was."""

from __future__ import annotations

from datetime import date, datetime

from trimkit.papers.record.changewords import comparison_lines
from trimkit.papers.record.compare import compare
from trimkit.papers.record.listing import asked_for, listed_records
from trimkit.papers.record.model import Record, Revision
from trimkit.papers.record.store import read_file
from trimkit.papers.record.words import record_lines, when
from trimkit.parts.errors import BenchError, counted
from trimkit.study.form.bench import BenchForm, ShopBench, offered
from trimkit.study.form.entries import Values
from trimkit.study.form.orderlines import fault_words
from trimkit.study.form.pieces import Answer, Button, Buttons, Field, Fields, Lines, Output, Rows

SINCE, UNTIL = "since", "until"
RECORD, REVISION, OTHER, OTHER_REVISION = "record", "revision", "other", "other revision"
HEADS = ("date", "client", "title", "shafts", "clubs", "revisions", "measured", "file")


def records_form(bench: ShopBench) -> BenchForm:
    """Return the form that lists the records of the bench's folder, shows one, and compares two."""

    def answer(pressed: str, values: Values) -> Answer:
        shown = _listed(bench, values)
        hints = {SINCE: "2026-01-31", UNTIL: "2026-12-31", REVISION: "the newest", OTHER_REVISION: "the newest"}
        if isinstance(shown, Answer):
            return shown
        if not pressed:
            return Answer(hints=hints, shown={"list": shown})
        try:
            lines = _shown(bench, values) if pressed == "show" else _compared(bench, values)
        except _At as refused:
            return Answer(faults={refused.field: [refused.words]}, hints=hints, shown={"list": shown, "below": []})
        return Answer(hints=hints, shown={"list": shown, "below": [Lines(lines, mono=True)]})

    pieces = (
        Fields(
            "Find records",
            (
                Field("client", "client has the words"),
                Field("shaft", "a shaft has the words"),
                Field("club", "with the club, such as 7i"),
                Field(SINCE, "since the day"),
                Field(UNTIL, "until the day"),
            ),
            widths=(1, 1, 1, 0.7, 0.7),
        ),
        Output("list"),
        Fields(
            "Look into records",
            (
                Field(RECORD, "record", choices=offered(bench.record_files, "choose a record")),
                Field(REVISION, "its revision"),
                Field(OTHER, "compare with", choices=offered(bench.record_files, "its own earlier revision")),
                Field(OTHER_REVISION, "of that the revision"),
            ),
            widths=(1.2, 0.6, 1.2, 0.6),
        ),
        Buttons((Button("show", "Show the record", main=True), Button("compare", "Compare"))),
        Output("below"),
    )
    return BenchForm(bench, pieces, answer, lambda: "\n".join(_words(bench)), "Records")


class _At(Exception):
    """A refusal, in words, that belongs beside a field."""

    def __init__(self, field: str, words: str) -> None:
        super().__init__(words)
        self.field, self.words = field, words


def _listed(bench: ShopBench, values: Values) -> list[Lines | Rows] | Answer:
    faults: dict[str, list[str]] = {}
    days: dict[str, date | None] = {}
    for name in (SINCE, UNTIL):
        text = values[name].strip()
        try:
            days[name] = datetime.strptime(text, "%Y-%m-%d").date() if text else None
        except ValueError:
            faults[name] = [
                f"{text!r} is not a day. Allowed: year-month-day, such as 2026-01-31. Do next: write it so."
            ]
    if faults:
        return Answer(faults=faults)
    found, damaged = listed_records(bench.folder)
    words = {name: values[name] for name in ("client", "shaft", "club")}
    try:
        fit = asked_for(found, **words, since=days[SINCE], until=days[UNTIL])
    except BenchError as refused:
        late = days[SINCE] is not None and days[UNTIL] is not None and days[SINCE] > days[UNTIL]  # type: ignore[operator]
        return Answer(faults={UNTIL if late else "club": [fault_words(refused)]})
    rows = tuple(
        (
            str(each.saved_on),
            each.client,
            each.title,
            "; ".join(each.shafts),
            str(len(each.clubs)),
            str(each.revisions),
            each.verdict,
            each.file,
        )
        for each in fit
    )
    asked = any((*words.values(), *days.values()))
    count = f"{counted(len(fit), 'record')} of {len(found)}" if asked else counted(len(found), "record")
    lines = Lines((f"{count} in this folder.", *map(str, damaged)))
    return [Rows(HEADS, rows, numbers=frozenset({0, 4, 5})), lines] if rows else [lines]


def _words(bench: ShopBench) -> tuple[str, ...]:
    return (f"{counted(len(bench.record_files()), 'record')} in this folder.",)


def _read(bench: ShopBench, values: Values, name: str) -> Record:
    if not values[name]:
        raise _At(name, "No record is chosen. Do next: choose one; the form above makes them.")
    try:
        return read_file(bench.path(values[name]))
    except BenchError as refused:
        raise _At(name, str(refused)) from None


def _revision(record: Record, values: Values, name: str, default: int) -> Revision:
    """Return the revision whose number is in a field; the default where it is empty."""
    text, last = values[name].strip(), len(record.revisions)
    number = default if not text else int(text) if text.isascii() and text.isdigit() and len(text) < 10 else 0
    if not 1 <= number <= last:
        raise _At(name, f"There is no revision {text!r}. Allowed: 1 to {last}. Do next: choose one of them.")
    return record.revision(number)


def _shown(bench: ShopBench, values: Values) -> tuple[str, ...]:
    record = _read(bench, values, RECORD)
    return tuple(record_lines(record, _revision(record, values, REVISION, len(record.revisions))))


def _compared(bench: ShopBench, values: Values) -> tuple[str, ...]:
    record = _read(bench, values, RECORD)
    now = _revision(record, values, REVISION, len(record.revisions))
    if values[OTHER]:
        other = _read(bench, values, OTHER)
        before = _revision(other, values, OTHER_REVISION, len(other.revisions))
    elif now.number == 1 and not values[OTHER_REVISION].strip():
        raise _At(OTHER, "This is the first revision. Allowed: another record, or a later revision. Do next: choose.")
    else:
        other, before = record, _revision(record, values, OTHER_REVISION, now.number - 1)
    sides = (("before", values[OTHER] or values[RECORD], other, before), ("now", values[RECORD], record, now))
    lines = (
        f"{side}: {file}, revision {one.number} of {len(of.revisions)}, {when(one.saved_at)} ({one.reason}): "
        f"{one.order.title}, for {one.order.client}"
        for side, file, of, one in sides
    )
    return (*lines, "", *comparison_lines(compare(before, now)))
