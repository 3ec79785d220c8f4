from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.sound.rhythms import CHARLESTON, PATTERNS, strokes
from deckbuilder.sound.voice_leading import Change
from tests.sound.test_bassline import PLAIN, spans
from tests.sound.test_voice_leading import cadence, turnaround

HALF = 0.5


@given(PLAIN, st.integers(1, 2))
def test_every_chord_is_heard_while_it_lasts_or_an_eighth_before(changes: list[Change], choruses: int) -> None:
    played = spans(changes, choruses)
    struck = strokes(changes, choruses)
    assert {stroke.chord for stroke in struck} == set(range(len(played)))
    for stroke in struck:
        change, at = played[stroke.chord]
        assert at - HALF <= stroke.beat < at + change.beats
        assert stroke.beats > 0
        assert stroke.beat + stroke.beats <= at + change.beats
    assert all(one.beat + one.beats <= other.beat for one, other in pairwise(struck))


@given(PLAIN, st.integers(1, 2))
def test_what_comes_on_the_eighth_before_a_chord_is_that_chord(changes: list[Change], choruses: int) -> None:
    starts = {at: number for number, (_, at) in enumerate(spans(changes, choruses))}
    for stroke in strokes(changes, choruses):
        if stroke.beat + HALF in starts and stroke.beat % 1:
            assert stroke.chord == starts[int(stroke.beat + HALF)]


@given(PLAIN, st.integers(1, 2))
def test_nothing_is_anticipated_that_does_not_follow(changes: list[Change], choruses: int) -> None:
    beats = choruses * sum(change.beats for change in changes)
    assert strokes(changes, choruses)[0].beat == 0
    assert all(stroke.beat < beats - HALF for stroke in strokes(changes, choruses) if stroke.beat % 1)


def rhythm(changes: list[Change], bar: int) -> tuple[float, ...]:
    return tuple(stroke.beat - 4 * bar for stroke in strokes(changes, 2) if stroke.beat // 4 == bar)


def test_bars_have_several_rhythms_some_of_them_anticipate() -> None:
    assert len({tuple(place for place, _ in pattern) for pattern in PATTERNS}) == len(PATTERNS) >= 3
    assert sum(any(place == 3.5 for place, _ in pattern) for pattern in PATTERNS) == 2
    assert sum(any(place == 0 for place, _ in pattern) for pattern in PATTERNS) < len(PATTERNS)
    for key in range(12):
        for changes in (cadence(key), turnaround(key)):
            bars = [rhythm(changes, bar) for bar in range(8)]
            assert bars[0] == tuple(place for place, _ in CHARLESTON)
            assert len(set(bars)) >= 3
            assert any(3.5 in bar for bar in bars)
            assert any(0 not in bar for bar in bars)
            assert all(one != other for one, other in pairwise(bars))


def test_keys_begin_elsewhere_in_the_turn() -> None:
    assert len({tuple(rhythm(turnaround(key), bar) for bar in range(8)) for key in range(12)}) > 1
