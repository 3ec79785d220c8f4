"""Notes of a line: complete music, to be heard, written and read.

Conventions: four beats a bar, the first chord on beat 1; time is counted in ticks of a twelfth of a beat from 0, so
that triplets and sixteenths are whole numbers. Time is written straight: swing belongs to whoever plays it. Beats 1 and
3 are strong.
"""

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import Final

from deckbuilder.neck.tuning import Place
from deckbuilder.theory.tones import Tone

BEAT: Final = 12
"""Ticks in a beat."""
EIGHTH: Final = BEAT // 2
STRONG: Final = 2 * BEAT
"""Ticks from one strong beat to the next."""
BAR: Final = 4 * BEAT


class Role(StrEnum):
    """What a note does in its line."""

    TARGET = "target"
    """A line arrives: the first note over a chord, on the beat on which the chord comes."""
    ANTICIPATION = "anticipation"
    """The same, an eighth before its chord."""
    APPROACH = "approach"
    """It leads by step or semitone into an arrival, or by a semitone into what follows."""
    ENCLOSURE = "enclosure"
    """One of two notes that enclose an arrival."""
    PASSING = "passing"
    """A chromatic tone between two others, off the beat."""
    BLUE = "blue note"
    CHORD = "chord tone"
    TENSION = "tension"
    SCALE = "scale tone"


@dataclass(frozen=True, slots=True)
class LineNote:
    """A note of a line.

    Args:
        onset: when it begins, in ticks from the line's beginning.
        length: how long it lasts, in ticks.
        midi: MIDI note number.
        tone: its name, by the chord it belongs to; a chromatic tone's by where it leads.
        degree: what it is to that chord, ASCII.
        place: where it is fretted.
        chord: index of that chord among the changes; of an anticipation, the chord that it anticipates.
        role: what it does.
    """

    onset: int
    length: int
    midi: int
    tone: Tone
    degree: str
    place: Place
    chord: int
    role: Role

    @property
    def end(self) -> int:
        """When it ends, in ticks."""
        return self.onset + self.length

    @property
    def beat(self) -> Fraction:
        """When it begins, in beats."""
        return Fraction(self.onset, BEAT)

    @property
    def beats(self) -> Fraction:
        """How long it lasts, in beats."""
        return Fraction(self.length, BEAT)

    @property
    def octave(self) -> int:
        """The octave of its name, as in scientific pitch notation: 4 for middle C, 3 for the B below it."""
        return (self.midi - self.tone.accidental) // 12 - 1
