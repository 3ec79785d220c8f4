"""Laws of tones: names, labels and the arithmetic of intervals."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.theory.tones import TheoryError, Tone, exactly_above, plain, pretty

tones = st.builds(Tone, st.sampled_from("ABCDEFG"), st.integers(-1, 1))
SEMITONES = {
    "P1": 0, "m2": 1, "M2": 2, "m3": 3, "M3": 4, "P4": 5, "d5": 6, "P5": 7, "A5": 8, "d7": 9, "m7": 10, "M7": 11,
}  # fmt: skip


@given(tones)
def test_a_name_is_read_back_as_written_or_pretty(tone: Tone) -> None:
    assert Tone.parse(tone.name) == tone
    assert Tone.parse(tone.label) == tone
    assert tone.name.isascii()


@pytest.mark.parametrize("name", ["", "H", "b", "cb", "C#b", "C###", "Bbbb", " C", "C4", "C♮"])
def test_what_is_no_tone_is_refused_by_name(name: str) -> None:
    with pytest.raises(TheoryError, match="is not a tone; write a letter A to G"):
        Tone.parse(name)


@given(tones, st.sampled_from(sorted(SEMITONES)))
def test_an_interval_up_is_so_many_semitones_and_letters(tone: Tone, interval: str) -> None:
    exact = exactly_above(tone, interval)
    assert (exact.pitch_class - tone.pitch_class) % 12 == SEMITONES[interval]
    letter = "CDEFGAB"[("CDEFGAB".index(tone.letter) + int(interval[1:]) - 1) % 7]
    # What would take a triple accidental is respelled at once.
    assert exact.letter == letter or abs((exact.pitch_class - Tone(letter).pitch_class + 6) % 12 - 6) > 2


@pytest.mark.parametrize("name", ["", "m1", "P3", "M5", "x3", "m0", "3", "m3 "])
def test_what_is_no_interval_is_refused_by_name(name: str) -> None:
    with pytest.raises(TheoryError, match="is not an interval; write its quality"):
        exactly_above(Tone("C"), name)


@given(tones, st.sampled_from(sorted(SEMITONES)))
def test_a_shown_tone_never_has_a_double_accidental_and_keeps_its_pitch(tone: Tone, interval: str) -> None:
    shown = tone.above(interval)
    assert abs(shown.accidental) < 2
    assert shown.pitch_class == exactly_above(tone, interval).pitch_class


@given(st.integers(-24, 24))
def test_plain_names_are_natural_or_flat_and_never_an_odd_flat(pitch_class: int) -> None:
    tone = plain(pitch_class)
    assert tone.pitch_class == pitch_class % 12
    assert tone.name in {"C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"}


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("Bb", "B♭"),
        ("F#", "F♯"),
        ("b9", "♭9"),
        ("#9", "♯9"),
        ("b13", "♭13"),
        ("bb7", "♭♭7"),
        ("Bbm7b5", "B♭m7♭5"),
        ("C#m7b5", "C♯m7♭5"),
        ("Abmaj7#5", "A♭maj7♯5"),
        ("BbmMaj7", "B♭mMaj7"),
        ("Bdim7", "Bdim7"),
        ("B7", "B7"),
        ("Bb7alt", "B♭7alt"),
        ("C7b9", "C7♭9"),
        ("Bb2", "B♭2"),
        ("tritone substitute, number 5", "tritone substitute, number 5"),
    ],
)
def test_accidentals_are_shown_and_nothing_else_is_touched(text: str, shown: str) -> None:
    assert pretty(text) == shown
    assert pretty(shown) == shown
