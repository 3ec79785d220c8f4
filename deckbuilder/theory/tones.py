"""Tones: spelled note names without an octave.

Conventions: a tone is a letter and an accidental. ASCII names are English and write flats `b` and sharps `#`; labels
are what people read, the names of the current speech (`deckbuilder.theory.naming`) with ♭ and ♯. Pitch classes count
semitones up from C, 0 to 11. Intervals are named as musicians write them, `m3`, `P5`, `d5`, `A5`: the number counts
letters, the quality tells the semitones (general music theory).
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Self

from deckbuilder.errors import UserError
from deckbuilder.speech import Names, current
from deckbuilder.theory import naming

_NAME = re.compile(r"([A-G])(bb|b|##|#|)")
_FLATS = re.compile(r"(?<=[A-G])b+|(?<![A-Za-ln-z])b+(?=[0-9])")
_SIGNS = {"bb": -2, "b": -1, "": 0, "#": 1, "##": 2}
_NATURALS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
_LETTERS = "CDEFGAB"
_INTERVAL = re.compile(r"(?P<quality>[PMm]|A{1,2}|d{1,2})(?P<number>[1-9][0-9]?)")
_PERFECT_STEPS = (0, 3, 4)
"""Letters that unisons, fourths and fifths span, octaves left out."""
_PERFECT = {"dd": -2, "d": -1, "P": 0, "A": 1, "AA": 2}
_IMPERFECT = {"dd": -3, "d": -2, "m": -1, "M": 0, "A": 1, "AA": 2}
"""Semitones by which a quality differs from the interval above C that has no accidental."""
_PLAIN_NAMES = ("C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B")
_SHARP_NAMES = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")


class TheoryError(UserError, ValueError):
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
    pitch_class: int = field(init=False, compare=False, repr=False)
    """Semitones above C, 0 to 11; kept, because nothing else is asked as often."""

    def __post_init__(self) -> None:
        object.__setattr__(self, "pitch_class", (_NATURALS[self.letter] + self.accidental) % 12)

    @classmethod
    def parse(cls, name: str) -> Self:
        """Read an English name such as `C`, `Bb`, `F#` or `B♭`, however people are spoken to.

        Raises:
            TheoryError: the text is not a tone's name.
        """
        found = _NAME.fullmatch(name.replace("♭", "b").replace("♯", "#"))
        if found is None:
            raise TheoryError(f"{name!r} is not a tone; write a letter A to G and b or #, such as Bb")
        return cls(found[1], _SIGNS[found[2]])

    @classmethod
    def beginning(cls, text: str) -> Iterator[tuple[Self, str]]:
        """Yield every tone whose name in the current speech a text may begin with, and the rest of it, in ASCII.

        The longest name comes first.
        """
        for spelled, rest in naming.beginnings(naming.plain_text(text), current().names):
            yield cls(*spelled), rest

    @classmethod
    def read(cls, text: str) -> Self:
        """Read a name as people write it in the current speech: `Bb`, with German names `B`, in solfège `Sib`.

        Raises:
            TheoryError: the text is not a tone's name.
        """
        found = next((tone for tone, rest in cls.beginning(text) if not rest), None)
        if found is None:
            raise TheoryError(f"{text!r} is not a tone; {tone_remedy(text)}")
        return found

    @property
    def name(self) -> str:
        """ASCII name, `Bb`."""
        return self.letter + ("b" * -self.accidental if self.accidental < 0 else "#" * self.accidental)

    @property
    def label(self) -> str:
        """Name for people in the current speech, `B♭`."""
        return naming.shown(self.letter, self.accidental, current().names)

    @property
    def written(self) -> str:
        """The same in ASCII, as people write it in a recipe."""
        return naming.written(self.letter, self.accidental, current().names)

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


def tone_remedy(text: str) -> str:
    """Return what to do about a text that is no tone in the current speech.

    Args:
        text: the text, `h` or `H` where names are English.
    """
    found = naming.whose(text, current().names)
    if found is None:
        return f"write {choice()}"
    names, right = found[0], Tone(*found[1]).written
    return f"did you mean {right!r}?" if names is current().names else misnamed(names, right)


def misnamed(names: Names, right: str) -> str:
    """Return the remedy for a name that belongs to another way to name tones.

    Args:
        names: the way to which it belongs.
        right: its name in the current speech.
    """
    return (
        f"this is the {naming.LABELS[names]} name of {right}: write that, or have tones named so: "
        f'names = "{names}" in the recipe, or --names {names}'
    )


def choice() -> str:
    """Return what a tone may be written as in the current speech, for remedies."""
    return naming.CHOICE[current().names]


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


@lru_cache(maxsize=4096)
def exactly_above(tone: Tone, interval: str) -> Tone:
    """Return the tone an interval higher as music theory spells it, double accidentals kept, a triple one respelled.

    Args:
        tone: the lower tone.
        interval: an interval's name, `m3`.

    Raises:
        TheoryError: no interval has this name.
    """
    letters, semitones = _distance(interval)
    letter = _LETTERS[(_LETTERS.index(tone.letter) + letters) % len(_LETTERS)]
    pitch_class = (tone.pitch_class + semitones) % 12
    accidental = (pitch_class - _NATURALS[letter] + 6) % 12 - 6
    return Tone(letter, accidental) if abs(accidental) <= 2 else plain(pitch_class)


@lru_cache(maxsize=256)
def _distance(interval: str) -> tuple[int, int]:
    """Return how many letters and how many semitones an interval spans."""
    found = _INTERVAL.fullmatch(interval)
    letters = int(found["number"]) - 1 if found else 0
    octaves, step = divmod(letters, len(_LETTERS))
    qualities = _PERFECT if step in _PERFECT_STEPS else _IMPERFECT
    if found is None or found["quality"] not in qualities:
        raise TheoryError(f"{interval!r} is not an interval; write its quality (P, M, m, A, d) and number, such as m3")
    return letters, 12 * octaves + _NATURALS[_LETTERS[step]] + qualities[found["quality"]]
