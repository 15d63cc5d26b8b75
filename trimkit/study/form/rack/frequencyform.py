"""The form that finds a frequency without a machine: from a film, or from a sensor's readings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from trimkit.papers.formcell import write_frequency
from trimkit.papers.measured import MeasuredRow
from trimkit.papers.swingwords import CAUTION, film_lines, series_lines
from trimkit.parts.csvfile import read_rows
from trimkit.parts.errors import BenchError, Place
from trimkit.shop.swings import film_frequency
from trimkit.study.form.bench import ShopBench, offered
from trimkit.study.form.entries import Values
from trimkit.study.form.pieces import NOTHING, Answer, Button, Buttons, Choices, Field, Fields, Lines, Output
from trimkit.study.form.rack.workedout import CAUTIONS, FOUND, REPLACE, WORK, WRITE, Found, WorkedOutForm, number_in

SWINGS = Field("swings", "whole swings on a film", title="there and back")
FRAMES = Field("frames", "frames that they take", title="from the first pass to the last")
RATE = Field("rate", "frames a second", title="of the filming, not of the playing")
RATE_ERROR = Field("rate error", "which is good to", "%", title="standard uncertainty")
SERIES, FORM, CLUB = "series", "form", "club"
FILM = (SWINGS, FRAMES, RATE, RATE_ERROR)


class FrequencyForm(WorkedOutForm):
    """A film's counts or a sensor's file in; the frequency, how sure it is, and into the form of a set with it."""

    saving = frozenset({FORM, CLUB, REPLACE})

    def __init__(self, bench: ShopBench) -> None:
        pieces = (
            Output(CAUTIONS),
            Fields("Film", FILM),
            Fields(
                "Sensor and form",
                (
                    Field(SERIES, "or the readings of a sensor", choices=offered(self._series, "none")),
                    Field(FORM, "write it into the form", choices=offered(self.form_files, "choose to_measure.csv")),
                    Field(CLUB, "for the club", choices=self._clubs),
                ),
            ),
            Buttons(
                (
                    Button(WORK, "Find the frequency", main=True),
                    Button(WRITE, "Write it into the form", "Write the frequency that is shown"),
                    Field(REPLACE, "replace the frequency that the club has", tick=True),
                )
            ),
            Output(FOUND),
        )
        self._form = NOTHING
        super().__init__(bench, pieces, "Frequency", (Lines((CAUTION.replace("\n", " "),)),))

    def _series(self) -> tuple[str, ...]:
        return tuple(name for name in self.table_files() if name.endswith(".csv"))

    def _clubs(self) -> Choices:
        """Return the clubs of the chosen form by their places, each with the frequency that it has already."""
        try:
            rows = self._rows_of(getattr(self, "_plain", {}).get(FORM, NOTHING))
        except BenchError:  # said beside the form
            rows = []
        has = {row.place: f", {row.frequency_cpm:g} cpm" for row in rows if row.frequency_cpm is not None}
        clubs = ((f"{row.place}: {row.club}{has.get(row.place, '')}", row.place) for row in rows)
        return (("choose a club", NOTHING), *clubs)

    def _rows_of(self, form: str) -> list[MeasuredRow]:
        return [row for _, row in read_rows(self.bench.path(form), MeasuredRow)] if form else []

    def usual(self, values: Values) -> Mapping[str, str]:
        """Return that a rate is taken as exact."""
        return {RATE_ERROR.name: "taken as exact"}

    def _answer_to(self, pressed: str, values: Values) -> Answer:
        """Answer as every such form; another form of clubs is another set, of which no club is chosen yet."""
        if (before := self._form) and values[FORM] != before:
            values[CLUB] = NOTHING
        self._form = values[FORM]
        answer = super()._answer_to(pressed, values)
        faults = {**answer.faults}
        try:
            self._rows_of(values[FORM])
        except BenchError as refused:
            faults[FORM] = [str(refused)]
        return replace(answer, faults=faults, values={**answer.values, CLUB: values[CLUB]})

    def read(self, values: Values) -> tuple[Any, ...]:
        """Return swings, frames, rate and its error of a film; or times and readings of a sensor.

        Raises BenchError for both or neither and for a count that is none; DataFileError with the file's faults.
        """
        from trimkit.shop.seriesfile import read_series

        film = any(values[field.name].strip() for field in FILM)
        if values[SERIES] and film:
            given, step = "counts of a film are given as well as a sensor's file", "empty the counts, or choose no file"
            raise BenchError(given, "one of the two", step, Place(key=SERIES))
        if values[SERIES]:
            return read_series(self.path_of(values, SERIES))
        if not film:
            step = "count swings and frames of a film, or choose the file of a sensor"
            raise BenchError("nothing to find a frequency from is given", "a film, or a sensor's file", step)
        swings, frames = (int(number_in(values, field, whole=True)) for field in (SWINGS, FRAMES))
        return swings, frames, number_in(values, RATE), number_in(values, RATE_ERROR, usual=0.0) / 100

    def work_out(self, read: tuple[Any, ...], values: Values) -> Found:
        """Return the frequency with its uncertainty, and what would make it surer."""
        from trimkit.shop.swingseries import series_frequency

        if values[SERIES]:
            of_series = series_frequency(*read)
            cpm, sd_cpm, lines = of_series.frequency_cpm, of_series.sd_cpm, series_lines(of_series)
        else:
            of_film = film_frequency(*read)
            cpm, sd_cpm, lines = of_film.frequency_cpm, of_film.sd_cpm, film_lines(of_film, *read[2:])
        return Found(cpm, f"{cpm:.1f} ± {sd_cpm:.2f} cpm.", (Lines(tuple(" ".join(line.split()) for line in lines)),))

    def write(self, found: float, values: Values) -> str:
        """Write the frequency, cpm, into the row of a club in the form of its set.

        Raises BenchError where no form or no club is chosen, otherwise as
        :func:`trimkit.papers.formcell.write_frequency`.
        """
        if values[FORM] == NOTHING or values[CLUB] == NOTHING:
            key = FORM if values[FORM] == NOTHING else CLUB
            raise BenchError(f"no {key} is chosen", "a form, and a club of it", "choose it", Place(key=key))
        path = self.path_of(values, FORM)
        what = write_frequency(path, found, place=values[CLUB], replace=values[REPLACE])
        return f"Wrote {values[FORM]}: {what}, {found:.1f} cpm."


def frequency_form(bench: ShopBench) -> FrequencyForm:
    """Return the form that finds a frequency from a film or a sensor, and writes it into the form of a set."""
    return FrequencyForm(bench)
