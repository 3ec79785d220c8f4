"""The tunings that players use, as a table.

Conventions: pitches in scientific pitch notation (C4 is middle C), from the lowest-sounding side of the neck to
string 1, spelled as players write them; frets are those of a common instrument of the kind. A row is all that a new
tuning takes; its hand follows from its pitches (`deckbuilder.neck.hand`).
Source: common practice, no source; tests/outside/test_tunings.py holds the pitches against general references.
"""

from dataclasses import dataclass

from deckbuilder.speech import marked

GUITAR, BASS, NYLON, MANDOLIN = "guitar", "bass", "nylon", "mandolin"
INSTRUMENTS = (GUITAR, BASS, NYLON, MANDOLIN)
"""Names of instruments that sound."""
USUAL_FRETS = 22
"""Frets of an instrument whose tuning does not say more."""


@dataclass(frozen=True)
class KnownTuning:
    """A row of the table.

    Args:
        name: its name in recipes and tags: ASCII, lower case, words joined by `-`.
        pitches: the open strings, separated by spaces.
        frets: the highest fret of a common instrument.
        description: what it is, for people, a message that is said with `translate`.
        also: another name by which it can be asked for.
        patch: name of the instrument that sounds: `guitar`, `bass`, `nylon` or `mandolin`.
    """

    name: str
    pitches: str
    frets: int = USUAL_FRETS
    description: str = ""
    also: str = ""
    patch: str = GUITAR


KNOWN_TUNINGS: tuple[KnownTuning, ...] = (
    KnownTuning("standard", "E2 A2 D3 G3 B3 E4", 22, marked("guitar in standard tuning")),
    KnownTuning("drop-d", "D2 A2 D3 G3 B3 E4", 22, marked("guitar in drop D: sixth string a whole step down")),
    KnownTuning(
        "double-drop-d", "D2 A2 D3 G3 B3 D4", 22, marked("guitar in double drop D: outer strings a whole step down")
    ),
    KnownTuning("dadgad", "D2 A2 D3 G3 A3 D4", 22, marked("guitar in DADGAD: open strings a suspended D chord")),
    KnownTuning("open-g", "D2 G2 D3 G3 B3 D4", 22, marked("guitar in open G")),
    KnownTuning("open-d", "D2 A2 D3 F#3 A3 D4", 22, marked("guitar in open D")),
    KnownTuning("open-c", "C2 G2 C3 G3 C4 E4", 22, marked("guitar in open C")),
    KnownTuning("all-fourths", "E2 A2 D3 G3 C4 F4", 22, marked("guitar in fourths throughout")),
    KnownTuning("major-thirds", "E2 G#2 C3 E3 G#3 C4", 22, marked("guitar in major thirds throughout")),
    KnownTuning("half-step-down", "Eb2 Ab2 Db3 Gb3 Bb3 Eb4", 22, marked("guitar, all strings a half step down")),
    KnownTuning("whole-step-down", "D2 G2 C3 F3 A3 D4", 22, marked("guitar, all strings a whole step down")),
    KnownTuning("baritone", "B1 E2 A2 D3 F#3 B3", 22, marked("baritone guitar, a fourth below standard")),
    KnownTuning("seven-string", "B1 E2 A2 D3 G3 B3 E4", 24, marked("seven-string guitar, a low B below standard")),
    KnownTuning(
        "eight-string", "F#1 B1 E2 A2 D3 G3 B3 E4", 24, marked("eight-string guitar, low F♯ and B below standard")
    ),
    KnownTuning("bass-4", "E1 A1 D2 G2", 20, marked("four-string bass"), patch=BASS),
    KnownTuning("bass-5", "B0 E1 A1 D2 G2", 22, marked("five-string bass, a low B below four strings"), patch=BASS),
    KnownTuning("bass-6", "B0 E1 A1 D2 G2 C3", 24, marked("six-string bass, a low B and a high C"), patch=BASS),
    KnownTuning("tenor", "C3 G3 D4 A4", 19, marked("tenor guitar or tenor banjo in fifths")),
    KnownTuning("plectrum", "C3 G3 B3 D4", 22, marked("plectrum guitar or plectrum banjo")),
    KnownTuning("ukulele", "G4 C4 E4 A4", 12, marked("ukulele with its re-entrant fourth string"), patch=NYLON),
    KnownTuning("mandolin", "G3 D4 A4 E5", 20, marked("mandolin, in fifths like a violin"), "violin", MANDOLIN),
    KnownTuning("octave-mandolin", "G2 D3 A3 E4", 19, marked("an octave below the mandolin"), patch=MANDOLIN),
    KnownTuning("cello", "C2 G2 D3 A3", 19, marked("cello or mandocello, in fifths"), "mandocello", BASS),
)
"""Every tuning that can be asked for by name."""
