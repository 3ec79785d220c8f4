"""What each tuning costs the hand."""

from itertools import pairwise

import pytest

from deckbuilder.neck.instrument import Instrument
from deckbuilder.neck.survey import Survey, survey
from deckbuilder.neck.tuning import TUNINGS, NeckError, Tuning, parse_tuning

SURVEYS = {name: survey(Instrument(tuning, tuning.usual_frets)) for name, tuning in TUNINGS.items()}


@pytest.mark.parametrize("name", TUNINGS)
def test_no_tone_of_any_tuning_of_the_table_is_out_of_reach(name: str) -> None:
    assert SURVEYS[name].fingerings == 12 * 5 * 3
    assert SURVEYS[name].missing == 0


@pytest.mark.parametrize("name", TUNINGS)
def test_the_hand_moves_only_where_neighbours_are_farther_apart_than_it_stretches(name: str) -> None:
    """Four frets and a stretch either way are six: a fourth between strings never needs more. Five make a fifth."""
    tuning = TUNINGS[name]
    ascending = sorted(tuning.open_midi)
    widest = max(upper - lower for lower, upper in pairwise(ascending))
    assert (SURVEYS[name].shifts > 0) == (widest > tuning.hand.span + 2)


def test_a_tuning_moved_as_a_whole_costs_the_same() -> None:
    assert SURVEYS["standard"] == SURVEYS["half-step-down"] == SURVEYS["whole-step-down"] == SURVEYS["baritone"]


def test_figures_of_standard_tuning() -> None:
    """Pinned so that a change of the fingering rule is noticed: README prints them."""
    assert SURVEYS["standard"] == Survey(fingerings=180, notes=2948, stretches=340, shifts=0, missing=0)


def test_octaves_between_strings_leave_tones_out_of_reach() -> None:
    found = survey(Instrument(Tuning("octaves", (40, 52, 64))))
    assert found.missing > found.fingerings
    assert found.shifts > 0


def test_the_number_of_regions_is_the_player_s() -> None:
    assert survey(Instrument(TUNINGS["standard"]), 3).fingerings == 12 * 3 * 3
    with pytest.raises(NeckError, match="within 5 semitones"):
        survey(Instrument(parse_tuning("E4,E4,A4")))
