"""Music: what a note is about as music, until a picture, a clip, words or a writer need it.

Conventions: pitches are MIDI note numbers with the tone that spells them; degrees are ASCII, counted against the chord
that sounds; frets are counted from the nut and string 1 is the last of the tuning's list. A run has no measure; the
notes of a line say when they begin and how long they last.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from deckbuilder.lines.notes import LineNote
from deckbuilder.neck.fingering import FingeredNote
from deckbuilder.neck.regions import Region
from deckbuilder.neck.tuning import Place
from deckbuilder.theory.chords import Chord
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.keys import Key
from deckbuilder.theory.tones import Tone


@dataclass(frozen=True, slots=True)
class PlayedNote:
    """A note that is played.

    Args:
        midi: MIDI note number.
        tone: its name.
        degree: what it is to the chord.
        place: where it is fretted.
    """

    midi: int
    tone: Tone
    degree: str
    place: Place

    @property
    def octave(self) -> int:
        """The octave of its name in scientific pitch notation: 4 for middle C, 3 for the B below it."""
        return (self.midi - self.tone.accidental) // 12 - 1


@dataclass(frozen=True, slots=True)
class Music:
    """What a note is about as music.

    Args:
        key: the key.
        chords: the chords that sound, in order.
        symbol: symbol of the arpeggio or name of the scale, ASCII; over changes, their name.
        region: the hand position; None for a fact about no place.
        tones: the tones in question, in order from the root.
        degrees: what they are to the sounding chord, in the order of `tones`.
        guide_tones: pitch classes of those that are guide tones of it.
        run: what is played, in order.
        missing: pitches inside the run's compass that the hand cannot reach.
        carriers: the sevenths that hold both guide tones of the sounding chord.
        beats: how long each of `chords` lasts; empty where they are not measured.
        line: an example line over the chords.
    """

    key: Key
    chords: tuple[Harmony, ...]
    symbol: str
    region: Region | None = None
    tones: tuple[Tone, ...] = ()
    degrees: tuple[str, ...] = ()
    guide_tones: frozenset[int] = frozenset()
    run: tuple[PlayedNote, ...] = ()
    missing: tuple[int, ...] = ()
    carriers: tuple[Chord, ...] = ()
    beats: tuple[int, ...] = ()
    line: tuple[LineNote, ...] = ()

    @property
    def chord(self) -> str:
        """Symbols of the chords that sound, ASCII."""
        return " ".join(chord.symbol for chord in self.chords)

    @property
    def midi(self) -> tuple[int, ...]:
        """The run's pitches."""
        return tuple(note.midi for note in self.run)

    @property
    def places(self) -> tuple[Place, ...]:
        """Where the run is fretted."""
        return tuple(note.place for note in self.run)


def played(notes: Iterable[FingeredNote], tones: Sequence[Tone], degrees: Sequence[str]) -> tuple[PlayedNote, ...]:
    """Name fingered notes.

    Args:
        notes: the notes, each of one of the tones.
        tones: the tones.
        degrees: what they are to the chord, in the same order.
    """
    names = {tone.pitch_class: (tone, degree) for tone, degree in zip(tones, degrees, strict=True)}
    return tuple(PlayedNote(note.midi, *names[note.midi % 12], note.place) for note in notes)


def guide_tones(chord: Harmony) -> frozenset[int]:
    """Return the pitch classes of a chord's guide tones."""
    return frozenset(tone.pitch_class for tone in chord.chord.guide_tones)
