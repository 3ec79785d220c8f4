"""Laws of regions: they cover the octave of frets, and every key has the same shapes, moved."""

from itertools import combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.neck.fingering import fingering
from deckbuilder.neck.hand import FINGERS
from deckbuilder.neck.regions import NARROWEST_COMPASS, Region, regions, relative_index_frets
from deckbuilder.neck.tuning import TUNINGS, NeckError, Tuning
from deckbuilder.theory.keys import DEFAULT_KEYS, KEY_NAMES, Key

from .necks import STANDARD, any_tunings

tonics = st.integers(0, 11)
counts = st.integers(3, 7)
known = st.sampled_from(tuple(TUNINGS.values()))


def compass(tuning: Tuning) -> int:
    return max(tuning.open_midi) - min(tuning.open_midi)


wide_tunings = any_tunings().filter(lambda tuning: compass(tuning) >= NARROWEST_COMPASS)


@given(known | wide_tunings, tonics, counts)
def test_numbered_from_the_nut_within_twelve_frets(tuning: Tuning, tonic: int, count: int) -> None:
    found = regions(tuning, tonic, count)
    assert [region.number for region in found] == list(range(1, count + 1))
    index_frets = [region.index_fret for region in found]
    assert index_frets == sorted(set(index_frets))
    assert all(0 <= fret < 12 for fret in index_frets)


@given(known | wide_tunings, tonics, counts, st.integers(13, 30))
def test_neighbours_are_an_even_share_apart_and_leave_no_fret_uncovered(
    tuning: Tuning, tonic: int, count: int, frets: int
) -> None:
    index_frets = [region.index_fret for region in regions(tuning, tonic, count, frets=frets)]
    assert index_frets[-1] + FINGERS - 1 <= frets
    gaps = [after - before for before, after in pairwise((*index_frets, index_frets[0] + 12))]
    assert max(gaps) - min(gaps) <= 1
    assert {(fret + finger) % 12 for fret in index_frets for finger in range(FINGERS)} == set(range(12))


@given(known | wide_tunings, tonics, tonics, counts)
def test_every_key_has_the_same_shapes_moved(tuning: Tuning, tonic: int, other: int, count: int) -> None:
    one = {region.index_fret for region in regions(tuning, tonic, count)}
    two = {(region.index_fret - other + tonic) % 12 for region in regions(tuning, other, count)}
    assert one == two


@given(known | wide_tunings, tonics, st.integers(3, 5))
def test_an_octave_of_frets_has_room_for_five_regions(tuning: Tuning, tonic: int, count: int) -> None:
    index_frets = [region.index_fret for region in regions(tuning, tonic, count, frets=12)]
    assert len(index_frets) == count
    assert index_frets[-1] + FINGERS - 1 <= 12
    assert {(fret + finger) % 12 for fret in index_frets for finger in range(FINGERS)} == set(range(12))


@given(known, tonics, counts, st.integers(0, 18))
def test_a_neck_that_has_every_hand_changes_no_region(tuning: Tuning, tonic: int, count: int, more: int) -> None:
    frets = 11 + tuning.hand.span - 1 + more
    assert regions(tuning, tonic, count, frets=frets) == regions(tuning, tonic, count)


@given(any_tunings().filter(lambda tuning: compass(tuning) < NARROWEST_COMPASS), tonics)
def test_strings_within_less_than_an_octave_of_one_hand_are_refused(tuning: Tuning, tonic: int) -> None:
    with pytest.raises(NeckError, match=f"within {compass(tuning)} semitones.*at least 8 semitones"):
        regions(tuning, tonic)


@given(known | wide_tunings, st.integers(3, 6))
def test_no_other_even_set_costs_less_or_leaves_out_fewer_tones(tuning: Tuning, count: int) -> None:
    root_fret = 24
    scale = frozenset((tuning.open_midi[0] + root_fret + step) % 12 for step in (0, 2, 4, 5, 7, 9, 11))
    hands = [fingering(tuning, scale, root_fret + offset, frets=48) for offset in range(12)]

    def burden(index_frets: tuple[int, ...]) -> tuple[int, int]:
        return (
            sum(len(hands[fret].missing) for fret in index_frets),
            sum(hands[fret].stretches + 3 * hands[fret].shifts for fret in index_frets),
        )

    chosen = relative_index_frets(tuning, count)
    for other in combinations(range(12), count):
        gaps = [after - before for before, after in pairwise((*other, other[0] + 12))]
        if max(gaps) - min(gaps) <= 1:
            assert burden(chosen) <= burden(other)


@pytest.mark.parametrize("count", [-1, 0, 1, 2, 8, 12])
def test_too_few_and_too_many_regions_are_refused(count: int) -> None:
    with pytest.raises(NeckError, match=f"not divided into {count} regions; choose 3 to 7"):
        regions(STANDARD, 0, count)


def test_a_neck_too_short_is_refused_with_what_fits() -> None:
    with pytest.raises(NeckError, match="12 frets have no room for 7 regions; choose 3 to 5"):
        regions(STANDARD, 0, 7, frets=12)
    with pytest.raises(NeckError, match="8 frets have no room for regions; 12 are needed"):
        regions(STANDARD, 0, 3, frets=8)


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
    ("fret", "position"),
    [(0, "open"), (1, "I"), (2, "II"), (4, "IV"), (5, "V"), (9, "IX"), (10, "X"), (11, "XI"), (14, "XIV")],
)
def test_position_numbers(fret: int, position: str) -> None:
    assert Region(1, fret).position == position


def test_with_a_capo_positions_count_from_the_nut_and_the_capo_is_open() -> None:
    assert [Region(1, fret, capo=2).position for fret in (2, 3, 4, 13)] == ["open", "III", "IV", "XIII"]


def test_twelve_keys_give_sixty_different_places() -> None:
    keys = [Key.parse(name) for name in DEFAULT_KEYS]
    found = {(key.name, region.index_fret) for key in keys for region in regions(STANDARD, key.tonic.pitch_class)}
    assert len(found) == 60
