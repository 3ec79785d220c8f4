"""Laws of degrees: one name a tone, and the chord and scale decide between two."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.theory.degrees import degree

DOMINANT = {0, 4, 7, 10}
MIXOLYDIAN = {0, 2, 4, 5, 7, 9, 10}
SEMITONES = {
    "1": 0, "b9": 1, "9": 2, "#9": 3, "b3": 3, "3": 4, "4": 5, "11": 5, "#11": 6, "b5": 6, "5": 7, "b13": 8, "#5": 8,
    "6": 9, "13": 9, "bb7": 9, "b7": 10, "7": 11,
}  # fmt: skip


@given(st.integers(-36, 36), st.sets(st.integers(0, 11)), st.sets(st.integers(0, 11)))
def test_a_degree_names_its_distance_from_the_root(semitones: int, chord: set[int], scale: set[int]) -> None:
    assert SEMITONES[degree(semitones, chord, scale)] == semitones % 12


@given(st.sets(st.integers(0, 11)), st.sets(st.integers(0, 11)))
def test_two_tones_of_one_chord_never_share_a_degree(chord: set[int], scale: set[int]) -> None:
    assert len({degree(step, chord, scale) for step in range(12)}) == 12


@pytest.mark.parametrize(
    ("semitones", "chord", "scale", "name"),
    [
        (3, DOMINANT, MIXOLYDIAN, "#9"),
        (3, {0, 3, 7, 10}, {0, 2, 3, 5, 7, 9, 10}, "b3"),
        (6, DOMINANT, {0, 2, 4, 6, 7, 9, 10}, "#11"),
        (6, {0, 4, 10}, {0, 1, 3, 4, 6, 8, 10}, "b5"),
        (6, {0, 3, 6, 10}, {0, 1, 3, 5, 6, 8, 10}, "b5"),
        (8, {0, 4, 8, 11}, {0, 2, 4, 6, 8, 9, 11}, "#5"),
        (8, {0, 4, 10}, {0, 1, 3, 4, 6, 8, 10}, "b13"),
        (9, {0, 3, 6, 9}, {0, 2, 3, 5, 6, 8, 9, 11}, "bb7"),
        (9, DOMINANT, MIXOLYDIAN, "13"),
    ],
)
def test_chord_and_scale_decide_between_two_names(semitones: int, chord: set[int], scale: set[int], name: str) -> None:
    assert degree(semitones, chord, scale) == name
