"""Laws of the fretting hand, and which hand an instrument has."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.neck.hand import EXTENDED, FINGER_A_FRET, FINGER_A_STEP, REACH, SHIFT, STRETCH, Hand, hand_for
from deckbuilder.neck.instrument import Instrument
from deckbuilder.neck.regions import relative_index_frets
from deckbuilder.neck.tuning import TUNINGS, Tuning, parse_tuning
from deckbuilder.theory.keys import DEFAULT_KEYS, Key

from .necks import HANDS, scales_of

hands = st.sampled_from(HANDS)


@given(hands, st.integers(2, 24))
def test_a_place_costs_more_the_farther_it_is(hand: Hand, index: int) -> None:
    covered = list(hand.frets(index))
    assert len(covered) == hand.span == len(hand.fingers)
    assert [hand.cost(fret, index) for fret in covered] == [0] * hand.span
    for outside, cost in ((1, STRETCH), (REACH, SHIFT)):
        assert hand.cost(covered[0] - outside, index) == hand.cost(covered[-1] + outside, index) == cost


@given(hands, st.integers(0, 1))
def test_in_the_open_position_open_strings_are_free_and_the_first_finger_is_at_the_first_fret(
    hand: Hand, index: int
) -> None:
    assert hand.frets(index)[0] == 1
    assert hand.cost(0, index) == 0
    assert hand.on_string([0, 1], index) == {0: 0, 1: 1}


IN_FIFTHS = {"tenor": EXTENDED, "octave-mandolin": EXTENDED, "cello": EXTENDED, "mandolin": FINGER_A_STEP}
"""Necks of 51 to 69 cm, where seven frets are out of reach, and one of 35 cm, where they are 10 cm wide."""


@pytest.mark.parametrize("name", TUNINGS)
def test_hands_of_the_table_follow_from_its_pitches(name: str) -> None:
    """So typed pitches, ids and names agree."""
    assert TUNINGS[name].hand == IN_FIFTHS.get(name, FINGER_A_FRET)


@pytest.mark.parametrize(
    ("pitches", "hand"),
    [
        ("E2,A2,D3,G3,C4,F4", FINGER_A_FRET),
        ("F2,C3,G3,D4", EXTENDED),
        ("C2,G2,D3,A3,E4,G4", EXTENDED),
        ("C3,G3,D4,A4,E5", FINGER_A_STEP),
        ("A3,E4,B4,E5", FINGER_A_STEP),
        ("D2,A2,D3,G3,A3,D4", FINGER_A_FRET),
        ("E4,A3,D3", FINGER_A_FRET),
    ],
)
def test_typed_pitches_have_a_hand_by_rule(pitches: str, hand: Hand) -> None:
    assert parse_tuning(pitches).hand is hand


fifths = st.builds(
    lambda lowest, strings: tuple(midi for midi in range(lowest, lowest + 7 * strings, 7) if midi <= 76),
    st.integers(28, 60),
    st.integers(3, 7),
).map(lambda pitches: Tuning("fifths", pitches, hand=hand_for(pitches)))


@given(fifths, st.sampled_from(DEFAULT_KEYS), st.integers(3, 7), st.integers(17, 24))
def test_no_tuning_in_fifths_moves_the_hand_or_misses_a_tone(tuning: Tuning, key: str, count: int, frets: int) -> None:
    instrument = Instrument(tuning, frets)
    for region in instrument.regions(Key.parse(key).tonic.pitch_class, count):
        for scale in scales_of(key):
            found = instrument.fingering(scale.pitch_classes, region.index_fret)
            assert (found.missing, found.shifts) == ((), 0)
            assert {note.midi % 12 for note in found.notes} == scale.pitch_classes
            if instrument.hand is FINGER_A_STEP:
                assert found.stretches == 0


@given(fifths.filter(lambda tuning: tuning.hand is FINGER_A_STEP))
def test_a_hand_of_steps_is_placed_where_the_first_finger_stops_the_scale(tuning: Tuning) -> None:
    """In a major key the first finger is at the index fret itself on most strings."""
    major = {0, 2, 4, 5, 7, 9, 11}
    for index in relative_index_frets(tuning):
        steps = [(midi - tuning.open_midi[0] + index) % 12 for midi in tuning.open_midi]
        assert 2 * sum(step in major for step in steps) > len(steps)


def test_a_fifth_is_four_steps_so_a_string_has_a_finger_for_each() -> None:
    mandolin = TUNINGS["mandolin"]
    assert {upper - lower for lower, upper in pairwise(mandolin.open_midi)} == {mandolin.hand.span}
