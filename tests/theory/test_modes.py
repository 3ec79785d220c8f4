"""Modes: a chord's scale from its own root, with the tones and the spelling of the key's."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.theory.analysis import analyse
from deckbuilder.theory.changes import SectionText, parse_form
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.keys import KEY_NAMES, MINOR_KEY_NAMES, Key

KEYS = (*KEY_NAMES, *(f"{tonic}m" for tonic in MINOR_KEY_NAMES))
MAJOR, MINOR = "| ii7 | V7 | Imaj7 | iii7 | IVmaj7 | vi7 | viiø |", "| iiø | ivm7 | bVII7 | bIIImaj7 | bVImaj7 | vm7 |"


def chords(key: str, bars: str) -> list[Harmony]:
    home = Key.parse_either(key)
    return [read.harmony for read in analyse(parse_form("a tune", home, [SectionText("", bars)]))]


def modes(key: str, bars: str) -> list[str]:
    return [chord.mode.symbol for chord in chords(key, bars)]


def test_the_chords_of_a_key_have_its_modes_by_name() -> None:
    """Common practice, as every table of the modes prints it."""
    assert modes("F", MAJOR) == [
        "G dorian", "C mixolydian", "F major", "A phrygian", "Bb lydian", "D aeolian", "E locrian",
    ]  # fmt: skip
    assert modes("Cm", MINOR) == [
        "D locrian", "F dorian", "Bb mixolydian", "Eb ionian", "Ab lydian", "G phrygian",
    ]  # fmt: skip
    assert modes("Cm", "| im6 | viø | im6 | viø |")[:2] == ["C melodic minor", "A locrian natural 9"]


@given(st.sampled_from(KEYS))
def test_a_mode_begins_with_its_chord_and_keeps_tones_and_spelling(key: str) -> None:
    for chord in chords(key, MINOR if key.endswith("m") else MAJOR):
        assert chord.mode.tonic == chord.chord.root
        assert set(chord.mode.tones) == set(chord.scale.tones)
        assert set(chord.chord.tones) <= set(chord.mode.tones)


@pytest.mark.parametrize("name", ["dorian", "phrygian", "aeolian", "dorian-b2"])
def test_a_scale_of_the_chords_own_is_its_mode_already(name: str) -> None:
    (chord, _) = chords("C", f"| Ebm7{{{name}}} | C |")
    assert chord.mode == chord.scale
    assert chord.scale.tonic == chord.chord.root
