"""The fretting hand: which frets the four fingers cover, and what a place outside them costs.

Rule: a hand covers so many frets from its *index fret*. A place costs 0 there, 1 one fret outside (a stretch), 3 two
frets outside (a shift). With the index fret at 0 or 1, in the open position, the first finger is at the first fret, and
open strings cost nothing.

Which hand an instrument has follows from its scale length and from the interval between its strings:

- strings a fourth or less apart ask for six frets at most, and guitar and bass methods give each finger one fret;
- strings a fifth apart ask for seven frets, four steps of a scale a string. On a neck of 35 cm these are as wide as
  four frets of a guitar, and each finger takes a step, that is one of two frets: violin and mandolin fingering. On
  longer necks they are out of reach; there the cello's extended hand, a major third from the first finger to the
  fourth, reaches them with a stretch.

Sources (from memory): L. Mozart, *Versuch einer gründlichen Violinschule* (1756), and C. Flesch, *The Art of Violin
Playing* I, on the four fingers of a position as four steps of the scale, the fourth an octave above the first on the
string below; J. J. F. Dotzauer, *Violoncell-Schule*, and any later cello method, on closed
position (a minor third) and extended position (a major third, the first finger back). Costs: this project's design.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

STRETCH: Final = 1
"""Cost of a place one fret outside the hand."""
SHIFT: Final = 3
"""Cost of a place two frets outside the hand."""
REACH: Final = 2
"""Frets outside the hand that a shift still reaches."""
FINGERS: Final = 4

_FIFTH: Final = 7
_SHORT_SCALE: Final = 74  # D5: its plain steel string breaks on necks longer than some 44 cm


@dataclass(frozen=True, slots=True)
class Hand:
    """A fretting hand.

    Args:
        fingers: the finger that each fret under the hand belongs to, 1 to 4, from the index fret on.
    """

    fingers: tuple[int, ...]

    @property
    def span(self) -> int:
        """Frets under the four fingers."""
        return len(self.fingers)

    @property
    def shares_frets(self) -> bool:
        """Whether some finger has two frets, so that the index fret alone does not say where the first finger is."""
        return self.span > FINGERS

    def frets(self, index_fret: int) -> range:
        """Return the frets under the hand; an index finger at the nut has its place behind the first fret.

        Args:
            index_fret: the lowest fret of the first finger, 0 for the open position.
        """
        first = max(index_fret, 1)
        return range(first, first + self.span)

    def cost(self, fret: int, index_fret: int) -> int:
        """Return what a place asks of the hand: 0, `STRETCH` or `SHIFT`.

        Args:
            fret: the place's fret, at most `REACH` frets outside the hand.
            index_fret: the lowest fret of the first finger.
        """
        if fret == 0 and index_fret <= 1:
            return 0
        covered = self.frets(index_fret)
        return (0, STRETCH, SHIFT)[max(covered.start - fret, fret - covered.stop + 1, 0)]

    def on_string(self, frets: Iterable[int], index_fret: int) -> dict[int, int]:
        """Say which finger takes each of some tones on one string.

        A finger that has two frets takes one tone; a second one goes to the next finger, a fifth tone to the fourth.

        Args:
            frets: the tones' frets, 0 for the open string.
            index_fret: the lowest fret of the first finger.

        Returns:
            Fingers by fret: 1 to 4, 0 for the open string.
        """
        covered, fingers, before = self.frets(index_fret), {}, 0
        for fret in sorted(frets):
            if fret == 0:
                fingers[fret] = 0
            elif fret in covered:
                before = min(max(self.fingers[fret - covered.start], before + 1), FINGERS)
                fingers[fret] = before
            else:
                fingers[fret] = 1 if fret < covered.start else FINGERS
        return fingers


FINGER_A_FRET: Final = Hand((1, 2, 3, 4))
"""Guitar and bass: four frets, one finger each."""
EXTENDED: Final = Hand((1, 1, 2, 3, 4))
"""Fifths on long necks: five frets, the first finger reaching back, as cellists extend."""
FINGER_A_STEP: Final = Hand((1, 1, 2, 2, 3, 3, 4))
"""Fifths on short necks: seven frets, a finger for each step of the scale, as on violin and mandolin."""


def hand_for(open_midi: Sequence[int]) -> Hand:
    """Choose the hand for open strings of which nothing else is known.

    Most neighbours a fifth apart make a tuning in fifths. Its highest string tells the scale length, for a plain steel
    string of length L breaks near a frequency of 260 m/s / L (tensile strength and density of music wire, from memory).

    Args:
        open_midi: MIDI note numbers from the lowest-sounding side of the neck.
    """
    intervals = [upper - lower for lower, upper in pairwise(open_midi)]
    if 2 * intervals.count(_FIFTH) <= len(intervals):
        return FINGER_A_FRET
    return FINGER_A_STEP if max(open_midi) >= _SHORT_SCALE else EXTENDED
