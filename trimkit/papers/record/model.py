"""The fitter's record as a document: what each part of it may hold, as in ``data/record.schema.json``.

A record is one JSON document for one build. It only grows: each revision is the whole build at one time, and older
revisions never change. Every value is written out; a missing one is a fault, never a default.

``python -m trimkit.papers.record.model`` prints the text of ``data/record.schema.json``; a test holds the two together.
"""

from __future__ import annotations

import itertools
import json
from typing import Annotated, Any, Final, Literal

from pydantic import BaseModel, ConfigDict, FailFast, Field, model_validator

from trimkit.club.club import NO_PREDICTION
from trimkit.club.order.decisions import Decision
from trimkit.club.order.tables import AssemblyTable, ClubTable, LengthTable, OrderHeader
from trimkit.club.shoptables import ShopFile
from trimkit.parts.components import Grip, Head, Shaft
from trimkit.parts.sources import Source
from trimkit.parts.tables import LadderRung, RawLength, ScheduleRow
from trimkit.trim.steps import Severity

FORMAT: Final = "trimkit record"
VERSION: Final = 5
MOST_REVISIONS = 500

Text = Annotated[str, Field(max_length=2000)]
Moment = Annotated[str, Field(pattern=r"^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\+00:00$", description="time, UTC")]
Inches = Annotated[float, Field(ge=-60, le=60)]
Cpm = Annotated[float, Field(gt=0, le=2000)]
Grams = Annotated[float, Field(gt=0, le=1000)]
Moment_oz_in = Annotated[float, Field(gt=0, le=500)]


class Written(BaseModel):
    """A part of the document: nothing unknown in it, no value converted, every number finite."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)


class RecordedOrder(OrderHeader):
    """The order, as its file holds it."""

    length: LengthTable | None = None
    assembly: AssemblyTable = AssemblyTable()
    club: Annotated[tuple[ClubTable, ...], Field(min_length=1)]


class RecordedParts(Written):
    """The parts and the tables the order was planned from, each with its source.

    shafts, grips: what the order names for all clubs first, then what single clubs have in its place.
    """

    shafts: Annotated[tuple[Shaft, ...], Field(min_length=1)]
    grips: Annotated[tuple[Grip, ...], Field(min_length=1)]
    heads: tuple[Head, ...]
    schedule_rows: tuple[ScheduleRow, ...]
    ladder_rungs: tuple[LadderRung, ...]
    raw_lengths: tuple[RawLength, ...]


class RecordedStep(Written):
    """One step of the plan: what it decides, its inches, why, and its sources."""

    step: Text
    inches_in: Inches
    reason: Text
    sources: tuple[Source, ...]


class RecordedNote(Written):
    """A note beside the cut: something to know or to check, or a warning."""

    severity: Severity
    text: Text
    next_step: Text
    source: Source


class Cuts(Written):
    """The exact lengths, in: raw + extension = tip trim + cut length + butt trim."""

    raw_length_in: Inches
    extension_in: Inches
    tip_trim_in: Inches
    cut_length_in: Inches
    butt_trim_in: Inches
    playing_length_in: Inches


class Predicted(Written):
    """What the mechanics predicts for the finished club.

    frequency_sd_cpm: its standard deviation, null if it was not computed. add_tip_weight_g: what the wanted swingweight
    needs in the club besides the order's tip weight, below 0 to take out of it; the other numbers have it in.
    """

    add_tip_weight_g: Annotated[float, Field(ge=-400, le=400)]
    frequency_cpm: Cpm
    frequency_sd_cpm: Annotated[float, Field(ge=0, le=500)] | None
    flex: Text
    swingweight_oz_in: Moment_oz_in
    total_mass_g: Grams
    balance_point_in: Inches
    moi_kg_cm2: Annotated[float, Field(gt=0, le=10000)]


class Measured(Written):
    """What the finished club measured; null for what was not measured."""

    playing_length_in: Annotated[float, Field(ge=18, le=60)] | None
    frequency_cpm: Annotated[float, Field(ge=50, le=800)] | None
    swingweight_oz_in: Annotated[float, Field(ge=100, le=400)] | None
    total_mass_g: Annotated[float, Field(ge=100, le=800)] | None
    remark: Text


class Difference(Written):
    """A measured value beside its prediction: difference = measured - predicted, and whether it is within tolerance."""

    quantity: Text
    unit: Text
    predicted: float
    measured: float
    difference: float
    tolerance: Annotated[float, Field(ge=0)]
    tolerance_source: Source
    within: bool


class RecordedClub(Written):
    """One club: the head as measured, every step, the cuts, the decisions, the predictions, and what was measured.

    shaft, grip: their names, as in the parts. predicted: null where the shaft's walls or stations are not known; a note
    says so.
    """

    club: Text
    head: Head
    shaft: Text
    grip: Text
    bbgl_in: Inches
    trims_as: Text
    flex: Text
    steps: Annotated[tuple[RecordedStep, ...], Field(min_length=1)]
    notes: tuple[RecordedNote, ...]
    decisions: tuple[Decision, ...]
    cuts: Cuts
    predicted: Predicted | None
    measured: Measured | None
    findings: tuple[Difference, ...]

    @property
    def verdict(self) -> str:
        """The verdict in words."""
        missed = [finding.quantity for finding in self.findings if not finding.within]
        if missed:
            return "outside the tolerance: " + ", ".join(missed)
        if self.findings:
            return "as predicted" if self.predicted is not None else "length as planned; nothing else was predicted"
        return (
            "not measured" if self.predicted is not None or self.measured is None else "measured; nothing was predicted"
        )

    @property
    def no_prediction(self) -> str:
        """Why there is no prediction, as its note says; empty if there is one."""
        return "" if self.predicted is not None else next((n.text for n in self.notes if n.source == NO_PREDICTION), "")

    @model_validator(mode="after")
    def _adds_up(self) -> RecordedClub:
        cuts = self.cuts
        left = cuts.raw_length_in + cuts.extension_in - cuts.tip_trim_in - cuts.cut_length_in - cuts.butt_trim_in
        if abs(left) > 1e-6:
            raise ValueError(f"the cuts of {self.club} do not add up to the raw length: {left:g} in are left")
        return self

    @model_validator(mode="after")
    def _says_why_nothing_is_predicted(self) -> RecordedClub:
        if self.predicted is None and not self.no_prediction:
            raise ValueError(f"{self.club} has no prediction and no note that says why")
        return self


class Revision(Written):
    """The whole build at one time: when, why and by which version it was saved, and everything in it.

    shop: the shop's own settings as its file gave them; null if there was no such file.
    """

    number: Annotated[int, Field(ge=1, le=MOST_REVISIONS)]
    saved_at: Moment
    package_version: Text
    reason: Text
    order: RecordedOrder
    shop: ShopFile | None
    parts: RecordedParts
    clubs: Annotated[tuple[RecordedClub, ...], Field(min_length=1), FailFast()]

    @model_validator(mode="after")
    def _one_club_for_each_ordered(self) -> Revision:
        if len(self.clubs) != len(self.order.club):
            raise ValueError(f"{len(self.order.club)} clubs are ordered and {len(self.clubs)} recorded")
        return self


class Record(Written):
    """A record: its format, its version, and its revisions, oldest first."""

    format: Literal["trimkit record"]
    version: Literal[5]
    revisions: Annotated[tuple[Revision, ...], Field(min_length=1, max_length=MOST_REVISIONS), FailFast()]

    @property
    def latest(self) -> Revision:
        """The newest revision."""
        return self.revisions[-1]

    def revision(self, number: int) -> Revision:
        """Return a revision by its number, from 1; raises IndexError naming how many there are."""
        if not 1 <= number <= len(self.revisions):
            raise IndexError(f"no revision {number}; there are {len(self.revisions)}")
        return self.revisions[number - 1]

    @model_validator(mode="after")
    def _numbered(self) -> Record:
        numbers = [revision.number for revision in self.revisions]
        if numbers != list(range(1, len(numbers) + 1)):
            raise ValueError(f"the revisions are numbered {numbers}, not 1, 2, 3 ...")
        if any(a.saved_at > b.saved_at for a, b in itertools.pairwise(self.revisions)):
            raise ValueError("a later revision is dated before an earlier one")
        return self


_LIMITS = {"ge": "minimum", "le": "maximum", "gt": "exclusiveMinimum", "lt": "exclusiveMaximum"}


def _limits_named(part: Any) -> Any:
    """Return a part of the schema with its limits under the standard's names, also where a validator hides them."""
    if isinstance(part, dict):
        return {_LIMITS.get(name, name): _limits_named(value) for name, value in part.items()}
    return [_limits_named(each) for each in part] if isinstance(part, list) else part


def schema_text() -> str:
    """Return the text of ``record.schema.json``, JSON Schema draft 2020-12."""
    schema = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": f"urn:trimkit:record:{VERSION}",
        **_limits_named(Record.model_json_schema()),
    }
    return json.dumps(schema, indent=2, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    print(schema_text(), end="")
