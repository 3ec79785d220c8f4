"""Laws of keys and of the scales that dominants draw on."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.theory.colours import COLOURS, colour_named, colour_scale
from deckbuilder.theory.functions import FUNCTIONS, Harmony, harmony
from deckbuilder.theory.keys import DEFAULT_KEYS, KEY_NAMES, Key
from deckbuilder.theory.tones import TheoryError, Tone

from .harmonies import altered, chord_in, keys

MAJOR_STEPS = (2, 2, 1, 2, 2, 2, 1)
ALTERED_STEPS = (1, 2, 1, 2, 2, 2, 2)


def steps(tones: tuple[Tone, ...]) -> tuple[int, ...]:
    classes = [tone.pitch_class for tone in (*tones, tones[0])]
    return tuple((upper - lower) % 12 for lower, upper in pairwise(classes))


def names(dominant: Harmony) -> list[str]:
    return [tone.name for tone in dominant.scale.tones]


@given(keys())
def test_a_key_has_seven_letters_each_once_from_its_tonic(name: str) -> None:
    tones = Key.parse(name).scale.tones
    assert tones[0].name == name
    letters = "CDEFGAB"
    first = letters.index(name[0])
    assert "".join(tone.letter for tone in tones) == letters[first:] + letters[:first]
    assert steps(tones) == MAJOR_STEPS
    assert all(abs(tone.accidental) < 2 for tone in tones)


def test_the_twelve_default_keys_rise_in_fourths_and_cover_all_pitch_classes() -> None:
    classes = [Key.parse(name).tonic.pitch_class for name in DEFAULT_KEYS]
    assert sorted(classes) == list(range(12))
    assert all((after - before) % 12 == 5 for before, after in pairwise(classes))
    assert set(KEY_NAMES) - set(DEFAULT_KEYS) == {"F#", "C#", "Cb"}


def test_accidentals_are_read_either_way() -> None:
    assert Key.parse("B♭") == Key.parse("Bb")
    assert Key.parse("F♯").label == "F♯"


@pytest.mark.parametrize("name", ["H", "", "G#", "Fb", "bb", "Am", "F major"])
def test_an_unknown_key_is_refused_with_the_choice(name: str) -> None:
    with pytest.raises(TheoryError, match=r"is not a key; choose from C, F, Bb.*Cb"):
        Key.parse(name)


@given(altered())
def test_an_altered_scale_is_its_parent_melodic_minor_from_the_seventh_degree(dominant: Harmony) -> None:
    tones = dominant.scale.tones
    assert tones[0] == dominant.chord.root
    assert steps(tones) == ALTERED_STEPS
    assert [dominant.degree_of(tone) for tone in tones] == ["1", "b9", "#9", "3", "b5", "b13", "b7"]


_LETTERS = "CDEFGAB"
_ABOVE = {"1": 0, "b9": 1, "#9": 1, "3": 2, "b5": 4, "b13": 5, "b7": 6}
"""Letters from the root up to a degree."""


@given(altered())
def test_an_altered_scale_is_spelled_by_its_degrees_without_a_double_accidental(dominant: Harmony) -> None:
    root = dominant.chord.root
    for tone in dominant.scale.tones:
        letter = _LETTERS[(_LETTERS.index(root.letter) + _ABOVE[dominant.degree_of(tone)]) % 7]
        shift = (tone.pitch_class - Tone(letter).pitch_class + 6) % 12 - 6
        by_degree = Tone(letter, shift)
        assert tone == (by_degree if abs(shift) < 2 else tone)
        assert abs(tone.accidental) < 2
        # A double accidental gives way to the next letter on its own side, as E double sharp to F sharp.
        assert tone.letter in (letter, _LETTERS[(_LETTERS.index(letter) + (1 if shift > 0 else -1)) % 7])


@given(keys(), st.sampled_from(("V", "VI")), st.sampled_from(sorted(COLOURS)))
def test_every_colour_spells_the_chord_as_the_chord_spells_itself(name: str, function: str, colour: str) -> None:
    dominant = chord_in(name, function, colour)
    assert set(dominant.chord.guide_tones) <= set(dominant.scale.tones)
    assert dominant.chord.root in dominant.scale.tones


def test_an_altered_scale_by_name() -> None:
    assert names(chord_in("F", "V", "altered")) == ["C", "Db", "D#", "E", "Gb", "Ab", "Bb"]
    assert names(chord_in("F", "VI", "altered")) == ["D", "Eb", "E#", "F#", "Ab", "Bb", "C"]
    # The sharp ninth of B is C double sharp, that of D sharp E double sharp: these tones alone are respelled.
    assert names(chord_in("E", "V", "altered")) == ["B", "C", "D", "D#", "F", "G", "A"]
    assert names(chord_in("F#", "VI", "altered")) == ["D#", "E", "F#", "G", "A", "B", "C#"]


@given(keys(), st.sampled_from(sorted(COLOURS)))
def test_every_colour_holds_the_root_and_both_guide_tones(name: str, colour: str) -> None:
    dominant = chord_in(name, "V", colour)
    assert dominant.chord.root in dominant.scale.tones
    assert {tone.pitch_class for tone in dominant.chord.guide_tones} <= dominant.scale.pitch_classes
    assert len(dominant.scale.pitch_classes) == len(dominant.scale.tones)
    assert all(abs(tone.accidental) < 2 for tone in dominant.scale.tones)


@given(keys())
def test_the_plain_dominant_draws_on_the_key(name: str) -> None:
    key = Key.parse(name)
    assert chord_in(name, "V", "plain").scale == key.scale
    # The mixolydian from the same root is the same set of tones, spelled the same.
    assert set(colour_scale(key.scale.tones[4], COLOURS["plain"]).tones) == set(key.scale.tones)


def test_only_dominants_have_a_colour() -> None:
    key = Key.parse("F")
    with pytest.raises(TheoryError, match="the chord on V needs a colour"):
        harmony(key, FUNCTIONS["V"])
    with pytest.raises(TheoryError, match="the chord on ii takes no colour"):
        harmony(key, FUNCTIONS["ii"], COLOURS["altered"])
    with pytest.raises(TheoryError, match="'blue' is not a dominant colour; choose from plain"):
        colour_named("blue")
