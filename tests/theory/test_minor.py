"""The minor cadence: the chords that an analysis of changes finds, with both arpeggios over each."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.theory.analysis import analyse
from deckbuilder.theory.arpeggios import Source, arpeggio
from deckbuilder.theory.changes import SectionText, parse_form
from deckbuilder.theory.keys import MINOR_KEY_NAMES, Key
from deckbuilder.theory.minor import (
    DEFAULT_MINOR_KEYS,
    MINOR_COLOURS,
    MINOR_FUNCTIONS,
    minor_harmony,
)
from deckbuilder.theory.tones import TheoryError
from tests.theory.cadence import minor_cadence

WRITTEN = {"harmonic-minor": "V7b9b13", "altered": "V7alt", "im6": "im6", "imMaj7": "imMaj7"}

keys = st.sampled_from([f"{tonic}m" for tonic in MINOR_KEY_NAMES]).map(Key.parse_either)
colours, tonics = st.sampled_from(MINOR_COLOURS), st.sampled_from(("im6", "imMaj7"))


def test_the_twelve_keys_follow_each_other_in_fourths() -> None:
    tonics = [Key.parse_either(name).tonic.pitch_class for name in DEFAULT_MINOR_KEYS]
    assert tonics == [5 * number % 12 for number in range(12)]


@given(keys, colours, tonics)
def test_an_analysis_of_the_changes_reads_the_same_chords(key: Key, colour: str, tonic: str) -> None:
    bars = f"| iiø | {WRITTEN[colour]} | {WRITTEN[tonic]} |"
    read = analyse(parse_form("a cadence", key, [SectionText("", bars)]))
    assert tuple(chord.harmony for chord in read) == minor_cadence(key, colour, tonic)


@given(keys, colours, tonics, st.sampled_from(Source))
def test_every_chord_has_both_arpeggios_in_its_scale(key: Key, colour: str, tonic: str, source: Source) -> None:
    for chord in minor_cadence(key, colour, tonic):
        made = arpeggio(chord, source)
        assert made.chord.pitch_classes <= chord.scale.pitch_classes
        assert all(abs(tone.accidental) <= 1 for tone in (*made.chord.tones, *chord.scale.tones))
        assert len(made.reason.guides) == 2 or (source is Source.THIRD and chord.chord.quality.stack[3:] == ("M6",))


@given(keys, colours)
def test_the_minor_third_of_the_key_is_never_contradicted_before_the_tonic(key: Key, colour: str) -> None:
    major_third = (key.tonic.pitch_class + 4) % 12
    ii, _, i = minor_cadence(key, colour)
    assert major_third not in ii.scale.pitch_classes | i.scale.pitch_classes


def test_what_is_no_minor_cadence_is_refused() -> None:
    minor = Key.parse_either("Cm")
    with pytest.raises(TheoryError, match=r"'C' is a major key; .* such as Cm"):
        minor_harmony(Key.parse("C"), "iim7b5")
    with pytest.raises(TheoryError, match=r"'ii' is no chord of the minor cadence; choose from iim7b5, V, im6, imMaj7"):
        minor_harmony(minor, "ii")
    assert list(MINOR_FUNCTIONS) == ["iim7b5", "V", "im6", "imMaj7"]
