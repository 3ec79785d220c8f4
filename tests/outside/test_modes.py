"""Scales and carriers against tables that the program does not use.

Modes: the step patterns of the modes of the major, melodic minor and harmonic minor and of the two symmetric scales as
chord-scale tables print them; written from memory after the usual chord-scale tables of jazz harmony books (such as the
table of modes at the end of Mark Levine's "The Jazz Theory Book"), not copied from a page. Carriers: worked out by hand
on C7 and F major's G7, common practice, no source. Pitch classes also against mingus, an independent library.
"""

import pytest
from mingus.core import scales as mingus_scales
from mingus.core.notes import note_to_int

from deckbuilder.theory.arpeggios import Source, arpeggio, carriers
from deckbuilder.theory.chordscales import CHORD_SCALES
from deckbuilder.theory.colours import COLOURS, colour_scale
from deckbuilder.theory.functions import FUNCTIONS, harmony
from deckbuilder.theory.keys import DEFAULT_KEYS, Key
from deckbuilder.theory.tones import Tone

COLOUR_TABLE = {
    "plain": "C D E F G A Bb",
    "altered": "C Db D# E Gb Ab Bb",
    "harmonic-minor": "C Db E F G Ab Bb",
    "lydian-dominant": "C D E F# G A Bb",
    "mixolydian-b6": "C D E F G Ab Bb",
    "half-whole-diminished": "C Db D# E F# G A Bb",
    "whole-tone": "C D E F# G# Bb",
}

CHORD_SCALE_TABLE = {
    "ionian": "C D E F G A B",
    "dorian": "C D Eb F G A Bb",
    "phrygian": "C Db Eb F G Ab Bb",
    "lydian": "C D E F# G A B",
    "mixolydian": "C D E F G A Bb",
    "aeolian": "C D Eb F G Ab Bb",
    "locrian": "C Db Eb F Gb Ab Bb",
    "melodic-minor": "C D Eb F G A B",
    "dorian-b2": "C Db Eb F G A Bb",
    "lydian-augmented": "C D E F# G# A B",
    "locrian-natural-9": "C D Eb F Gb Ab Bb",
    "harmonic-minor": "C D Eb F G Ab B",
    "diminished": "C D Eb F Gb Ab A B",
}

CARRIERS_OF_C7 = {
    "plain": "C7 Em7b5",
    "altered": "Gb7 Bbm7b5",
    "harmonic-minor": "C7 Dbdim7 Edim7 Gdim7 Bbdim7 Bbm7b5",
    "lydian-dominant": "C7 Em7b5",
    "mixolydian-b6": "C7 Em7b5",
    "half-whole-diminished": "C7 F#7 Dbdim7 Edim7 Gdim7 Bbdim7",
    "whole-tone": "C7#5 C7b5 E7b5 F#7#5 F#7b5 Bb7b5",
}

ARPEGGIOS_OVER_C7 = {
    "plain": ("C E G Bb: 1 3 5 b7", "E G Bb D: 3 5 b7 9"),
    "altered": ("Gb Bb Db Fb: b5 b7 b9 3", "Bb Db Fb Ab: b7 b9 3 b13"),
    "harmonic-minor": ("C E G Bb: 1 3 5 b7", "E G Bb Db: 3 5 b7 b9"),
    "lydian-dominant": ("C E G Bb: 1 3 5 b7", "E G Bb D: 3 5 b7 9"),
    "mixolydian-b6": ("C E G Bb: 1 3 5 b7", "E G Bb D: 3 5 b7 9"),
    "half-whole-diminished": ("C E G Bb: 1 3 5 b7", "E G Bb Db: 3 5 b7 b9"),
    "whole-tone": ("C E G# Bb: 1 3 #5 b7", "E G# Bb D: 3 #5 b7 9"),
}

DEGREES = {
    "plain": "1 9 3 11 5 13 b7",
    "altered": "1 b9 #9 3 b5 b13 b7",
    "harmonic-minor": "1 b9 3 11 5 b13 b7",
    "lydian-dominant": "1 9 3 #11 5 13 b7",
    "mixolydian-b6": "1 9 3 11 5 b13 b7",
    "half-whole-diminished": "1 b9 #9 3 #11 5 13 b7",
    "whole-tone": "1 9 3 #11 #5 b7",
}

MINGUS = {
    "plain": (mingus_scales.Mixolydian, 0),
    "harmonic-minor": (mingus_scales.HarmonicMinor, 5),
    "lydian-dominant": (mingus_scales.MelodicMinor, 7),
    "mixolydian-b6": (mingus_scales.MelodicMinor, 5),
    "altered": (mingus_scales.MelodicMinor, 1),
    "half-whole-diminished": (mingus_scales.Octatonic, 1),
    "whole-tone": (mingus_scales.WholeTone, 0),
}
"""Those of the colours that mingus has as scales: the class, and how far above the dominant its tonic lies."""


def test_the_tables_have_every_row() -> None:
    assert COLOUR_TABLE.keys() == CARRIERS_OF_C7.keys() == ARPEGGIOS_OVER_C7.keys() == DEGREES.keys() == COLOURS.keys()
    assert CHORD_SCALE_TABLE.keys() == CHORD_SCALES.keys()


@pytest.mark.parametrize(("name", "tones"), COLOUR_TABLE.items())
def test_colours_are_the_modes_of_the_table(name: str, tones: str) -> None:
    found = colour_scale(Tone("C"), COLOURS[name])
    assert " ".join(tone.name for tone in found.tones) == tones


@pytest.mark.parametrize(("name", "tones"), CHORD_SCALE_TABLE.items())
def test_chord_scales_are_the_modes_of_the_table(name: str, tones: str) -> None:
    assert " ".join(tone.name for tone in CHORD_SCALES[name].on(Tone("C")).tones) == tones


@pytest.mark.parametrize("name", MINGUS)
@pytest.mark.parametrize("root", ["C", "F", "Bb", "Eb", "G", "D", "A"])
def test_colours_have_the_pitch_classes_that_mingus_gives(root: str, name: str) -> None:
    scale, offset = MINGUS[name]
    names = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "G#", "A", "Bb", "B")
    tonic = names[(Tone.parse(root).pitch_class + offset) % 12]
    expected = {note_to_int(note) for note in scale(tonic).ascending()}
    assert colour_scale(Tone.parse(root), COLOURS[name]).pitch_classes == expected


@pytest.mark.parametrize("name", COLOURS)
def test_carriers_and_arpeggios_are_those_found_by_hand(name: str) -> None:
    chord = harmony(Key.parse("F"), FUNCTIONS["V"], COLOURS[name])
    assert sorted(found.symbol for found in carriers(chord)) == sorted(CARRIERS_OF_C7[name].split())
    assert sorted(chord.degree_of(tone) for tone in chord.scale.tones) == sorted(DEGREES[name].split())
    for source, expected in zip(Source, ARPEGGIOS_OVER_C7[name], strict=True):
        found = arpeggio(chord, source)
        shown = f"{' '.join(tone.name for tone in found.chord.tones)}: {' '.join(found.degrees)}"
        assert shown == expected


@pytest.mark.parametrize("key", DEFAULT_KEYS)
def test_the_altered_carriers_are_exactly_the_sevenths_on_b5_and_b7(key: str) -> None:
    chord = harmony(Key.parse(key), FUNCTIONS["V"], COLOURS["altered"])
    found = [(chord.degree_of(carrier.root), carrier.quality.suffix) for carrier in carriers(chord)]
    assert found == [("b5", "7"), ("b7", "m7b5")]
