"""The pieces a plan is made of: steps with inches, reason and source; notes with severity and a next step."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from trimkit.parts.sources import Source, Standing

# From the most to the least trustworthy: a number made of several is as good as the worst of them.
_BY_TRUST = (
    Standing.PUBLISHED,
    Standing.MEASURED,
    Standing.CHOSEN,
    Standing.DERIVED,
    Standing.OWN_DATA,
    Standing.COMMON_PRACTICE,
    Standing.FROM_MEMORY,
    Standing.INVENTED,
)


class StepKind(StrEnum):
    """What a step of the plan decides; the value is its label."""

    CLUB = "which club it is"
    SCHEDULE = "trim schedule"
    FLEX = "between flexes"
    BORE = "bore"
    PULLED = "off its tip already"
    RAW_LENGTH = "raw length"
    TIP_TRIM = "tip trim"
    PLAYING_LENGTH = "playing length"
    CUT_LENGTH = "cut length"
    BUTT_TRIM = "butt trim"
    EXTENSION = "extension"


DECIDED = Source("decided in the order", Standing.CHOSEN)
TIP_PARTS = (StepKind.SCHEDULE, StepKind.FLEX, StepKind.BORE, StepKind.PULLED)


@dataclass(frozen=True)
class TrimStep:
    """One decision: its kind, what it comes to in inches, why in one sentence, and what it rests on.

    sources: the rows, measurements and rules it rests on, each with its own standing.
    The inches of the steps in :data:`TIP_PARTS` add up to the tip trim; the other kinds are lengths of their own.
    """

    kind: StepKind
    inches: float
    reason: str
    sources: tuple[Source, ...]

    @property
    def label(self) -> str:
        """The step's name in words."""
        return self.kind.value

    @property
    def source(self) -> Source:
        """All its sources as one, with the weakest of their standings."""
        return joined(*self.sources)


class Severity(StrEnum):
    """How urgent a note is: good to know, to check before the saw, or someone could be hurt."""

    NOTE = "note"
    WARNING = "warning"
    CAUTION = "caution"


@dataclass(frozen=True)
class Note:
    """Something to know besides the cut: what it is, what to do next, and where it comes from."""

    severity: Severity
    text: str
    next_step: str
    source: Source


def joined(*sources: Source) -> Source:
    """Return one source for a number made of several: every text once, and the weakest standing.

    >>> print(joined(Source("row 2", Standing.MEASURED), Source("row 3", Standing.INVENTED)))
    row 2 and row 3 (invented for the demo)
    """
    texts = dict.fromkeys(source.text for source in sources)
    return Source(" and ".join(texts), max((source.standing for source in sources), key=_BY_TRUST.index))
