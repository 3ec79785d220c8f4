"""Guide-tone lines: both guide tones of every chord, by the least motion, on any neck."""

from collections.abc import Sequence
from itertools import pairwise, product

from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.neck.fingering import FingeredNote, fingering
from deckbuilder.neck.guidelines import Pair, guide_lines, motion
from deckbuilder.neck.tuning import Tuning
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.keys import DEFAULT_KEYS
from tests.neck.necks import any_tunings
from tests.theory.harmonies import chord_in

CHANGES = (
    (("ii", None), ("V", "plain"), ("I", None)),
    (("ii", None), ("V", "altered"), ("I", None)),
    (("I", None), ("VI", "altered"), ("ii", None)),
)
changes = st.builds(
    lambda key, chords: [chord_in(key, *chord) for chord in chords],
    st.sampled_from(DEFAULT_KEYS),
    st.sampled_from(CHANGES),
)


def places(
    tuning: Tuning, index_fret: int, chord: Harmony
) -> tuple[tuple[FingeredNote, ...], tuple[FingeredNote, ...]]:
    fingered = fingering(tuning, chord.scale.pitch_classes, index_fret, frets=22)
    third, seventh = (fingered.run({tone.pitch_class}) for tone in chord.chord.guide_tones)
    return third, seventh


@given(any_tunings(), st.integers(0, 12), changes)
def test_the_voices_have_both_guide_tones_and_move_least(
    tuning: Tuning, index_fret: int, chords: list[Harmony]
) -> None:
    offers = [places(tuning, index_fret, chord) for chord in chords]
    way = guide_lines(offers)
    assert bool(way) == all(thirds and sevenths for thirds, sevenths in offers)
    if not way:
        return
    for pair, chord in zip(way, chords, strict=True):
        assert {note.midi % 12 for note in pair} == {tone.pitch_class for tone in chord.chord.guide_tones}
    assert way[0][0].midi % 12 == chords[0].chord.guide_tones[0].pitch_class
    for before, after in pairwise(way):
        for old, new in zip(before, after, strict=True):
            assert old.place == new.place or old.midi != new.midi
    assert _moved(way) == min(map(_moved, product(product(*offers[0]), *map(_either_way, offers[1:]))))


def _either_way(offer: tuple[tuple[FingeredNote, ...], tuple[FingeredNote, ...]]) -> list[Pair]:
    return [pair for one, other in product(*offer) for pair in ((one, other), (other, one))]


def _moved(way: Sequence[Pair]) -> int:
    return sum(motion(before, after) for before, after in pairwise(way))


def test_nothing_is_led_where_there_is_nothing() -> None:
    assert guide_lines([]) == ()
    assert guide_lines([((), ())]) == ()
