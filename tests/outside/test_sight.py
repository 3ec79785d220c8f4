"""Functions at sight against music21's `roman` module, mingus' tables and a handbook table."""

import pytest
from mingus.core import chords as mingus_chords
from mingus.core.notes import note_to_int
from music21 import key as keys
from music21 import roman

from deckbuilder.cards.sight import ASKED, chords_of
from deckbuilder.theory.keys import DEFAULT_KEYS, Key

THEIRS = {
    "ii": "ii7",
    "iii": "iii7",
    "IV": "IV7",
    "V": "V7",
    "vi": "vi7",
    "vii": "viiø7",
    "V-of-ii": "V7/ii",
    "V-of-iii": "V7/iii",
    "V-of-IV": "V7/IV",
    "V-of-V": "V7/V",
    "V-of-vi": "V7/vi",
}
"""music21's numerals; its bare seventh is the one that the scale has."""

BY_NAME = {asked.name: asked for asked in ASKED if not asked.minor}

PAIRS = {
    "C": "Dm7 G7",
    "F": "Gm7 C7",
    "Bb": "Cm7 F7",
    "Eb": "Fm7 Bb7",
    "Ab": "Bbm7 Eb7",
    "Db": "Ebm7 Ab7",
    "Gb": "Abm7 Db7",
    "B": "C#m7 F#7",
    "E": "F#m7 B7",
    "A": "Bm7 E7",
    "D": "Em7 A7",
    "G": "Am7 D7",
}
"""ii–V in twelve keys, as any book on jazz harmony prints it (from memory)."""

SUBSTITUTES = {"C": "Db7", "F": "Gb7", "Bb": "B7", "Eb": "E7", "Ab": "A7", "Db": "D7"} | {
    "Gb": "G7",
    "B": "C7",
    "E": "F7",
    "A": "Bb7",
    "D": "Eb7",
    "G": "Ab7",
}
"""What stands for V, a semitone above the tonic, under its natural or flat name (common practice, no source)."""


@pytest.mark.parametrize("key", DEFAULT_KEYS)
@pytest.mark.parametrize("name", THEIRS)
def test_chords_have_the_tones_that_music21_gives(key: str, name: str) -> None:
    (chord,) = chords_of(BY_NAME[name], Key.parse(key))
    theirs = roman.RomanNumeral(THEIRS[name], keys.Key(key.replace("b", "-")))
    assert chord.chord.root.pitch_class == theirs.root().pitchClass
    assert chord.chord.pitch_classes == set(theirs.pitchClasses)


@pytest.mark.parametrize("key", DEFAULT_KEYS)
def test_diatonic_chords_have_the_tones_that_mingus_gives(key: str) -> None:
    sevenths = mingus_chords.sevenths(key)
    for name, step in {"ii": 1, "iii": 2, "IV": 3, "V": 4, "vi": 5, "vii": 6}.items():
        (chord,) = chords_of(BY_NAME[name], Key.parse(key))
        assert [tone.pitch_class for tone in chord.chord.tones] == [note_to_int(each) for each in sevenths[step]]


@pytest.mark.parametrize("key", DEFAULT_KEYS)
def test_pairs_and_substitutes_are_those_of_the_tables(key: str) -> None:
    assert " ".join(each.chord.symbol for each in chords_of(BY_NAME["ii-V"], Key.parse(key))) == PAIRS[key]
    assert " ".join(each.chord.symbol for each in chords_of(BY_NAME["subV"], Key.parse(key))) == SUBSTITUTES[key]


def test_every_function_is_checked() -> None:
    assert set(BY_NAME) == {*THEIRS, "ii-V", "subV"}
