"""Note values: sums, ties and what a reader can count."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.notation.description import BAR, BEAT, NotationError
from deckbuilder.notation.values import Value, beams, shown_accidentals, triplets, written
from tests.notation.scores import LINE, note


@st.composite
def times(draw: st.DrawFn) -> list[tuple[int, int]]:
    """Draw times of notes in four bars: each beat in quarters or in thirds, notes held to the next one or to a beat."""
    grids = [(), (0,), (0, 6), (6,), (0, 3, 6), (0, 3, 6, 9), (9,), (0, 4, 8), (4, 8), (8,)]
    onsets = [beat * BEAT + offset for beat in range(16) for offset in draw(st.sampled_from(grids))]
    drawn = []
    for onset, following in pairwise([*onsets, 16 * BEAT]):
        beats = range(onset // BEAT * BEAT + BEAT, following, BEAT)
        drawn.append((onset, draw(st.sampled_from([following, *beats])) - onset))
    return drawn


@given(times())
def test_values_fill_every_bar_and_every_note(drawn: list[tuple[int, int]]) -> None:
    notes = [note(onset, length, "C4", 3) for onset, length in drawn]
    bars = written(notes, 4)
    for bar in bars:
        assert [value.onset for value in bar] == [sum(v.length for v in bar[:n]) for n in range(len(bar))]
        assert sum(value.length for value in bar) == BAR
    for number, each in enumerate(notes):
        parts = [value for bar in bars for value in bar if value.note == number]
        assert sum(value.length for value in parts) == each.length
        assert [value.begins for value in parts] == [True] + [False] * (len(parts) - 1)
        assert [value.ends for value in parts] == [False] * (len(parts) - 1) + [True]


@pytest.mark.parametrize(
    ("onset", "length", "wanted"),
    [
        (0, 48, [48]),
        (12, 24, [24]),
        (6, 12, [12]),
        (18, 12, [6, 6]),
        (6, 36, [18, 18]),
        (18, 18, [6, 12]),
        (42, 12, [6, 6]),
        (0, 30, [24, 6]),
        (30, 18, [18]),
        (28, 20, [8, 12]),
        (0, 96, [48, 48]),
    ],
)
def test_the_middle_of_a_bar_stays_in_sight(onset: int, length: int, wanted: list[int]) -> None:
    """What handbooks of notation ask of 4/4 (common practice, no source)."""
    bars = written([note(onset, length, "C4", 3)], 2)
    assert [value.length for bar in bars for value in bar if value.note is not None] == wanted


def test_rests_stand_on_the_beats_they_fill() -> None:
    (bar,) = written([note(6, 6, "C4", 3)], 1)
    assert [(value.onset, value.length) for value in bar if value.note is None] == [(0, 6), (12, 12), (24, 24)]


def test_short_notes_are_joined_beat_by_beat() -> None:
    bars = written(LINE.notes, LINE.bars)
    assert beams(bars[3])[1:4] == [("begin", "begin"), ("continue", "end"), ("end",)]
    assert beams(bars[0])[4:7] == [("begin",), ("continue",), ("end",)]
    assert triplets(bars[0])[3:8] == ["", "start", "", "stop", ""]
    assert beams(bars[2]) == [(), (), ()]


def test_an_accidental_holds_to_the_end_of_its_bar() -> None:
    notes = [
        note(0, 12, "Bb3", 3),
        note(12, 12, "B3", 3),
        note(24, 12, "B3", 3),
        note(36, 24, "Bb3", 3),
        note(60, 12, "Bb3", 3),
    ]
    first, second = written(notes, 2)
    assert shown_accidentals(first, notes, 0) == [-1, 0, None, -1]
    assert shown_accidentals(second, notes, 0) == [None, -1, None]
    assert shown_accidentals(first, notes, -1) == [None, 0, None, -1]


def test_a_time_that_no_value_writes_is_refused() -> None:
    with pytest.raises(NotationError, match="no note value goes from tick 4 to 5"):
        written([note(0, 5, "C4", 3)], 1)
    assert written([], 1) == ((Value(0, BAR, None),),)
