"""Plan and double check of the bench's order: a line a club, and what is written from it: sheet, tables, record."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from trimkit.check.clubcheck import ClubCheck
from trimkit.check.consistency import CheckTolerances
from trimkit.check.doublecheck import check_cards
from trimkit.club.card import card_of
from trimkit.club.club import build_club, finished_club
from trimkit.club.order.order import ClubSpec, Order
from trimkit.club.set import SetBuild, build_set, plan_order
from trimkit.club.swingweight import swingweight_tolerance
from trimkit.papers.measured import measured_of
from trimkit.papers.record.build import first_record, revised
from trimkit.papers.record.model import Measured
from trimkit.papers.record.store import ENDING, read_file, save_record
from trimkit.parts.errors import BenchError, SaveError, counted
from trimkit.parts.units import nearest_mark, say_number
from trimkit.study.form.bench import DEMO_ORDER, BenchForm, ShopBench
from trimkit.study.form.entries import Values
from trimkit.study.form.pieces import Answer, Button, Buttons, Field, Lines, Output, Rows, aligned
from trimkit.trim.plan import ClubRefused, TrimPlan

REASON, REPLACE, MEASURED = "reason", "replace", "measured"
HEADS = (
    "club",
    "BBGL (in)",
    "tip trim (in)",
    "cut length (in)",
    "butt trim (in)",
    "tip weight (g)",
    "plays (cpm)",
    "flex",
    "double check",
)
NOT_SAVED = "The order of the form is not saved yet"


@dataclass(frozen=True)
class PlannedSet:
    """An order planned and checked. rows: a line a club, as :data:`HEADS`. stops: why a club must not be cut so, a line
    each. whole: what is off about the set as a whole, and where the mechanics did not look."""

    rows: tuple[tuple[str, ...], ...]
    stops: tuple[str, ...]
    whole: str

    @property
    def said(self) -> str:
        """How many clubs may be cut, in words."""
        clubs = counted(len(self.rows), "club")
        if self.stops:
            return f"{clubs}: {len(self.stops)} must not be cut as planned; the reasons are below the table."
        return f"{clubs}, none stopped."


def planned(order: Order) -> PlannedSet:
    """Plan an order and check it before the saw; a club that the rules refuse has a line without cuts."""
    pairs = list(zip(plan_order(order).clubs, order.specs, strict=True))
    cards = [card_of(plan, spec.assembly) for plan, spec in pairs if isinstance(plan, TrimPlan)]
    check = check_cards(cards, CheckTolerances.of_shop(order.shop)) if cards else None
    checked = iter(() if check is None else check.clubs)
    rows, stops = list[tuple[str, ...]](), list[str]()
    for place, (plan, spec) in enumerate(pairs, start=1):
        name = f"{place} {plan.club if isinstance(plan, TrimPlan) else plan.wanted.head.club}"
        if isinstance(plan, ClubRefused):
            rows.append((name, *("–",) * (len(HEADS) - 2), "cannot be cut so"))
            reasons = " ".join(f"{fault.given}. Do next: {fault.next_step}." for fault in plan.faults)
            stops.append(f"{name}: cannot be cut so: {reasons}")
            continue
        each = next(checked)
        rows.append((name, *_cuts(plan), *_plays(order, plan, spec), each.verdict_text))
        if each.verdict.stops:
            stops.append(f"{name}: {_why(each)}")
    whole = "" if check is None else f"{check.whole_set} {check.no_second_opinion}".strip()
    return PlannedSet(tuple(rows), tuple(stops), whole)


def _cuts(plan: TrimPlan) -> tuple[str, ...]:
    lengths = (plan.tip_trim_in, plan.cut_length_in, plan.butt_trim_in)
    marks = (nearest_mark(length).text.removesuffix(" in") for length in lengths)
    return say_number(plan.wanted.bbgl_in), *marks


def _plays(order: Order, plan: TrimPlan, spec: ClubSpec) -> tuple[str, str, str]:
    """Return the tip weight that its swingweight needs, and frequency and flex of the finished club with it in."""
    try:
        club = build_club(plan, spec.assembly, spec.wanted_swingweight, swingweight_tolerance(order.shop))
        made = finished_club(club)
        weight = say_number(made.assembly.tip_weight_g, 1)
        if made.predicted is None:
            return weight, "–", "no prediction"
        return weight, f"{made.frequency_cpm:.1f}", made.flex_text
    except BenchError:  # the double check says why
        return "–", "–", "–"


def _why(club: ClubCheck) -> str:
    found = " ".join(finding.text for finding in club.findings) or "nobody can cut a shaft like this."
    return f"{found} Likely cause: {club.cause}." if club.causes else found


def plan_form(bench: ShopBench) -> BenchForm:
    """Return the form that plans and checks the bench's order, and writes sheet, tables and record into the folder."""
    known: list[tuple[Order, PlannedSet]] = []

    def answer(pressed: str, values: Values) -> Answer:
        try:
            order = bench.order()
        except BenchError as refused:
            return Answer(str(refused), fine=False, shown={"card": []})
        if not known or known[0][0] != order:
            known[:] = [(order, planned(order))]
        plan = known[0][1]
        shown = {"card": _shown(bench, order, plan)}
        hints = {REASON: "needed if there is a record"}
        if not pressed:
            return Answer(plan.said, not plan.stops and not plan.whole, hints=hints, shown=shown)
        try:
            said = _written(bench, order, pressed, values)
        except SaveError as refused:
            where = REASON if pressed == "record" and not values[REASON].strip() else REPLACE
            return Answer("Nothing is written.", faults={where: [bench.words(refused)]}, hints=hints, shown=shown)
        except BenchError as refused:
            return Answer(f"Nothing is written. {refused}", fine=False, hints=hints, shown=shown)
        bench.changed()
        stopped = f" {plan.said}" if plan.stops else ""
        return Answer(said + stopped, not stopped, hints=hints, values={REPLACE: False, REASON: ""}, shown=shown)

    pieces = (
        Output("card"),
        Buttons(
            (
                Button("sheet", "Write the sheet", "An HTML page to print: client, bench card, reasons", main=True),
                Button("tables", "Write the tables", "A folder of CSV files, and an empty form for what is measured"),
                Field(REPLACE, "replace files of that name", tick=True),
                Field(MEASURED, "with what the record has measured", tick=True),
            )
        ),
        Buttons(
            (
                Button("record", "Make the record, or add a revision", "What was planned before stays in it"),
                Field(REASON, "reason for the revision"),
            )
        ),
    )
    return BenchForm(bench, pieces, answer, lambda: _text(bench), "Plan and double check")


def _shown(bench: ShopBench, order: Order, plan: PlannedSet) -> Sequence[Lines | Rows]:
    name = bench.order_file or "the demo order, not saved yet: save it in the form above to write anything"
    caption = f"{order.title}, for {order.client} ({name})"
    below = (*plan.stops, *filter(None, (plan.whole,)))
    return (Rows(HEADS, plan.rows, caption, frozenset(range(1, 7))), *((Lines(below),) if below else ()))


def _text(bench: ShopBench) -> str:
    """What a page without a kernel shows: the card of each club in lines."""
    try:
        plan = planned(bench.order())
    except BenchError as refused:
        return str(refused)
    # Units on a line of their own, so that a page has room for every column.
    names, units = zip(
        *((name, bracket + unit) for name, bracket, unit in (head.partition("(") for head in HEADS)), strict=True
    )
    return "\n".join((aligned((names, units, *plan.rows)), *plan.stops, *filter(None, (plan.whole,)), plan.said))


def _written(bench: ShopBench, order: Order, pressed: str, values: Values) -> str:
    """Write what a button is for and say so; raises SaveError, TrimRefused and what the record or the model refuse."""
    if bench.order_file == DEMO_ORDER:
        raise BenchError(NOT_SAVED, "an order of the folder", "save it in the form above, or open one")
    stem = Path(bench.order_file).stem
    record, built = bench.path(f"{stem}{ENDING}"), build_set(order)
    if pressed == "record":
        return _recorded(record, built, values[REASON].strip())
    clubs = counted(len(built.clubs), "club")
    if pressed == "tables":
        from trimkit.papers.tablefiles import write_tables

        paths = write_tables(built, bench.path(f"{stem} tables"), replace=values[REPLACE])
        return f"Wrote {counted(len(paths), 'table')} into the folder {stem} tables."
    from trimkit.study.figures.set import write_sheet

    measured: Sequence[Measured | None] = ()
    if values[MEASURED]:
        measured = measured_of(read_file(record).latest, built)
    today = datetime.now().astimezone().date()
    page = write_sheet(built, bench.path(f"{stem}.html"), replace=values[REPLACE], made_on=today, measured=measured)
    return f"Wrote {page.name}, {clubs}: open it in the file browser and print it."


def _recorded(path: Path, built: SetBuild, reason: str) -> str:
    now = datetime.now(UTC)
    if not path.exists():
        record = first_record(built, now, reason=reason or "first plan")
    elif not reason:
        given, allowed = f"{path.name} is there already", "a reason, to add a revision to it"
        raise SaveError(given, allowed, "write why it is planned again")
    else:
        record = revised(read_file(path), built, now, reason=reason)
    save_record(path, record)
    return f"Wrote {path.name}: {counted(len(record.latest.clubs), 'club')}, revision {record.latest.number}."
