"""Names of tones against an independent library and against tables of general music theory.

Source: music21, `Pitch.german`, `.french`, `.italian` and `.spanish` (Cuthbert and Ariza); the German names of the
keys and of the chromatic scale, from memory of general music theory as taught in German ("Allgemeine Musiklehre").
"""

import unicodedata

import pytest
from music21.pitch import Pitch

from deckbuilder.speech import Names, Speech, speaking
from deckbuilder.theory.keys import KEY_NAMES, Key
from deckbuilder.theory.tones import Tone

TONES = [Tone(letter, accidental) for letter in "CDEFGAB" for accidental in range(-2, 3)]
WORDS = {
    "french": {"bémol": "b", "dièse": "#"},
    "italian": {"bemolle": "b", "diesis": "#"},
    "spanish": {"bemol": "b", "sostenido": "#"},
}
"""What each language calls flats and sharps; a double one has the word `double`, `doppio` or `doble` before it."""


def theirs(tone: Tone) -> Pitch:
    return Pitch(tone.letter + "-" * -tone.accidental + "#" * tone.accidental)


@pytest.mark.parametrize("tone", TONES, ids=lambda tone: str(tone.name))
def test_german_names_are_those_of_music21(tone: Tone) -> None:
    with speaking(Speech(names=Names.GERMAN)):
        assert tone.label == theirs(tone).german


@pytest.mark.parametrize("language", WORDS)
@pytest.mark.parametrize("tone", TONES, ids=lambda tone: str(tone.name))
def test_syllables_are_those_of_music21(tone: Tone, language: str) -> None:
    syllable, *words = getattr(theirs(tone), language).split()
    signs = WORDS[language]
    accidental = "".join(signs[word] for word in words if word in signs) * (2 if len(words) == 2 else 1)
    with speaking(Speech(names=Names.SOLFEGE)):
        assert tone.written.lower() == _plain(syllable) + accidental
        if language == "french":
            assert tone.label[: len(syllable)].lower() == syllable


def test_german_names_of_the_major_keys() -> None:
    """The circle of fifths as German textbooks print it (from memory): Ces Ges Des As Es B F C G D A E H Fis Cis."""
    with speaking(Speech(names=Names.GERMAN)):
        found = {Key.parse(name).label for name in KEY_NAMES}
    assert found == {"Ces", "Ges", "Des", "As", "Es", "B", "F", "C", "G", "D", "A", "E", "H", "Fis", "Cis"}


def test_german_names_of_the_chromatic_scale() -> None:
    """C to C in flats and in sharps as German textbooks print it (from memory)."""
    flats, sharps = "C Des D Es E F Ges G As A B H", "C Cis D Dis E F Fis G Gis A Ais H"
    names = ("C Db D Eb E F Gb G Ab A Bb B", "C C# D D# E F F# G G# A A# B")
    with speaking(Speech(names=Names.GERMAN)):
        assert [" ".join(Tone.parse(name).label for name in row.split()) for row in names] == [flats, sharps]


def _plain(text: str) -> str:
    return "".join(sign for sign in unicodedata.normalize("NFD", text) if not unicodedata.combining(sign))
