"""The table of tunings, and reading a tuning by name or by pitches."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.neck.tuning import (
    HIGHEST_OPEN,
    LOWEST_OPEN,
    TUNINGS,
    NeckError,
    Place,
    parse_pitch,
    parse_tuning,
    pitch_name,
    tuning_named,
)
from deckbuilder.neck.tunings import KNOWN_TUNINGS
from deckbuilder.theory.tones import Tone

pitches = st.integers(LOWEST_OPEN, HIGHEST_OPEN)


@pytest.mark.parametrize("name", TUNINGS)
def test_a_row_is_named_for_tags_and_described_for_people(name: str) -> None:
    tuning = TUNINGS[name]
    assert tuning.name == name
    assert name.isascii()
    assert name == name.lower()
    assert name.replace("-", "").isalnum()
    assert tuning.description
    assert 3 <= tuning.strings <= 10
    assert 12 <= tuning.usual_frets <= 24
    assert all(LOWEST_OPEN <= midi <= HIGHEST_OPEN for midi in tuning.open_midi)


def test_another_name_is_no_row_s_name() -> None:
    others = [row.also for row in KNOWN_TUNINGS if row.also]
    assert others
    assert len({*TUNINGS, *others}) == len(TUNINGS) + len(others)


def test_no_two_rows_have_the_same_strings() -> None:
    assert len({tuning.open_midi for tuning in TUNINGS.values()}) == len(TUNINGS)


@pytest.mark.parametrize("name", TUNINGS)
def test_its_pitches_written_out_name_the_same_tuning(name: str) -> None:
    tuning = TUNINGS[name]
    for separator in (",", ", ", " "):
        assert parse_tuning(separator.join(tuning.pitch_names)) is tuning
        assert parse_tuning(separator.join(tuning.pitch_labels)) is tuning


@pytest.mark.parametrize(
    ("text", "name"),
    [
        *[("DADGAD", "dadgad"), ("Drop D", "drop-d"), (" drop_d ", "drop-d"), ("Bass 4", "bass-4")],
        *[("OPEN-G", "open-g"), ("Violin", "mandolin"), ("mandocello", "cello")],
    ],
)
def test_names_are_read_as_people_write_them(text: str, name: str) -> None:
    assert tuning_named(text).name == name
    assert parse_tuning(text).name == name


@given(st.lists(pitches, min_size=3, max_size=10))
def test_any_pitches_are_read_lowest_sounding_side_first(midi: list[int]) -> None:
    tuning = parse_tuning(",".join(map(pitch_name, midi)))
    assert tuning.open_midi == tuple(midi)
    assert tuning.name in TUNINGS or tuning.name == "-".join(map(pitch_name, midi))
    assert tuning.name.isascii()
    assert [tuning.midi(Place(len(midi) - number, 5)) for number in range(len(midi))] == [pitch + 5 for pitch in midi]
    assert list(tuning.numbered()) == list(zip(range(len(midi), 0, -1), midi, strict=True))


@given(pitches)
def test_a_pitch_is_read_back(midi: int) -> None:
    assert parse_pitch(pitch_name(midi))[0] == midi
    assert parse_pitch(pitch_name(midi).lower())[0] == midi


@pytest.mark.parametrize(
    ("text", "midi", "tone"),
    [
        ("C4", 60, "C"),
        ("A4", 69, "A"),
        ("bb3", 58, "Bb"),
        ("b3", 59, "B"),
        ("F♯3", 54, "F#"),
        ("E♭2", 39, "Eb"),
        ("Cb4", 59, "Cb"),
        ("B#3", 60, "B#"),
        ("A0", 21, "A"),
        ("C-1", 0, "C"),
    ],
)
def test_pitches_by_name(text: str, midi: int, tone: str) -> None:
    assert parse_pitch(text) == (midi, Tone.parse(tone))


def test_the_spelling_that_was_given_is_shown_and_the_id_does_not_depend_on_it() -> None:
    sharp, flat = parse_tuning("F#2,C#3,F#3,A#3,C#4"), parse_tuning("Gb2,Db3,Gb3,Bb3,Db4")
    assert sharp == flat
    assert sharp.pitch_names == flat.pitch_names == ("Gb2", "Db3", "Gb3", "Bb3", "Db4")
    assert sharp.pitch_labels == ("F♯2", "C♯3", "F♯3", "A♯3", "C♯4")
    assert sharp.string_labels == ("C♯", "A♯", "F♯", "C♯", "F♯")
    assert flat.string_labels == ("D♭", "B♭", "G♭", "D♭", "G♭")
    assert parse_tuning("Cb4,E4,B#4").pitch_labels == ("C♭4", "E4", "B♯4")


def test_open_d_has_an_f_sharp() -> None:
    assert TUNINGS["open-d"].string_labels == ("D", "A", "F♯", "D", "A", "D")


def test_a_capo_raises_every_string() -> None:
    raised = TUNINGS["standard"].raised(2)
    assert raised.pitch_names == ("Gb2", "B2", "E3", "A3", "Db4", "Gb4")
    assert raised.string_labels == ("G♭", "D♭", "A", "E", "B", "G♭")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("DADGAB", "did you mean 'dadgad'"),
        ("standart", "did you mean 'standard'"),
        ("bass", "did you mean 'bass-"),
        ("zzz", "choose from standard, drop-d"),
        ("", "choose from standard"),
        ("E2", "1 string; give the pitches of 3 to 10"),
        ("E2,A2", "2 strings; give the pitches of 3 to 10"),
        (",", "0 strings; give"),
        (",".join(["E2"] * 11), "11 strings; give"),
        ("E2,A2,X3", "'X3' is not a pitch; write a letter A to G"),
        ("E2,A2,D", "'D' is not a pitch"),
        ("E2,A2,D##3", "'D##3' is not a pitch"),
        ("E2,A2,Ab0", "Ab0 is out of range: open strings lie from A0 to E5"),
        ("F5,A2,D3", "F5 is out of range: open strings lie from A0 to E5"),
        ("C99,A2,D3", "C99 is out of range"),
    ],
)
def test_what_is_no_tuning_is_refused_with_a_remedy(text: str, message: str) -> None:
    with pytest.raises(NeckError, match=message):
        parse_tuning(text)
