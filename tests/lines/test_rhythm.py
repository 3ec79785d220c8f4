"""Rhythm: windows are kept, notes come where they have to, phrases end where phrases end."""

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from deckbuilder.lines.dealing import Dealer
from deckbuilder.lines.grid import Coming, Window
from deckbuilder.lines.notes import BEAT, EIGHTH
from deckbuilder.lines.rhythm import RHYTHMS, Beatwise, rhythm

DEALERS = st.builds(
    Dealer, seed=st.integers(0, 20), key=st.integers(0, 11), region=st.integers(1, 7), passage=st.integers(1, 99)
)
BARS = st.integers(1, 12)


def made(
    dealer: Dealer,
    bars: int,
    windows: tuple[Window, ...] = (),
    coming: Coming = Coming.FREE,
    every: int = 4,
) -> list[Beatwise]:
    struck = frozenset(range(0, 4 * bars, every)) if coming is not Coming.FREE else frozenset()
    where = windows or (Window(0, 4 * bars, open_end=True),)
    return rhythm(where, 4 * bars, struck, coming, dealer, tied=coming in (Coming.FREE, Coming.EARLY), turns=True)


def test_every_rhythm_lasts_two_bars_and_none_is_written_twice() -> None:
    assert {len(written) for written in RHYTHMS} == {16}
    assert len(set(RHYTHMS)) == len(RHYTHMS)
    assert set("".join(RHYTHMS)) == {"x", "-", "."}


@given(DEALERS, BARS, st.sampled_from(Coming), st.sampled_from([2, 4]))
@settings(max_examples=150)
def test_notes_follow_each_other_within_the_changes(dealer: Dealer, bars: int, coming: Coming, every: int) -> None:
    times = made(dealer, bars, coming=coming, every=every)
    assert times
    for before, after in pairwise(times):
        assert before.end <= after.onset
        assert before.unit <= after.unit
    assert times[-1].end <= 4 * bars * BEAT
    assert {time.length for time in times} - {3, 4} <= set(range(EIGHTH, 97, EIGHTH))


@given(DEALERS, BARS, st.sampled_from([2, 4]))
def test_a_note_comes_with_each_chord(dealer: Dealer, bars: int, every: int) -> None:
    onsets = {time.onset for time in made(dealer, bars, coming=Coming.ON_TIME, every=every)}
    assert onsets >= {BEAT * beat for beat in range(0, 4 * bars, every)}


@given(DEALERS, BARS, st.sampled_from([2, 4]))
def test_two_eighths_run_into_each_chord_that_is_enclosed(dealer: Dealer, bars: int, every: int) -> None:
    lengths = {time.onset: time.length for time in made(dealer, bars, coming=Coming.ENCLOSED, every=every)}
    for beat in range(every, 4 * bars, every):
        assert lengths[BEAT * beat - 2 * EIGHTH] == lengths[BEAT * beat - EIGHTH] == EIGHTH
        assert BEAT * beat in lengths


@given(DEALERS, BARS, st.sampled_from([2, 4]))
def test_a_note_is_held_over_the_beginning_of_each_chord_that_comes_early(
    dealer: Dealer, bars: int, every: int
) -> None:
    times = {time.onset: time for time in made(dealer, bars, coming=Coming.EARLY, every=every)}
    assert 0 in times
    for beat in range(every, 4 * bars, every):
        assert times[BEAT * beat - EIGHTH].end > BEAT * beat
        assert BEAT * beat not in times


@given(DEALERS, st.integers(0, 3), st.integers(4, 16))
def test_a_window_that_begins_at_once_has_one_phrase(dealer: Dealer, begin: int, length: int) -> None:
    times = made(dealer, 6, (Window(begin, begin + length, at_once=True),))
    assert times[0].onset == BEAT * begin
    assert times[-1].end <= BEAT * (begin + length)
    rests = [after.onset - before.end for before, after in pairwise(times)]
    assert max(rests, default=0) <= BEAT


@pytest.mark.parametrize("passage", range(30))
def test_what_lies_outside_the_windows_is_silent(passage: int) -> None:
    windows = (Window(0, 8), Window(16, 24))
    for time in made(Dealer(1, 0, 1, passage), 8, windows):
        assert any(BEAT * window.begin <= time.onset and time.end <= BEAT * window.end for window in windows)
