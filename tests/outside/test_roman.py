"""Roman numerals against music21's `roman` module.

music21 follows the older habit where it differs from jazz: a bare seventh on a capital numeral is the one that the
scale has there, so that its `bVII7` is our `bVIImaj7`; in minor it counts steps from the minor scale, so that minor
chords are compared on the major key of the same tonic, as jazz counts them. Its diminished seventh on a raised step
comes out half-diminished: only roots are compared there.
"""

import pytest
from music21 import key as keys
from music21 import roman

from deckbuilder.theory.keys import DEFAULT_KEYS, Key
from deckbuilder.theory.numerals import Numeral
from deckbuilder.theory.tones import Tone, plain

ALIKE = {
    "I": "I",
    "ii": "ii",
    "iv": "iv",
    "V": "V",
    "Imaj7": "Imaj7",
    "IVmaj7": "IVmaj7",
    "ii7": "ii7",
    "iii7": "iii7",
    "vi7": "vi7",
    "iv7": "iv7",
    "V7": "V7",
    "viiø7": "viiø7",
    "iiø7": "iiø7",
    "vii°7": "viio7",
    "bVIImaj7": "bVII7",
    "bIII": "bIII",
    "bVI": "bVI",
    "bII": "bII",
    "#ivø7": "#ivø7",
    "V7/V": "V7/V",
    "V7/ii": "V7/ii",
    "V7/iii": "V7/iii",
    "V7/vi": "V7/vi",
    "V7/IV": "V7/IV",
    "V7/bVI": "V7/bVI",
    "vii°7/V": "viio7/V",
    "ii7/IV": "ii7/IV",
}
ROOTS_ALIKE = {"#i°7": "#io7", "#ii°7": "#iio7", "biii°7": "biiio7", "bVII7": "bVII7"}


def _classes(key: str, numeral: str) -> tuple[int, set[int]]:
    found = Numeral.parse(numeral)
    root = found.step.tone_in(Key.parse(key))
    return root.pitch_class, {(root.pitch_class + step) % 12 for step in found.type.semitones}


def _theirs(key: str, numeral: str) -> roman.RomanNumeral:
    return roman.RomanNumeral(numeral, keys.Key(key.replace("b", "-")))


@pytest.mark.parametrize("key", DEFAULT_KEYS)
@pytest.mark.parametrize("numeral", ALIKE)
def test_root_and_tones_are_those_of_music21(key: str, numeral: str) -> None:
    theirs = _theirs(key, ALIKE[numeral])
    root, classes = _classes(key, numeral)
    assert root == theirs.root().pitchClass
    assert classes == set(theirs.pitchClasses)


@pytest.mark.parametrize("key", DEFAULT_KEYS)
@pytest.mark.parametrize("numeral", ROOTS_ALIKE)
def test_root_is_that_of_music21(key: str, numeral: str) -> None:
    assert _classes(key, numeral)[0] == _theirs(key, ROOTS_ALIKE[numeral]).root().pitchClass


@pytest.mark.parametrize("key", DEFAULT_KEYS)
@pytest.mark.parametrize("numeral", [numeral for numeral in ALIKE if numeral[0] not in "b#"])
def test_roots_are_spelled_as_music21_spells_them_but_for_awkward_names(key: str, numeral: str) -> None:
    root = _theirs(key, ALIKE[numeral]).root()
    theirs = Tone(root.step, round(root.alter))
    ours = Numeral.parse(numeral).step.tone_in(Key.parse(key))
    assert ours in (theirs, plain(theirs.pitch_class))
    assert abs(ours.accidental) <= 1
