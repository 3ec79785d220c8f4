"""Music of the tests' own, for several instruments."""

from deckbuilder.notation.description import ChordSymbol, Clef, Pitch, Score, ScoreNote


def pitch(name: str) -> Pitch:
    """Read a pitch such as `Bb3`."""
    return Pitch(name[0], name.count("#") - name[1:].count("b"), int(name[-1]))


def strings(names: str) -> tuple[Pitch, ...]:
    """Read open strings, lowest first."""
    return tuple(map(pitch, names.split()))


GUITAR, BASS = strings("E2 A2 D3 G3 B3 E4"), strings("E1 A1 D2 G2")
SEVEN, TEN = strings("B1 E2 A2 D3 G3 B3 E4"), strings("C1 G1 D2 A2 E3 G3 B3 D4 F4 A4")
UKULELE, THREE = strings("G4 C4 E4 A4"), strings("D3 A3 D4")


def note(
    onset: int, length: int, name: str, string: int, degree: str = "", opened: tuple[Pitch, ...] = GUITAR
) -> ScoreNote:
    """Write a note where a string has it."""
    sounding = pitch(name)
    return ScoreNote(onset, length, sounding, string, sounding.midi - opened[-string].midi, degree)


LINE = Score(
    4,
    (
        *(note(0, 6, "Bb3", 3, "♭3"), note(6, 6, "D4", 3, "5"), note(12, 6, "F4", 2, "♭7"), note(18, 6, "A4", 1, "9")),
        *(note(24, 4, "Bb4", 1, "♭3"), note(28, 4, "A4", 1, "9"), note(32, 4, "G4", 1, "1")),
        *(note(36, 6, "F#4", 2, "7"), note(42, 12, "E4", 2, "3")),
        *(note(54, 6, "Db4", 3, "♭9"), note(60, 6, "Bb3", 4, "♭7"), note(66, 6, "Ab3", 4, "♭13")),
        *(
            note(72, 6, "Gb3", 4, "♭5"),
            note(78, 6, "E3", 5, "3"),
            note(84, 6, "D#3", 5, "♯9"),
            note(90, 6, "Db3", 5, "♭9"),
        ),
        *(note(96, 24, "C3", 5, "5"), note(120, 6, "A3", 4, "3"), note(126, 18, "C4", 3, "5")),
        *(note(156, 3, "F#4", 2, "3"), note(159, 3, "G4", 2, "11"), note(162, 6, "F#4", 2, "3")),
        *(note(168, 6, "Eb4", 2, "♭9"), note(174, 6, "C4", 3, "♭7"), note(180, 12, "Bb3", 3, "♭13")),
    ),
    GUITAR,
    Clef.TREBLE_8,
    (
        ChordSymbol(0, "G", "m7", "minor-seventh"),
        ChordSymbol(48, "C", "7alt", "dominant", ((5, -1), (9, -1))),
        ChordSymbol(96, "F", "maj7", "major-seventh"),
        ChordSymbol(120, "A", "m7♭5", "half-diminished", (), "Eb"),
        ChordSymbol(144, "D", "7♭9", "dominant", ((9, -1),)),
    ),
    swing=True,
)
"""A syncopation tied over a bar line, a triplet, a turn of sixteenths, rests; a chord that comes under a held note."""

_HIGH = ["C#5", "A#4", "G#4", "F#4", "E#4", "D#4", "C#4", "B3", "A#3", "C#4", "E#4", "G#4", "B4", "A4", "G#4", "F4"]
_HIGH_STRINGS = (1, 2, 2, 3, 3, 4, 4, 4, 5, 4, 3, 2, 2, 2, 2, 3)
_HIGH_DEGREES = ["5", "3", "9", "1", "7", "13", "5", "11", "♭7", "9", "♯11", "13", "♭7", "♭13", "5", "♭9"]
CROWDED = Score(
    2,
    tuple(note(6 * n, 6, *each) for n, each in enumerate(zip(_HIGH, _HIGH_STRINGS, _HIGH_DEGREES, strict=True))),
    GUITAR,
    Clef.TREBLE_8,
    (
        ChordSymbol(0, "F#", "maj7", "major-seventh"),
        ChordSymbol(24, "D#", "m7♭5", "half-diminished"),
        ChordSymbol(48, "G#", "m7", "minor-seventh", (), "C#"),
        ChordSymbol(72, "C#", "7♯5", "augmented-seventh"),
    ),
)
"""Sixteen eighths with accidentals and numbers of two digits, two chords a bar."""


def _quarters(opened: tuple[Pitch, ...], clef: Clef, *notes: tuple[str, int]) -> Score:
    written = tuple(note(12 * n, 12, name, string, "1", opened) for n, (name, string) in enumerate(notes))
    return Score(-(-len(notes) // 4), written, opened, clef, (ChordSymbol(0, "G", "7", "dominant"),))


INSTRUMENTS = {
    "bass": _quarters(BASS, Clef.BASS_8, ("G1", 4), ("B1", 3), ("D2", 3), ("F2", 2), ("E2", 2), ("C2", 3), ("B2", 1)),
    "seven": _quarters(
        SEVEN, Clef.TREBLE_8, ("C2", 7), ("G2", 6), ("B2", 5), ("F3", 4), ("B3", 3), ("E4", 2), ("E5", 1)
    ),
    "ten": _quarters(TEN, Clef.BASS, ("D1", 10), ("A1", 9), ("E2", 8), ("B2", 7), ("F3", 6), ("A3", 5), ("C4", 4)),
    "ukulele": _quarters(UKULELE, Clef.TREBLE, ("C4", 3), ("E4", 2), ("G4", 4), ("C5", 1)),
    "three": _quarters(THREE, Clef.TREBLE_8, ("D3", 3), ("A3", 2), ("F4", 1)),
}
