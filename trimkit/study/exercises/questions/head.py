"""Lesson 03: the head's mass decides which club it is."""

from __future__ import annotations

from dataclasses import replace

from trimkit.club.set import wanted_club
from trimkit.study.exercises.draw import NEAREST_16TH_IN, Draw, demo_ladder, demo_order, demo_schedule, n
from trimkit.study.exercises.exercise import Exercise, exercise, in_words, inches
from trimkit.trim.clubs import club_place
from trimkit.trim.equivalence import EquivalentClub
from trimkit.trim.flexplace import FlexPlace
from trimkit.trim.placing import engraved_conflict

R = FlexPlace.at("R")


def _light_hybrid(draw: Draw) -> tuple[str, float, EquivalentClub]:
    """A hybrid: its engraved number, its mass (g) and that mass's place on the ladder, well between two rungs."""
    number = draw.one_of((4, 5, 6))
    ladder = demo_ladder()
    longer, shorter = (ladder.rung(f"{number - k}-iron").head_mass_g for k in (2, 1))
    mass = round(longer + draw.one_of((0.2, 0.3, 0.4, 0.6, 0.7, 0.8)) * (shorter - longer), 1)
    return f"{number}-hybrid", mass, ladder.by_mass(mass)


def _rungs(club: EquivalentClub) -> str:
    ladder = demo_ladder()
    return " and ".join(f"the {name} is {ladder.rung(name).head_mass_g:g} g" for name in club.clubs)


def _rows(club: EquivalentClub) -> str:
    rows = [f"{inches(demo_schedule().row(name, 'R').tip_trim_in)} for the {name}" for name in club.clubs]
    return " and ".join(rows)


def which_iron(draw: Draw) -> Exercise:
    """The place of a mass on the ladder."""
    engraved, mass, club = _light_hybrid(draw)
    ladder = demo_ladder()
    first, low = club_place(club.longer), ladder.rung(club.longer).head_mass_g
    gap = ladder.rung(club.shorter).head_mass_g - low
    part = club.fraction
    answer = first + part
    return exercise(
        "03 which iron",
        question=(
            f"A head engraved {engraved} weighs {mass:g} g. On the ladder, {_rungs(club)}. Which iron is it trimmed "
            "and cut as (a number with decimals, for example 5.25)?"
        ),
        answer=(answer, "", 0.025),
        mistakes=[
            ("engraved number", float(club_place(engraved)), "Go by the mass, not by the engraved number."),
            ("part of the way only", part, "That is the fraction of the way: add it to the longer iron's number."),
            ("counted from the heavier", first + 1 - part, "Count from the lighter, longer club up."),
            ("rounded", float(round(answer)), "Do not round to a rung: the cut can follow a place between two."),
        ],
        solution=(
            f"({mass:g} − {low:g}) / {gap:g} = {n(part, 3)} of the way from the {club.longer} to the "
            f"{club.shorter}: {in_words(answer, '')}."
        ),
    )


def trim_by_mass(draw: Draw) -> Exercise:
    """The tip trim of a head placed by its mass."""
    engraved, mass, club = _light_hybrid(draw)
    schedule, ladder = demo_schedule(), demo_ladder()
    low, high = (schedule.row(name, "R").tip_trim_in for name in club.clubs)
    answer = schedule.trim_in(club, R)
    number = schedule.trim_in(ladder.by_number(engraved), R)
    gain = club.fraction * (high - low)
    return exercise(
        "03 trim by mass",
        question=(
            f"A head engraved {engraved} weighs {mass:g} g; on the ladder, {_rungs(club)}. In flex R, the schedule "
            f"trims {_rows(club)}, and {inches(number)} for the {ladder.by_number(engraved)}. The BBGL is the "
            "schedule's. What is the tip trim?"
        ),
        answer=(answer, "in", NEAREST_16TH_IN),
        mistakes=[
            (
                "engraved number",
                number,
                "You went by the engraved number: this head is lighter and would be too stiff.",
            ),
            ("counted from the heavier", high - gain, "Count from the lighter, longer club."),
            ("longer club's row", low, "That is the longer club's row: the mass is between two rungs."),
            ("part of the gap only", gain, f"That is the difference: add it to the trim of the {club.longer}."),
            (
                "one club too far",
                high + club.fraction * (number - high),
                f"Wrong pair of clubs: the mass is between the {club.longer} and the {club.shorter}.",
            ),
            ("shorter club's row", high, "That is the shorter club's row: the mass is between two rungs."),
        ],
        solution=(
            f"It is {n(club.fraction)} of the way from the {club.longer} to the {club.shorter}: {n(low)} + "
            f"{n(club.fraction)} × {n(high - low)} = {inches(answer)}."
        ),
    )


def length_by_mass(draw: Draw) -> Exercise:
    """The playing length of a head placed by its mass."""
    engraved, mass, club = _light_hybrid(draw)
    ladder = demo_ladder()
    low, high = (ladder.rung(name).playing_length_in for name in club.clubs)
    answer, number = ladder.playing_length_in(club), ladder.playing_length_in(ladder.by_number(engraved))
    loss = club.fraction * (low - high)
    return exercise(
        "03 length by mass",
        question=(
            f"A head engraved {engraved} weighs {mass:g} g; on the ladder, {_rungs(club)}. The {club.longer} plays at "
            f"{inches(low)} and the {club.shorter} at {inches(high)}; by its engraved number it would play at "
            f"{inches(number)}. What is its playing length?"
        ),
        answer=(answer, "in", NEAREST_16TH_IN),
        mistakes=[
            ("engraved number", number, "That goes by the engraved number: length follows the mass too."),
            ("counted from the heavier", high + loss, "Count from the lighter, longer club."),
            ("wrong direction", low + loss, "Heavier heads go on shorter clubs: take it off."),
            ("part of the gap only", loss, f"That is the difference: take it off the length of the {club.longer}."),
            ("longer club's length", low, "That is the longer club's length: the mass is between two rungs."),
            ("shorter club's length", high, "That is the shorter club's length: the mass is between two rungs."),
        ],
        solution=(
            f"{n(club.fraction)} of the way from {n(low)} in to {n(high)} in: {n(low)} − {n(club.fraction)} × "
            f"{n(low - high)} = {inches(answer)}."
        ),
    )


def price_of_the_number(draw: Draw) -> Exercise:
    """How much too much would come off by the engraved number."""
    order = demo_order()
    hybrid = next(club for club in order.clubs if club.head.club == "4-hybrid")
    engraved, mass, club = _light_hybrid(draw)
    head = replace(hybrid.head, club=engraved, head_mass_g=mass)
    conflict = engraved_conflict(wanted_club(order, replace(hybrid, head=head)))
    by_mass, by_number = (demo_schedule().trim_in(each, R) for each in (conflict.by_mass, conflict.by_number))
    answer = conflict.tip_trim_in
    return exercise(
        "03 price of the number",
        question=(
            f"A head engraved {engraved} weighs what a {club} head would. In flex R, that is {n(by_mass)} in of tip "
            f"trim; by the engraved number it is {inches(by_number)}. How much more (+) or less (−) comes off the tip "
            "if you cut by the number, not by the mass?"
        ),
        answer=(answer, "in", NEAREST_16TH_IN),
        mistakes=[
            ("turned round", -answer, "Take the trim by the number minus the trim by the mass: more off the tip is +."),
            ("whole trim", by_number, "That is the whole trim: the question asks for the difference."),
            ("both added", by_number + by_mass, "Do not add the two trims: the question asks for their difference."),
        ],
        solution=(
            f"{n(by_number)} − {n(by_mass)} = {inches(answer)}: more off the tip than the head needs, so the club is "
            "too stiff."
        ),
    )


QUESTIONS = (which_iron, trim_by_mass, length_by_mass, price_of_the_number)
