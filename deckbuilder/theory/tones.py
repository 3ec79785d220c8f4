"""Tones: spelled note names without an octave.

Conventions: a tone is a letter and an accidental. ASCII names write flats `b` and sharps `#`; labels for people
write ♭ and ♯. Pitch classes count semitones up from C, 0 to 11. Intervals are named as musicians write them,
`m3`, `P5`, `d5`, `A5`; the arithmetic of letters and accidentals is music21's.
"""

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Self

from deckbuilder.errors import ToldError

_NAME = re.compile(r"([A-G])(bb|b|##|#|)")
_FLATS = re.compile(r"(?<=[A-G])b+|(?<![A-Za-ln-z])b+(?=[0-9])")
_SIGNS = {"bb": -2, "b": -1, "": 0, "#": 1, "##": 2}
_NATURALS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
_PLAIN_NAMES = ("C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B")
_SHARP_NAMES = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")


class TheoryError(ToldError, ValueError):
    """Something that is not in this music: an unknown tone, key, function, colour or source."""


@lru_cache(maxsize=4096)
def pretty(text: str) -> str:
    """Turn the accidentals of an ASCII name, symbol or degree into ♭ and ♯.

    Args:
        text: a tone, chord symbol or degree such as `Bb`, `Bbm7b5`, `b9`.
    """
    flat = _FLATS.sub(lambda found: "♭" * len(found[0]), text)
    return flat.replace("#", "♯")


@dataclass(frozen=True, slots=True)
class Tone:
    """A spelled note name.

    Args:
        letter: `A` to `G`.
        accidental: semitones the letter is raised (negative: lowered), -2 to 2.
    """

    letter: str
    accidental: int = 0

    @classmethod
    def parse(cls, name: str) -> Self:
        """Read a name such as `C`, `Bb`, `F#` or `B♭`.

        Raises:
            TheoryError: the text is not a tone's name.
        """
        found = _NAME.fullmatch(name.replace("♭", "b").replace("♯", "#"))
        if found is None:
            raise TheoryError(f"{name!r} is not a tone; write a letter A to G and b or #, such as Bb")
        return cls(found[1], _SIGNS[found[2]])

    @property
    def name(self) -> str:
        """ASCII name, `Bb`."""
        return self.letter + ("b" * -self.accidental if self.accidental < 0 else "#" * self.accidental)

    @property
    def label(self) -> str:
        """Name for people, `B♭`."""
        return pretty(self.name)

    @property
    def pitch_class(self) -> int:
        """Semitones above C, 0 to 11."""
        return (_NATURALS[self.letter] + self.accidental) % 12

    def above(self, interval: str) -> "Tone":
        """Return the tone an interval higher, double accidentals respelled.

        Args:
            interval: an interval's name, `m3`.
        """
        return exactly_above(self, interval).simplified()

    def simplified(self) -> "Tone":
        """Return this tone, or its name on the next letter where it carries a double accidental: E𝄪 as F♯, B♭♭ as A."""
        if abs(self.accidental) < 2:
            return self
        names = _SHARP_NAMES if self.accidental > 0 else _PLAIN_NAMES
        return Tone.parse(names[self.pitch_class])


def plain(pitch_class: int) -> Tone:
    """Return the natural or flat name of a pitch class: G♭ and B, never F♯ or C♭.

    Args:
        pitch_class: semitones above C; taken modulo 12.
    """
    return Tone.parse(_PLAIN_NAMES[pitch_class % 12])


def usual_names(tone: Tone) -> tuple[Tone, ...]:
    """Return a tone under its own name, then under the other ones in use: never C♭, F♭, E♯ or B♯, unless it is one.

    Args:
        tone: the tone.
    """
    names = (_PLAIN_NAMES[tone.pitch_class], _SHARP_NAMES[tone.pitch_class])
    return tuple(dict.fromkeys((tone, *map(Tone.parse, names))))


def to_music21(tone: Tone) -> Any:
    """Return the tone as a music21 pitch in octave 4."""
    from music21 import pitch

    signs = "-" * -tone.accidental if tone.accidental < 0 else "#" * tone.accidental
    return pitch.Pitch(f"{tone.letter}{signs}4")


def from_music21(pitch: Any) -> Tone:
    """Return a music21 pitch as a tone; any double accidental is kept, a triple one is respelled."""
    accidental = round(pitch.alter)
    return Tone(pitch.step, accidental) if abs(accidental) <= 2 else plain(pitch.pitchClass)


@lru_cache(maxsize=4096)
def exactly_above(tone: Tone, interval: str) -> Tone:
    """Return the tone an interval higher as music theory spells it, double accidentals kept.

    Args:
        tone: the lower tone.
        interval: an interval's name, `m3`.
    """
    from music21 import interval as intervals

    return from_music21(intervals.Interval(interval).transposePitch(to_music21(tone), maxAccidental=None))
