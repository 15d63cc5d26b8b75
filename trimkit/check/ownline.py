"""The line that a set's own clubs lie on, bent where its schedule bends it: one for each shaft and flex in the set.

A schedule does not aim at a straight line: wedges stop gaining tip trim and lie below the irons' line on purpose. The
mechanics says how far below, from the schedule's own clubs (the ladder's head masses, cut to the schedule's rows), so
that a wedge is not taken for a mistake, nor a mistake for a wedge.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from trimkit.check.setline import SetLine, fit_line
from trimkit.club.card import Assembly, BenchCard
from trimkit.club.clamp import frequency_cpm as club_frequency_cpm
from trimkit.parts.errors import BenchError, TrimRefused
from trimkit.trim.equivalence import usual_way
from trimkit.trim.plan import TrimPlan, plan_club
from trimkit.trim.schedule import TrimSchedule

FEWEST_FOR_A_LINE = 4
"""With fewer clubs on one shaft in one flex no robust line can tell which one is wrong; they are compared with the
schedule's own clubs."""


def schedule_clubs_cpm(cards: Sequence[BenchCard], plans: Sequence[TrimPlan | TrimRefused]) -> list[float | None]:
    """Answer what frequency (cpm) the schedule's own club has at each card's place; None where there is no such club.

    The ladder's head mass and playing length, the schedule's row and BBGL reference, the set's median bore depth; by
    the mechanics. A taper tip has its family's raw length, stepped as most of the set is, and the family's BBGL
    reference (the set's median where there is none). plans: what the rules say for each card, or their refusal. Raises
    nothing. Derived.
    """
    usual = _Usual(
        bore_depth_in=float(np.median([card.wanted.head.bore_depth_in for card in cards])),
        bbgl_in=float(np.median([card.wanted.bbgl_in for card in cards])),
        soft_steps=usual_steps(cards),
    )
    found: list[float | None] = []
    for card, plan in zip(cards, plans, strict=True):
        try:
            found.append(None if isinstance(plan, TrimRefused) else _schedule_club_cpm(plan, usual, card.assembly))
        except BenchError:
            found.append(None)
    return found


def usual_steps(cards: Sequence[BenchCard]) -> int:
    """Return by how many soft steps (hard ones below 0) most clubs of a set are stepped; of as many, the first."""
    return Counter(card.wanted.soft_steps for card in cards).most_common(1)[0][0]


@dataclass(frozen=True)
class _Usual:
    """What a set's clubs have in common where the schedule does not say it."""

    bore_depth_in: float
    bbgl_in: float
    soft_steps: int


def _schedule_club_cpm(plan: TrimPlan, usual: _Usual, assembly: Assembly) -> float:
    wanted, club, pulled = plan.wanted.as_new, plan.equivalent, plan.wanted.pulled
    own_raw = plan.raw_length_in if pulled is None else pulled.raw_length_in
    if wanted.decisions.trim_as not in (None, usual_way(wanted.head)):
        # A hybrid belongs where its mass puts it, even if somebody decided to trim it by its number.
        club = plan_club(replace(wanted, decisions=replace(wanted.decisions, trim_as=None))).equivalent
    mass = club.interpolate(lambda name: wanted.ladder.rung(name).head_mass_g)
    if isinstance(wanted.table, TrimSchedule):
        bbgl: float | None = wanted.table.bbgl_reference_in(club)
        trim, raw = wanted.table.trim_in(club, plan.flex), own_raw
    else:
        own = wanted.table.nearest(club)
        bbgl = wanted.table.bbgl_reference_in(own)
        # A club whose raw length ran out keeps its own.
        row = wanted.table.find(own, usual.soft_steps)
        trim, raw = 0.0, own_raw if row is None else row.raw_length_in
    if bbgl is None:
        bbgl = usual.bbgl_in
    head = replace(wanted.head, head_mass_g=mass, bbgl_in=bbgl, bore_depth_in=usual.bore_depth_in)
    cut = wanted.length.decide(club, wanted.ladder).inches - bbgl - wanted.grip.cap_thickness_in
    extension = max(0.0, trim + cut - raw)
    return club_frequency_cpm(
        BenchCard(replace(wanted, head=head, dry_fit=None), trim, cut, raw, extension, assembly=assembly)
    )


@dataclass(frozen=True)
class LineGroup:
    """Clubs of a set on one shaft in one flex, judged together.

    shaft, flex: their names. places: of its clubs in the set, from 0; clubs: their names. soft_steps: by how many most
    of them are stepped. line, shift_cpm: as in :class:`OwnLine`. unknown: why the mechanics cannot tell, in words;
    empty where it can.
    """

    shaft: str
    flex: str
    places: tuple[int, ...]
    clubs: tuple[str, ...]
    soft_steps: int
    line: SetLine | None
    shift_cpm: float | None
    unknown: str = ""

    @property
    def name(self) -> str:
        """Shaft and flex, as a table names the line."""
        return f"{self.shaft}, flex {self.flex}"

    @property
    def said(self) -> str:
        """What was done with which clubs, in one sentence."""
        if self.unknown:
            how = f"on no line, as nothing is predicted: {self.unknown}"
        elif self.line is not None:
            how = "judged on a line of their own"
        elif len(self.clubs) < FEWEST_FOR_A_LINE:
            them = "it is" if len(self.clubs) == 1 else "each is"
            how = f"fewer than {FEWEST_FOR_A_LINE} clubs have no line; {them} judged against the schedule's own club"
        else:
            how = "no line goes through them; each is judged against the schedule's own club"
        return f"{', '.join(self.clubs)} ({self.name}): {how}."


def line_groups(
    cards: Sequence[BenchCard],
    plans: Sequence[TrimPlan | TrimRefused],
    playing_length_in: Sequence[float],
    frequency_cpm: Sequence[float | None],
) -> tuple[tuple[LineGroup, ...], tuple[float | None, ...]]:
    """Return the clubs of each shaft and flex with their line, and what their lines ask of each club of the set, cpm.

    plans: what the rules say for each card, or their refusal. playing_length_in: in. frequency_cpm: of the cards. Each
    group is judged by itself (:func:`own_line`), on no line where nothing is predicted: clubs on other shafts or in
    other flexes neither move its line nor count in what it has in common. Raises ModelError as :func:`own_line`.
    """
    found: dict[tuple[str, str, str], list[int]] = {}
    for place, card in enumerate(cards):
        shaft = card.wanted.shaft
        found.setdefault((shaft.name, _flex_name(card), shaft.unknown), []).append(place)
    groups: list[LineGroup] = []
    asked: list[float | None] = [None] * len(cards)
    for (name, flex, unknown), places in found.items():
        mine = [cards[place] for place in places]
        own = own_line(
            [playing_length_in[place] for place in places],
            [frequency_cpm[place] for place in places],
            schedule_clubs_cpm(mine, [plans[place] for place in places]),
        )
        for place, cpm in zip(places, own.asked_cpm, strict=True):
            asked[place] = cpm
        names = tuple(card.club for card in mine)
        line = own.line, own.shift_cpm
        groups.append(LineGroup(name, flex, tuple(places), names, usual_steps(mine), *line, unknown))
    return tuple(groups), tuple(asked)


def _flex_name(card: BenchCard) -> str:
    try:
        return str(card.wanted.checked_flex())
    except TrimRefused:
        return str(card.wanted.flex)


@dataclass(frozen=True)
class OwnLine:
    """The set's own line: its straight part, what it asks of each club, the set's shift; cpm.

    line: None with fewer than :data:`FEWEST_FOR_A_LINE` clubs; each club is then held to the schedule's frequency.
    """

    line: SetLine | None
    asked_cpm: tuple[float | None, ...]
    shift_cpm: float | None


def own_line(
    playing_length_in: Sequence[float], frequency_cpm: Sequence[float | None], schedule_cpm: Sequence[float | None]
) -> OwnLine:
    """Answer which line a set lies on, bent where its schedule bends it.

    playing_length_in: in. frequency_cpm: of the set's clubs; schedule_cpm: of the schedule's own clubs, cpm, None where
    there is none. bend = schedule - straight line through the schedule's clubs; line = repeated median through
    frequency - bend; asked = line + bend. shift = median of frequency - schedule. Derived. Raises ModelError for
    lengths or frequencies that are not finite.
    """
    both = [
        (length, each, schedule)
        for length, each, schedule in zip(playing_length_in, frequency_cpm, schedule_cpm, strict=True)
        if each is not None and schedule is not None
    ]
    shift = float(np.median([each - schedule for _, each, schedule in both])) if both else None
    lengths = [length for length, _, _ in both]
    if len(both) < FEWEST_FOR_A_LINE or np.ptp(lengths) < 1e-9:
        return OwnLine(None, tuple(schedule_cpm), shift)
    straight = fit_line(lengths, [schedule for _, _, schedule in both])
    line = fit_line(lengths, [each - schedule + straight.at_cpm(length) for length, each, schedule in both])
    asked = tuple(
        None if schedule is None else line.at_cpm(length) + schedule - straight.at_cpm(length)
        for length, schedule in zip(playing_length_in, schedule_cpm, strict=True)
    )
    return OwnLine(line, asked, shift)
