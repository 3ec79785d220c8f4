"""Laws of regions: they cover the octave of frets, and every key has the same shapes, moved."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.neck.fingering import SPAN, fingering
from deckbuilder.neck.regions import Region, regions, relative_index_frets
from deckbuilder.theory.keys import DEFAULT_KEYS, KEY_NAMES, Key

from .necks import STANDARD

tonics = st.integers(0, 11)
counts = st.integers(3, 7)


@given(tonics, counts)
def test_numbered_from_the_nut_within_twelve_frets(tonic: int, count: int) -> None:
    found = regions(STANDARD, tonic, count)
    assert [region.number for region in found] == list(range(1, count + 1))
    index_frets = [region.index_fret for region in found]
    assert index_frets == sorted(set(index_frets))
    assert all(0 <= fret < 12 for fret in index_frets)


@given(tonics, counts)
def test_neighbours_are_an_even_share_apart_and_leave_no_fret_uncovered(tonic: int, count: int) -> None:
    index_frets = [region.index_fret for region in regions(STANDARD, tonic, count)]
    gaps = [after - before for before, after in pairwise((*index_frets, index_frets[0] + 12))]
    assert max(gaps) - min(gaps) <= 1
    assert {(fret + finger) % 12 for fret in index_frets for finger in range(SPAN)} == set(range(12))


@given(tonics, tonics, counts)
def test_every_key_has_the_same_shapes_moved(tonic: int, other: int, count: int) -> None:
    one = {region.index_fret for region in regions(STANDARD, tonic, count)}
    two = {(region.index_fret - other + tonic) % 12 for region in regions(STANDARD, other, count)}
    assert one == two


def test_the_five_of_standard_tuning() -> None:
    assert relative_index_frets(STANDARD) == (1, 4, 6, 9, 11)
    assert [region.index_fret for region in regions(STANDARD, 5)] == [0, 2, 5, 7, 10]


@pytest.mark.parametrize("name", KEY_NAMES)
def test_a_major_scale_has_at_most_two_stretches_a_region(name: str) -> None:
    key = Key.parse(name)
    for region in regions(STANDARD, key.tonic.pitch_class):
        found = fingering(STANDARD, key.scale.pitch_classes, region.index_fret, frets=22)
        assert found.stretches <= 2


def test_the_set_is_no_dearer_than_another_that_players_know() -> None:
    """Of the choices r+1 or r+2 and r+6 or r+7 the one with fewer stretches is taken."""

    def stretches(relative: tuple[int, ...]) -> int:
        classes = Key.parse("C").scale.pitch_classes
        return sum(fingering(STANDARD, classes, 8 + fret, frets=30, lowest_fret=1).cost for fret in relative)

    best = stretches(relative_index_frets(STANDARD))
    for second in (1, 2):
        for fourth in (6, 7):
            assert best <= stretches((second, 4, fourth, 9, 11))


@pytest.mark.parametrize(
    ("fret", "position"), [(0, "open"), (1, "I"), (2, "II"), (4, "IV"), (5, "V"), (9, "IX"), (10, "X"), (11, "XI")]
)
def test_position_numbers(fret: int, position: str) -> None:
    assert Region(1, fret).position == position


def test_twelve_keys_give_sixty_different_places() -> None:
    keys = [Key.parse(name) for name in DEFAULT_KEYS]
    found = {(key.name, region.index_fret) for key in keys for region in regions(STANDARD, key.tonic.pitch_class)}
    assert len(found) == 60
