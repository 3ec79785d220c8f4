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


@given(altered())
def test_an_altered_scale_shows_no_double_accidental_and_else_has_seven_letters(dominant: Harmony) -> None:
    tones = dominant.scale.tones
    assert all(abs(tone.accidental) < 2 for tone in tones)
    # The altered scale's letters follow from its parent: only what would carry a double accidental is respelled.
    root = "CDEFGAB".index(tones[0].letter)
    for number, tone in enumerate(tones):
        expected = "CDEFGAB"[(root + number) % 7]
        shift = (tone.pitch_class - Tone(expected).pitch_class + 6) % 12 - 6
        assert tone.letter == expected or abs(shift) == 2


def test_an_altered_scale_by_name() -> None:
    assert names(chord_in("F", "V", "altered")) == ["C", "Db", "Eb", "Fb", "Gb", "Ab", "Bb"]
    # F altered is G♭ melodic minor, whose third is B double flat: that tone alone is respelled.
    assert names(chord_in("Bb", "V", "altered")) == ["F", "Gb", "Ab", "A", "Cb", "Db", "Eb"]


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
