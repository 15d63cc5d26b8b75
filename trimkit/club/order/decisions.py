"""What was decided for a club against the usual way, and what that does in cycles per minute."""

from __future__ import annotations

from dataclasses import dataclass

from trimkit.club.clamp import frequency_cpm
from trimkit.club.club import ClubBuild, club_frequencies_cpm, unstepped_card
from trimkit.parts.errors import ModelError
from trimkit.parts.units import say_in, say_number
from trimkit.trim.bore import BoreChoice
from trimkit.trim.equivalence import TrimAs


@dataclass(frozen=True)
class Decision:
    """One decision: what was decided, why (in the words of the order), and its effect on the frequency, cpm.

    effect_cpm: club as decided minus club as usual, + stiffer; None where the frequency does not change, or where the
    usual club cannot be computed.
    """

    what: str
    why: str
    effect_cpm: float | None


def decisions_of(club: ClubBuild) -> tuple[Decision, ...]:
    """Return every decision for one club, in the order of the bench; none for a club built the usual way."""
    decided, plan = club.plan.wanted.decisions, club.plan
    why = decided.reason
    found = []
    if decided.trim_as is not None:
        by = "its engraved number" if decided.trim_as is TrimAs.ENGRAVED else "its mass"
        found.append(Decision(f"The head is placed by {by}.", why, None))
    if plan.bbgl_uncorrected_in and decided.bore is not BoreChoice.CORRECT:
        found.append(_bore(club, why))
    if plan.wanted.soft_steps:
        way = "soft" if plan.wanted.soft_steps > 0 else "hard"
        count = abs(plan.wanted.soft_steps)
        text = f"Stepped {way}, {count} raw length{'s' if count > 1 else ''} from its own"
        if club.predicted is None:
            found.append(Decision(f"{text}.", why, None))
        else:
            usual = frequency_cpm(unstepped_card(plan, club.assembly))
            found.append(Decision(f"{text}: {club.flex_text}.", why, club.frequency_cpm - usual))
    if plan.extension_in:
        text = f"Built although the shaft is {say_in(plan.extension_in)} too short: a piece is added at the butt."
        found.append(Decision(text, why, None))
    if decided.outside_rules:
        found.append(Decision("It is not meant for play under the rules.", why, None))
    return tuple(found)


def _bore(club: ClubBuild, why: str) -> Decision:
    left = club.plan.bbgl_uncorrected_in
    way = "softer" if left > 0 else "stiffer"
    if club.predicted is None:
        return Decision(f"Left {way} on purpose: {say_in(abs(left))} of tip trim for its bore is left out.", why, None)
    try:
        usual = club_frequencies_cpm(club.plan, club.assembly, (club.plan.tip_trim_in + left,))[0]
    except ModelError:
        text = f"Left {way} on purpose: {say_in(abs(left))} of tip trim for its bore is left out: {club.flex_text}."
        return Decision(text, why, None)
    effect = club.frequency_cpm - usual
    text = (
        f"Left {way} on purpose: {say_in(abs(left))} of tip trim for its bore is left out, which makes it "
        f"{say_number(abs(effect), 1)} cpm {'softer' if effect < 0 else 'stiffer'}: {club.flex_text} instead of "
        f"{club.flex_scale.say(usual)}."
    )
    return Decision(text, why, effect)
