"""What the finished clubs measured: a line a club of a record, the findings as one types, saved as a revision."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from trimkit.papers.measured import MeasuredRow, measured_club
from trimkit.papers.record.build import with_measurements, withdrawn
from trimkit.papers.record.model import Measured, Record
from trimkit.papers.record.readings import ALL, QUANTITIES, counting
from trimkit.papers.record.store import ENDING, read_file, save_record
from trimkit.papers.record.words import measured_lines, replaced_lines, value_words
from trimkit.parts.errors import BenchError, DataFileError, Place, counted
from trimkit.parts.faults import faults_of
from trimkit.study.form.bench import BenchForm, ShopBench, offered
from trimkit.study.form.entries import Values, cell
from trimkit.study.form.orderlines import fault_words
from trimkit.study.form.pieces import NOTHING, Answer, Button, Buttons, Choices, Field, Fields, Lines, Output, Table

READINGS, RECORD, REASON = "readings", "record", "reason"
CLUB, WHAT, WHY = "club", "what", "why"
TYPED = ("playing_length_in", "frequency_cpm", "swingweight", "total_mass_g", "remark")
NAMED = dict(zip(QUANTITIES, TYPED, strict=False))
"""What is read of a finished club, and its column."""


class MeasuredForm(BenchForm):
    """Readings of the clubs of one record; ``record`` is what its file held when it was read last, None without one."""

    def __init__(self, bench: ShopBench) -> None:
        self.record: Record | None = None
        self._of: tuple[str, int] = (NOTHING, 0)
        record = Field(RECORD, "record", choices=offered(bench.record_files, "choose a record"))
        readings = (
            Field("name", "club", told=True, words=True, width_px=84),
            Field("playing_length_in", "playing length", "in", width_px=64),
            Field("frequency_cpm", "frequency", "cpm", width_px=66),
            Field("swingweight", "swingweight", width_px=78),
            Field("total_mass_g", "total mass", "g", width_px=66),
            Field("remark", "remark", width_px=140),
            Field("verdict", "verdict", told=True, words=True, width_px=220),
        )
        withdrawing = (
            Field(CLUB, "a wrong reading: of the club", choices=self._clubs),
            Field(WHAT, "which", choices=tuple((each, each) for each in (*QUANTITIES, ALL))),
            Field(WHY, "why it was wrong"),
            Button("withdraw", "Withdraw it", "The revisions before keep it"),
        )
        pieces = (
            Fields("Record", (record,), (1, 1)),
            Table(READINGS, "club", readings, fixed=True),
            Buttons((Button("save", "Save the readings", main=True), Field(REASON, "why a revision is added"))),
            Buttons(withdrawing),
            Output("findings"),
        )
        super().__init__(bench, pieces, self._answer_to, self._text, "What was measured")

    def _text(self) -> str:
        return self.said or "No record is chosen."

    def _clubs(self) -> Choices:
        clubs = () if self.record is None else self.record.latest.clubs
        return (("choose a club", NOTHING), *((f"{n} {each.club}", n) for n, each in enumerate(clubs, start=1)))

    def _answer_to(self, pressed: str, values: Values) -> Answer:
        name = values[RECORD] or self._own()
        if not name:
            self.record, self._of = None, (NOTHING, 0)
            faults = {RECORD: ["No record is chosen. Do next: choose one, or make one in the form above."]}
            return Answer(faults=faults if pressed else {}, rows={READINGS: []}, shown={"findings": []})
        try:
            self.record = record = read_file(self.bench.path(name))
        except BenchError as refused:
            self.record, self._of = None, (NOTHING, 0)
            return Answer(faults={RECORD: [str(refused)]}, rows={READINGS: []}, shown={"findings": []})
        rows: dict[str, Sequence[Mapping[str, Any]]] = {}
        chosen = {} if values[RECORD] else {RECORD: name}
        before, self._of = self._of, (name, len(record.latest.clubs))
        if self._of != before:
            rows[READINGS] = [{}] * len(record.latest.clubs)
        found, faults = ({}, {}) if rows else read_rows(record, values.rows(READINGS))
        if pressed == "save":
            return self._saved(name, record, found, faults, values)
        if pressed == "withdraw":
            return self._withdrawn(name, record, values)
        new = record
        if found and not faults:
            try:
                new = with_measurements(record, found, datetime.now(UTC), reason="measured")
            except BenchError as refused:
                return Answer(str(refused), fine=False)
        said = "" if new is record else "Not saved yet."
        return self._told(new, record, found, said, faults, rows=rows, values=chosen)

    def _own(self) -> str:
        """Return the name of the record of the bench's order, if there is one."""
        name = f"{Path(self.bench.order_file).stem}{ENDING}"
        return name if self.bench.order_file and name in self.bench.record_files() else NOTHING

    def _told(
        self,
        new: Record,
        record: Record,
        found: Mapping[int, Measured],
        said: str,
        faults: Mapping[str, Sequence[str]],
        **more: Any,
    ) -> Answer:
        """Return an answer with the verdicts of ``new``; grey in empty fields: what counts in ``record``."""
        told, hints = dict[str, str](), {REASON: "measured", WHY: "such as: the clamp was loose"}
        for place, club in enumerate(new.latest.clubs):
            told[cell(READINGS, place + 1, "name")] = club.club
            words = "; ".join(f"{each.quantity} {each.difference:+.3g} {each.unit}" for each in club.findings)
            told[cell(READINGS, place + 1, "verdict")] = f"{club.verdict}\n{words}"
        for place, measured in counting(record).items():
            for quantity, field in QUANTITIES.items():
                if (value := getattr(measured, field)) is not None:
                    text = value_words(quantity, value)
                    words = text if quantity == "swingweight" else text.rpartition(" ")[0]
                    hints[cell(READINGS, place + 1, NAMED[quantity])] = words
            hints[cell(READINGS, place + 1, "remark")] = measured.remark
        lines = (*replaced_lines(record, found), *measured_lines(new.latest))
        return Answer(said, faults=faults, told=told, hints=hints, shown={"findings": [Lines(lines)]}, **more)

    def _saved(
        self,
        name: str,
        record: Record,
        found: Mapping[int, Measured],
        faults: Mapping[str, Sequence[str]],
        values: Values,
    ) -> Answer:
        if faults or not found:
            said = "Nothing is saved." if faults else "Nothing is saved: no reading is typed in."
            return self._told(record, record, {}, said, faults)
        reason = values[REASON].strip() or "measured"
        try:
            new = with_measurements(record, found, datetime.now(UTC), reason=reason)
            save_record(self.bench.path(name), new)
        except BenchError as refused:
            return Answer(f"Nothing is saved. {self.bench.words(refused)}", fine=False)
        self.record = new
        self.bench.changed()
        said = f"Saved: {counted(len(found), 'club')} measured, revision {new.latest.number}."
        rows: dict[str, Any] = {READINGS: [{}] * len(new.latest.clubs)}
        return self._told(new, new, {}, said, {}, rows=rows, values={REASON: NOTHING})

    def _withdrawn(self, name: str, record: Record, values: Values) -> Answer:
        if not values[CLUB]:
            return self._told(
                record, record, {}, "Nothing is withdrawn.", {CLUB: ["Choose the club that was read wrong."]}
            )
        try:
            new = withdrawn(record, values[CLUB] - 1, values[WHAT], datetime.now(UTC), reason=values[WHY].strip())
            save_record(self.bench.path(name), new)
        except BenchError as refused:
            where = WHY if not values[WHY].strip() else WHAT
            return self._told(record, record, {}, "Nothing is withdrawn.", {where: [self.bench.words(refused)]})
        self.record = new
        self.bench.changed()
        said = f"{new.latest.reason}: revision {new.latest.number}; the revisions before it keep the reading."
        return self._told(new, new, {}, said, {}, values={CLUB: NOTHING, WHY: NOTHING})


def read_rows(record: Record, rows: Sequence[Mapping[str, str]]) -> tuple[dict[int, Measured], dict[str, list[str]]]:
    """Return what was typed by the club's place from 0, and the faults by cell; lines without a value are left out."""
    found, faults = dict[int, Measured](), dict[str, list[str]]()
    for place, (club, row) in enumerate(zip(record.latest.clubs, rows, strict=True)):
        if not any(text.strip() for text in row.values()):
            continue
        try:
            found[place] = _measured(place, club.club, row)
        except DataFileError as error:
            for fault in error.faults:
                # A swingweight is kept in oz in, and typed on the letter scale.
                name = fault.place.key if fault.place is not None and fault.place.key in TYPED else "swingweight"
                faults.setdefault(cell(READINGS, place + 1, name), []).append(fault_words(fault))
        except BenchError as error:
            faults[cell(READINGS, place + 1, "swingweight")] = [fault_words(error)]
    return found, faults


def _measured(place: int, club: str, row: Mapping[str, str]) -> Measured:
    try:
        read = MeasuredRow.model_validate({"place": place + 1, "club": club, **row})
    except ValidationError as error:
        raise DataFileError(tuple(faults_of(MeasuredRow, error, lambda name: Place(key=name)))) from None
    return measured_club(
        playing_length=read.playing_length_in,
        frequency_cpm=read.frequency_cpm,
        swingweight=read.swingweight,
        total_mass=read.total_mass_g,
        remark=read.remark,
    )


def measured_form(bench: ShopBench) -> MeasuredForm:
    """Return the form for what the finished clubs of a record measured."""
    return MeasuredForm(bench)
