"""Connections: the answers are truly the nearest tones, by brute force."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.neck.connections import Way, nearest
from deckbuilder.neck.fingering import FingeredNote, Fingering, fingering
from deckbuilder.neck.regions import regions
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.keys import DEFAULT_KEYS
from deckbuilder.theory.tones import Tone
from tests.neck.necks import STANDARD
from tests.theory.harmonies import chord_in

Pair = tuple[tuple[str, str | None], tuple[str, str | None]]

PAIRS: list[Pair] = [
    (("ii", None), ("V", "plain")),
    (("ii", None), ("V", "altered")),
    (("V", "plain"), ("I", None)),
    (("V", "altered"), ("I", None)),
    (("I", None), ("VI", "plain")),
    (("I", None), ("VI", "altered")),
    (("VI", "plain"), ("ii", None)),
    (("VI", "altered"), ("ii", None)),
]

NOTES = {note.midi: note for note in fingering(STANDARD, frozenset(range(12)), 5, frets=22, lowest_fret=1).notes}


def reached(chord: Harmony, index_fret: int) -> Fingering:
    return fingering(STANDARD, chord.scale.pitch_classes, index_fret, frets=22)


def ways_on(first: Harmony, second: Harmony, tone: Tone, index_fret: int) -> tuple[Way, ...]:
    stable, guides = ({one.pitch_class for one in some} for some in (second.stable_tones, second.chord.guide_tones))
    starts, targets = reached(first, index_fret).run({tone.pitch_class}), reached(second, index_fret).run(stable)
    return nearest(starts, targets, guides)


def notes(*midi: int) -> list[FingeredNote]:
    return [NOTES[one] for one in midi]


def pitches(ways: tuple[Way, ...]) -> list[tuple[int, int]]:
    return [(way.start.midi, way.end.midi) for way in ways]


STARTS = st.lists(st.integers(45, 70), min_size=1, max_size=4, unique=True)
TARGETS = st.lists(st.integers(45, 70), min_size=1, max_size=8, unique=True)
GUIDES = st.sets(st.integers(0, 11), max_size=2)


@given(STARTS, TARGETS, GUIDES)
def test_the_ways_are_exactly_those_that_none_is_shorter_than(
    starts: list[int], targets: list[int], guides: set[int]
) -> None:
    every = {(start, target) for start in starts for target in targets}
    least = min(abs(target - start) for start, target in every)
    found = nearest(notes(*starts), notes(*targets), guides)
    assert len(found) == len(set(found))
    assert set(pitches(found)) == {(start, target) for start, target in every if abs(target - start) == least}
    assert [way.step for way in found] == [target - start for start, target in pitches(found)]


@given(STARTS, TARGETS, GUIDES)
def test_guide_tones_come_first_then_what_leads_down_then_what_starts_lower(
    starts: list[int], targets: list[int], guides: set[int]
) -> None:
    for one, other in pairwise(nearest(notes(*starts), notes(*targets), guides)):
        to_guide, then_to_guide = one.end.midi % 12 in guides, other.end.midi % 12 in guides
        assert to_guide >= then_to_guide
        if to_guide == then_to_guide:
            assert one.step <= other.step
            assert one.step < other.step or one.start.midi < other.start.midi


def test_of_two_as_near_the_guide_tone_goes_first_then_the_lower() -> None:
    assert pitches(nearest(notes(60), notes(59, 61), {1})) == [(60, 61), (60, 59)]
    assert pitches(nearest(notes(60), notes(59, 61), {1, 11})) == [(60, 59), (60, 61)]


@given(st.sampled_from(DEFAULT_KEYS), st.sampled_from(PAIRS), st.integers(0, 4))
def test_a_region_of_the_guitar_hides_no_nearest_tone(key: str, pair: Pair, number: int) -> None:
    """What is nearest counted round the twelve tones is what the hand finds, and all of it."""
    first, second = chord_in(key, *pair[0]), chord_in(key, *pair[1])
    index_fret = regions(STANDARD, chord_in(key, "I").chord.root.pitch_class)[number].index_fret
    for tone in first.chord.guide_tones:
        apart = {one.pitch_class: (one.pitch_class - tone.pitch_class + 6) % 12 - 6 for one in second.stable_tones}
        least = min(map(abs, apart.values()))
        found = ways_on(first, second, tone, index_fret)
        assert {way.end.midi % 12 for way in found} == {one for one, step in apart.items() if abs(step) == least}


def test_the_seventh_of_the_dominant_falls_to_the_third_of_the_tonic() -> None:
    """Common practice, no source; the third stays as the seventh."""
    first, second = chord_in("F", "V", "plain"), chord_in("F", "I")
    third, seventh = first.chord.guide_tones
    assert {way.step for way in ways_on(first, second, third, 5)} == {0}
    assert {way.step for way in ways_on(first, second, seventh, 5)} == {-1}


def test_a_shared_tone_stays_where_it_is_fingered() -> None:
    stays = 0
    for key in DEFAULT_KEYS:
        first, second = chord_in(key, "I"), chord_in(key, "VI", "plain")
        for region in regions(STANDARD, first.chord.root.pitch_class):
            found = ways_on(first, second, first.chord.guide_tones[0], region.index_fret)
            stays += len(found)
            assert all(way.end == way.start for way in found)
    assert stays


@pytest.mark.parametrize(("starts", "targets"), [([], [60]), ([60], []), ([], [])])
def test_a_hand_without_a_start_or_a_target_has_no_way(starts: list[int], targets: list[int]) -> None:
    assert nearest(notes(*starts), notes(*targets), {0}) == ()
