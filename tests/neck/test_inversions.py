"""Inversions across the neck: whole, in close position, each from the next chord tone, in hands that never go back."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.neck.fingering import fingering
from deckbuilder.neck.inversions import climb
from deckbuilder.neck.tuning import Tuning
from deckbuilder.theory.arpeggios import Source, arpeggio
from deckbuilder.theory.keys import DEFAULT_KEYS
from tests.neck.necks import any_tunings
from tests.theory.harmonies import chord_in

CHORDS = (("ii", None), ("V", "plain"), ("V", "altered"), ("I", None))
hands = st.sets(st.integers(0, 12), min_size=3, max_size=7)


@given(any_tunings(), hands, st.sampled_from(DEFAULT_KEYS), st.sampled_from(CHORDS), st.sampled_from(Source))
def test_each_inversion_is_whole_and_begins_on_the_next_tone(
    tuning: Tuning, positions: set[int], key: str, function: tuple[str, str | None], source: Source
) -> None:
    harmony = chord_in(key, *function)
    chord = arpeggio(harmony, source).chord
    runs = {
        position: fingering(tuning, harmony.scale.pitch_classes, position, frets=22).run(chord.pitch_classes)
        for position in positions
    }
    way = climb(runs, [tone.pitch_class for tone in chord.tones])
    assert len(way) in (0, 4)
    for each in way:
        assert set(each.notes) <= set(runs[each.position])
        assert len({note.midi % 12 for note in each.notes}) == 4
        assert 0 < each.notes[-1].midi - each.start.midi < 12
    for before, after in pairwise(way):
        assert after.start.midi == before.notes[1].midi
        assert after.position >= before.position
    if way:
        assert {each.start.midi % 12 for each in way} == set(chord.pitch_classes)


def test_no_climb_without_hands() -> None:
    assert climb({}, (0, 4, 7, 11)) == ()
    assert climb({5: ()}, (0, 4, 7, 11)) == ()
