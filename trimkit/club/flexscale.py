"""The flex scale: the shaft's own flexes at one club, in cycles per minute, and where a frequency lies among them.

There is no published standard for shaft flex. The letters are the trade's and differ from shaft to shaft, so the scale
is anchored by the shaft's own schedule: the same club, head and length, cut to each of the flexes. This is the one
yardstick for where a club lies; every sheet, table and record says it in the words of :meth:`FlexScale.say`. A shaft
with a single flex has no such anchor: there one flex counts as CPM_PER_FLEX.
"""

from __future__ import annotations

import itertools
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass

from trimkit.parts.errors import ModelError
from trimkit.parts.sources import Source, Standing
from trimkit.trim.stepping import FLEX_LETTERS

MEASURED_FLEXES = (("L", 217.0), ("R", 245.0), ("X", 272.0))
"""Frequencies (cpm) of three clubs alike but for the shaft's stiffness, drivers going by their frequency: published.

N. Betzler, The Effect of Differing Shaft Dynamics on the Biomechanics of the Golf Swing, PhD thesis, Edinburgh Napier
University, abstract."""


def cpm_a_letter(measured: Sequence[tuple[str, float]]) -> float:
    """Return how many cpm lie between neighbouring flex letters on the mean, the letters taken as evenly spaced.

    measured: a letter of L, A, R, S, X and a frequency (cpm) each, softest first; the two ends alone count. Derived:
    mean = (f_stiffest - f_softest) / (letters from softest to stiffest). Raises ValueError for another letter.

    >>> cpm_a_letter(MEASURED_FLEXES[:2]), cpm_a_letter(MEASURED_FLEXES[1:]), cpm_a_letter(MEASURED_FLEXES)
    (14.0, 13.5, 13.75)
    """
    (softest, low), (stiffest, high) = measured[0], measured[-1]
    return (high - low) / (FLEX_LETTERS.index(stiffest) - FLEX_LETTERS.index(softest))


CPM_PER_FLEX = cpm_a_letter(MEASURED_FLEXES)
"""Cycles per minute that count as one flex where a shaft has only one: 13.75, derived; users set their own.

What it is worth: three drivers of one study, and letters assumed to be evenly spaced; an iron's may lie otherwise.
About 10 cpm is often quoted in the trade (from memory, unverified)."""
CPM_PER_FLEX_SOURCE = Source(
    "cpm per flex of three drivers (N. Betzler, PhD thesis, Edinburgh Napier University), letters evenly spaced",
    Standing.DERIVED,
)


@dataclass(frozen=True)
class FlexScale:
    """Frequencies (cpm) that the flexes of one shaft, softest first, give at one club, head and length.

    cpm_per_flex: what counts as one flex where the shaft has a single one.
    Raises ModelError if the frequencies do not rise with the flexes.
    """

    flexes: tuple[str, ...]
    frequency_cpm: tuple[float, ...]
    cpm_per_flex: float = CPM_PER_FLEX

    def __post_init__(self) -> None:
        rising = all(low < high for low, high in itertools.pairwise(self.frequency_cpm))
        if len(self.flexes) != len(self.frequency_cpm) or not self.flexes or not rising or self.cpm_per_flex <= 0:
            raise ModelError(
                f"flexes {self.flexes} at {self.frequency_cpm} cpm",
                "one rising frequency for each flex, softest first",
                "check the schedule: a stiffer flex is trimmed more",
            )

    def gap_cpm(self, frequency_cpm: float, stiffer: bool) -> float:
        """Return how many cpm one flex is at a frequency, on its stiffer or its softer side."""
        gaps = [high - low for low, high in itertools.pairwise(self.frequency_cpm)]
        if not gaps:
            return self.cpm_per_flex
        place = bisect_right if stiffer else bisect_left
        below = place(self.frequency_cpm, frequency_cpm)
        return gaps[min(max(below - 1, 0), len(gaps) - 1)]

    def flexes_apart(self, frequency_cpm: float, reference_cpm: float) -> float:
        """Return how many flexes apart two frequencies are, + stiffer, by the gap on that side of the reference.

        >>> FlexScale(("R", "S"), (340.0, 352.0)).flexes_apart(343.0, 340.0)
        0.25
        """
        change = frequency_cpm - reference_cpm
        return change / self.gap_cpm(reference_cpm, stiffer=change >= 0)

    def say(self, frequency_cpm: float, decimals: int = 2) -> str:
        """Return a frequency's place on the scale, written as an order writes a flex; outside it, by how many cpm,
        each frequency taken to the tenth that a machine shows.

        place = (f - f_softer) / (f_stiffer - f_softer): "R/S 0.20" is 0.20 of the way from R to S. Nothing is
        continued past the softest and the stiffest flex, nor beside the only one. Raises ModelError for a frequency
        that is not finite.

        >>> scale = FlexScale(("A", "R", "S"), (330.0, 340.0, 352.0))
        >>> scale.say(340.0), scale.say(346.0), scale.say(327.5)
        ('R', 'R/S 0.50', '2.5 cpm softer than A')
        """
        nearest = min(zip(self.flexes, self.frequency_cpm, strict=True), key=lambda each: abs(each[1] - frequency_cpm))
        shown, nearest_shown = round(frequency_cpm, 1), round(nearest[1], 1)
        if abs(nearest[1] - frequency_cpm) < 0.05 or shown == nearest_shown:
            return nearest[0]
        softest, stiffest = self.frequency_cpm[0], self.frequency_cpm[-1]
        if frequency_cpm < softest:
            return f"{nearest_shown - shown:.1f} cpm softer than {self.flexes[0]}"
        if frequency_cpm > stiffest:
            return f"{shown - nearest_shown:.1f} cpm stiffer than {self.flexes[-1]}"
        anchors = list(zip(self.flexes, self.frequency_cpm, strict=True))
        for (softer, low), (stiffer, high) in itertools.pairwise(anchors):
            if low <= frequency_cpm <= high:
                return f"{softer}/{stiffer} {(frequency_cpm - low) / (high - low):.{decimals}f}"
        raise ModelError(f"a frequency of {frequency_cpm} cpm", "a finite number", "check the club's values")
