"""What written music shows, before it is engraved.

Conventions: time is counted in ticks of a twelfth of a beat from the beginning, so that eighths, triplets and
sixteenths are whole numbers; four beats a bar. Time is written straight: swing is told in words. Pitches are spelled as
they sound, with the octave of scientific pitch notation (middle C is C4); a clef with an 8 below shows them an octave
higher, as guitarists and bassists read. String 1 is the last of the tuning's list, frets are counted from the nut.
Degrees are ready to read (Unicode ♭ and ♯), names of tones are ASCII. A description is plain data: the same description
always engraves the same bytes.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from deckbuilder.errors import UserError
from deckbuilder.medium import Description, MediaType

RENDERER_VERSION: Final = 1
"""Raised whenever the same description would give other bytes; part of a medium's file name."""

BEAT: Final = 12
"""Ticks in a beat."""
BAR: Final = 4 * BEAT
FEWEST_STRINGS, MOST_STRINGS = 3, 10
HIGHEST_FRET: Final = 36


class NotationError(UserError, ValueError):
    """Music that cannot be written; the message names the value and what would be right."""


class Clef(StrEnum):
    """How a staff is read."""

    TREBLE = "treble"
    TREBLE_8 = "treble-8"
    """With an 8 below: it sounds an octave lower, as guitar music is written."""
    BASS = "bass"
    BASS_8 = "bass-8"
    """With an 8 below, as music for the bass guitar and the double bass sounds."""


class Staves(StrEnum):
    """Which staves are shown."""

    BOTH = "both"
    TABLATURE = "tablature"
    STAFF = "staff"

    @property
    def has_staff(self) -> bool:
        """Whether there is a staff of five lines."""
        return self is not Staves.TABLATURE

    @property
    def has_tablature(self) -> bool:
        """Whether there is a tablature."""
        return self is not Staves.STAFF


@dataclass(frozen=True, slots=True)
class Pitch:
    """A spelled pitch.

    Args:
        letter: `A` to `G`.
        accidental: semitones the letter is raised (negative: lowered).
        octave: the letter's, as in scientific pitch notation: B♯3 sounds as C4.
    """

    letter: str
    accidental: int
    octave: int

    @property
    def midi(self) -> int:
        """MIDI note number."""
        return 12 * (self.octave + 1) + _NATURALS[self.letter] + self.accidental


_NATURALS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}


@dataclass(frozen=True, slots=True)
class ScoreNote:
    """A note as it is written.

    Args:
        onset: when it begins, in ticks.
        length: how long it lasts, in ticks.
        pitch: how it is spelled.
        string: the string it is played on.
        fret: where, 0 for the open string.
        degree: what it is to the chord, for people; empty for nothing.
    """

    onset: int
    length: int
    pitch: Pitch
    string: int
    fret: int
    degree: str = ""


@dataclass(frozen=True, slots=True)
class ChordSymbol:
    """A chord symbol above the staff.

    Args:
        onset: where it stands, in ticks.
        root: ASCII name of the root, `Bb`.
        text: what follows the root, for people, `m7♭5`.
        kind: the nearest of MusicXML's kinds of chord, `half-diminished`.
        alterations: degrees that the kind lacks or has otherwise, each as its number and the semitones it is raised.
        bass: ASCII name of the bass where it is not the root; else empty.
        shown: the symbol for people where tones do not have their English names; else empty.
    """

    onset: int
    root: str
    text: str
    kind: str
    alterations: tuple[tuple[int, int], ...] = ()
    bass: str = ""
    shown: str = ""

    @property
    def label(self) -> str:
        """The symbol for people, `B♭m7♭5/F`."""
        return self.shown or _pretty(self.root) + self.text + (f"/{_pretty(self.bass)}" if self.bass else "")


def _pretty(name: str) -> str:
    return name[:1] + name[1:].replace("b", "♭").replace("#", "♯")


@dataclass(frozen=True, slots=True)
class Score(Description):
    """Music for one player.

    Args:
        bars: number of bars of four beats.
        notes: the notes in order, one at a time.
        open_strings: pitches of the open strings, from the lowest-sounding side to string 1.
        clef: how the staff is read.
        chords: the chord symbols in order.
        staves: which staves are shown.
        swing: whether eighths are swung, which is told once.
    """

    media_type = MediaType.IMAGE
    prefix = "score"
    ending = ".svg"
    version = RENDERER_VERSION
    renderer = "deckbuilder.notation.render"

    bars: int
    notes: tuple[ScoreNote, ...]
    open_strings: tuple[Pitch, ...]
    clef: Clef
    chords: tuple[ChordSymbol, ...] = ()
    staves: Staves = Staves.BOTH
    swing: bool = False


def check(score: Score) -> None:
    """Refuse music that cannot be written.

    Args:
        score: the music.

    Raises:
        NotationError: the message names what is wrong.
    """
    if score.bars < 1:
        raise NotationError(f"{score.bars} bars are none: give 1 or more")
    if not FEWEST_STRINGS <= len(score.open_strings) <= MOST_STRINGS:
        raise NotationError(f"{len(score.open_strings)} strings: give {FEWEST_STRINGS} to {MOST_STRINGS}")
    free = 0
    for note in score.notes:
        if note.length < 1 or note.onset < free or note.onset + note.length > score.bars * BAR:
            raise NotationError(
                f"a note at tick {note.onset} for {note.length} ticks: notes follow each other within the bars"
            )
        free = note.onset + note.length
        if not 1 <= note.string <= len(score.open_strings):
            raise NotationError(f"string {note.string} of {len(score.open_strings)} strings")
        if not 0 <= note.fret <= HIGHEST_FRET:
            raise NotationError(f"fret {note.fret}: give 0 to {HIGHEST_FRET}")
        if score.open_strings[-note.string].midi + note.fret != note.pitch.midi:
            raise NotationError(f"string {note.string}, fret {note.fret} does not sound MIDI note {note.pitch.midi}")
    for chord in score.chords:
        if not 0 <= chord.onset < score.bars * BAR:
            raise NotationError(f"a chord at tick {chord.onset} of {score.bars} bars")
