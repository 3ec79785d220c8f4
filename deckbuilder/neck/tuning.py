"""Tunings: the pitches of the open strings.

Conventions: pitches are MIDI note numbers (60 is C4, middle C). Open strings are listed from the lowest-sounding side
of the neck, as players write tunings; *string numbers* count from the other side, 1 being the last of the list. In a
re-entrant tuning the list does not ascend.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache

from deckbuilder.errors import UserError
from deckbuilder.neck.hand import FINGER_A_FRET, Hand, hand_for
from deckbuilder.neck.tunings import GUITAR, KNOWN_TUNINGS, USUAL_FRETS, KnownTuning
from deckbuilder.registry import Registry
from deckbuilder.speech import current
from deckbuilder.suggestions import remedy
from deckbuilder.theory.naming import whose
from deckbuilder.theory.tones import TheoryError, Tone, choice, plain, tone_remedy

FEWEST_STRINGS, MOST_STRINGS = 3, 10
LOWEST_OPEN, HIGHEST_OPEN = 21, 76
"""Lowest and highest pitch of an open string: A0 and E5."""

_PITCH = re.compile(r"([A-Ga-g])([b#♭♯]?)(-?[0-9]{1,2})")
_WITH_OCTAVE = re.compile(r"(?P<tone>.+?)(?P<octave>-?[0-9]{1,2})")
_SEPARATOR = re.compile(r"[,\s]+")


class NeckError(UserError, ValueError):
    """Something the neck cannot do: an unknown tuning, a fret that is not there."""


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """Where a note is fretted.

    Args:
        string: string number, 1 the last of the tuning's list.
        fret: counted from the nut, 0 for the open string.
    """

    string: int
    fret: int


@dataclass(frozen=True, slots=True)
class Tuning:
    """Open strings.

    Args:
        name: its name in recipes and tags.
        open_midi: MIDI note numbers from the lowest-sounding side to string 1.
        tones: names of the open strings as players spell them, in the same order; empty for natural and flat names.
        usual_frets: the highest fret of a common instrument in this tuning.
        description: what it is, for people.
        hand: the hand that plays it. It follows from the pitches, as the numbers of regions in ids do.
        patch: name of the instrument that sounds, one of `INSTRUMENTS`.
        also: another name by which it can be asked for.
    """

    name: str
    open_midi: tuple[int, ...]
    tones: tuple[Tone, ...] = field(default=(), compare=False)
    usual_frets: int = field(default=USUAL_FRETS, compare=False)
    description: str = field(default="", compare=False)
    hand: Hand = FINGER_A_FRET
    patch: str = field(default=GUITAR, compare=False)
    also: str = field(default="", compare=False)

    @property
    def strings(self) -> int:
        """Number of strings."""
        return len(self.open_midi)

    @property
    def pitch_names(self) -> tuple[str, ...]:
        """Scientific pitch names however they were spelled, lowest-sounding side first: `D2 A2 D3 Gb3 A3 D4`."""
        return tuple(pitch_name(midi) for midi in self.open_midi)

    @property
    def pitch_labels(self) -> tuple[str, ...]:
        """Scientific pitch names as players spell them, lowest-sounding side first: `D2 A2 D3 F♯3 A3 D4`."""
        return tuple(_spelled(midi, tone) for midi, tone in zip(self.open_midi, self.open_tones, strict=True))

    @property
    def string_labels(self) -> tuple[str, ...]:
        """Names of the open strings for people, string 1 first."""
        return tuple(tone.label for tone in reversed(self.open_tones))

    @property
    def open_tones(self) -> tuple[Tone, ...]:
        """Names of the open strings as players spell them, lowest-sounding side first."""
        return self.tones or tuple(plain(midi) for midi in self.open_midi)

    def midi(self, place: Place) -> int:
        """Return the MIDI note number of a place."""
        return self.open_midi[-place.string] + place.fret

    def numbered(self) -> Iterator[tuple[int, int]]:
        """Yield string number and open pitch, from the lowest-sounding side."""
        return zip(range(self.strings, 0, -1), self.open_midi, strict=True)

    def raised(self, semitones: int) -> "Tuning":
        """Return the tuning that a capo makes of this one.

        Args:
            semitones: how far every open string is raised, which is the capo's fret.
        """
        return replace(self, open_midi=tuple(midi + semitones for midi in self.open_midi), tones=())


@lru_cache(maxsize=128)
def pitch_name(midi: int) -> str:
    """Return the scientific pitch name of a MIDI note number, ASCII (60: `C4`)."""
    return f"{plain(midi).name}{midi // 12 - 1}"


def pitch_label(midi: int) -> str:
    """Return the scientific pitch name of a MIDI note number for people (70: `B♭4`)."""
    return _spelled(midi, plain(midi))


def read_pitch(text: str) -> str:
    """Return the English name of a pitch as people write it in the current speech: with German names `H1` is `B1`.

    Args:
        text: a tone's name, capital or not, and an octave as scientific notation counts it.

    Raises:
        NeckError: the text is no pitch.
    """
    found = _WITH_OCTAVE.fullmatch(text)
    example = f"write a tone, {choice()}, and an octave, such as {Tone('B', -1).written}2"
    if found is None:
        raise NeckError(f"{text!r} is not a pitch; {example}")
    name = found["tone"][:1].upper() + found["tone"][1:]
    try:
        tone = Tone.read(name)
    except TheoryError:
        advice = tone_remedy(name) if whose(name, current().names) else example
        raise NeckError(f"{text!r} is not a pitch; {advice}") from None
    if abs(tone.accidental) > 1:
        raise NeckError(f"{text!r} is not a pitch of a string; {example}")
    return tone.name + found["octave"]


def parse_pitch(text: str) -> tuple[int, Tone]:
    """Read a pitch in English scientific notation, such as `E2`, `Bb1` or `f#3`; the octave is the letter's.

    Args:
        text: letter, `b` or `#` (or ♭ or ♯) where needed, octave.

    Returns:
        The MIDI note number, and the tone as it was spelled.

    Raises:
        NeckError: the text is no pitch.
    """
    found = _PITCH.fullmatch(text)
    if found is None:
        raise NeckError(f"{text!r} is not a pitch; write a letter A to G, b or # if needed, and an octave, such as Bb2")
    tone = Tone.parse(found[1].upper() + found[2])
    natural = Tone(tone.letter).pitch_class
    return 12 * (int(found[3]) + 1) + natural + tone.accidental, tone


def tuning_of_pitches(pitches: Sequence[str]) -> Tuning:
    """Return the tuning of some open strings; one of the table if the table has it.

    Args:
        pitches: pitches in scientific notation, from the lowest-sounding side to string 1.

    Raises:
        NeckError: too few or too many strings, or a pitch that no string is tuned to here.
    """
    if not FEWEST_STRINGS <= len(pitches) <= MOST_STRINGS:
        strings = "1 string" if len(pitches) == 1 else f"{len(pitches)} strings"
        raise NeckError(f"{strings}; give the pitches of {FEWEST_STRINGS} to {MOST_STRINGS}, such as E2,A2,D3,G3,C4,F4")
    parsed = [parse_pitch(pitch) for pitch in pitches]
    for text, (midi, _) in zip(pitches, parsed, strict=True):
        if not LOWEST_OPEN <= midi <= HIGHEST_OPEN:
            raise NeckError(
                f"{text} is out of range: open strings lie from {pitch_label(LOWEST_OPEN)} "
                f"to {pitch_label(HIGHEST_OPEN)}"
            )
    open_midi, tones = tuple(midi for midi, _ in parsed), tuple(tone for _, tone in parsed)
    unnamed = Tuning("-".join(map(pitch_name, open_midi)), open_midi, tones, hand=hand_for(open_midi))
    return next((known for known in TUNINGS.values() if known.open_midi == open_midi), unnamed)


def tuning_named(name: str) -> Tuning:
    """Return a tuning of the table by its name; `DADGAD` and `Drop D` are understood.

    Raises:
        NeckError: no tuning has this name; the nearest is suggested.
    """
    wanted, names = re.sub(r"[\s_-]+", "-", name.strip().lower()), tuning_names()
    if wanted in names:
        return names[wanted]
    raise NeckError(
        f"{name!r} is not a tuning; {remedy(wanted, names)} (or give its pitches, such as E2,A2,D3,G3,C4,F4)"
    )


def parse_tuning(text: str) -> Tuning:
    """Read a tuning's name, or its pitches from the lowest-sounding side: `dadgad`, `E2,A2,D3,G3,C4,F4`.

    Args:
        text: a name, or 3 to 10 pitches separated by commas or spaces.

    Raises:
        NeckError: it is neither.
    """
    parts = [part for part in _SEPARATOR.split(text) if part]
    if "," in text or any(_PITCH.fullmatch(part) for part in parts):
        return tuning_of_pitches(parts)
    return tuning_named(text)


def read_tuning(text: str) -> str:
    """Return a tuning as people write it in the current speech, its pitches in English and divided by commas.

    Args:
        text: a name, or 3 to 10 pitches separated by commas or spaces.

    Raises:
        NeckError: it has a part that is no pitch; whether a name is known is not looked at.
    """
    parts = [part for part in _SEPARATOR.split(text) if part]
    if "," not in text and not any(map(_may_be_pitch, parts)):
        return text
    return ",".join(map(read_pitch, parts))


def write_tuning(text: str) -> str:
    """Return a tuning as people write it in the current speech.

    Args:
        text: a name, or English pitches divided by commas.
    """
    parts = [part for part in _SEPARATOR.split(text) if part]
    if not all(map(_PITCH.fullmatch, parts)):
        return text
    return ",".join(tone.written + part[len(tone.name) :] for part in parts for tone in (parse_pitch(part)[1],))


def _may_be_pitch(text: str) -> bool:
    found = _WITH_OCTAVE.fullmatch(text)
    return found is not None and whose(found["tone"], current().names) is not None


def _spelled(midi: int, tone: Tone) -> str:
    octave = (midi - tone.accidental) // 12 - 1
    return tone.label + str(octave)


def read_row(row: KnownTuning) -> Tuning:
    """Return the tuning that a row describes.

    Raises:
        NeckError: it has a text that is no pitch.
    """
    parsed = [parse_pitch(pitch) for pitch in row.pitches.split()]
    open_midi, tones = tuple(midi for midi, _ in parsed), tuple(tone for _, tone in parsed)
    return Tuning(row.name, open_midi, tones, row.frets, row.description, hand_for(open_midi), row.patch, row.also)


TUNINGS: Registry[str, Tuning] = Registry("tuning", {row.name: read_row(row) for row in KNOWN_TUNINGS})
"""Tunings that can be asked for by name."""


def tuning_names() -> dict[str, Tuning]:
    """Return every name by which a tuning can be asked for, second names after the others."""
    return {**TUNINGS, **{tuning.also: tuning for tuning in TUNINGS.values() if tuning.also}}
