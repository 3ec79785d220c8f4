"""Laws of fingerings: in any tuning, and stricter ones in standard tuning."""

from collections.abc import Set as AbstractSet

from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.neck.fingering import FingeredNote, Fingering, fingering
from deckbuilder.neck.hand import FINGER_A_FRET, FINGERS, REACH, SHIFT, STRETCH, Hand
from deckbuilder.neck.tuning import Tuning
from deckbuilder.theory.scales import Scale

from .necks import STANDARD, any_tunings, scales

FRETS = 24
index_frets = st.integers(0, 11)


def outside_hand(hand: Hand, fret: int, index_fret: int) -> int:
    """Count the frets between the hand and a fret; in open position the first finger is at the first fret."""
    if fret == 0 and index_fret <= 1:
        return 0
    first = max(index_fret, 1)
    return max(first - fret, fret - (first + hand.span - 1), 0)


def reachable(tuning: Tuning, classes: AbstractSet[int], index_fret: int, frets: int, outside: int) -> set[int]:
    """List by brute force which tones the hand reaches with so many frets outside it."""
    hand = [fret for fret in range(frets + 1) if outside_hand(tuning.hand, fret, index_fret) <= outside]
    return {pitch + fret for pitch in tuning.open_midi for fret in hand if (pitch + fret) % 12 in classes}


@given(any_tunings(), scales(), index_frets, st.integers(15, 30))
def test_a_run_ascends_and_its_places_give_its_pitches(tuning: Tuning, scale: Scale, index: int, frets: int) -> None:
    found = fingering(tuning, scale.pitch_classes, index, frets=frets)
    midi = [note.midi for note in found.notes]
    assert midi == sorted(set(midi))
    assert [tuning.midi(note.place) for note in found.notes] == midi
    assert {pitch % 12 for pitch in midi} <= scale.pitch_classes
    assert len({note.place for note in found.notes}) == len(midi)


@given(any_tunings(), scales(), index_frets, st.integers(11, 30))
def test_every_place_is_within_reach_and_costs_what_the_rule_says(
    tuning: Tuning, scale: Scale, index: int, frets: int
) -> None:
    for note in fingering(tuning, scale.pitch_classes, index, frets=frets).notes:
        assert 0 <= note.place.fret <= frets
        assert note.cost == {0: 0, 1: STRETCH, REACH: SHIFT}[outside_hand(tuning.hand, note.place.fret, index)]


@given(any_tunings(), scales(), index_frets, st.integers(15, 30))
def test_each_tone_is_at_its_cheapest_place(tuning: Tuning, scale: Scale, index: int, frets: int) -> None:
    found = fingering(tuning, scale.pitch_classes, index, frets=frets)
    for outside, cost in ((0, 0), (1, STRETCH), (REACH, SHIFT)):
        cheap = reachable(tuning, scale.pitch_classes, index, frets, outside)
        assert all(note.cost <= cost for note in found.notes if note.midi in cheap)


@given(any_tunings(), scales(), index_frets, st.integers(15, 30))
def test_from_end_to_end_every_tone_is_played_or_named_as_missing(
    tuning: Tuning, scale: Scale, index: int, frets: int
) -> None:
    found = fingering(tuning, scale.pitch_classes, index, frets=frets)
    midi = {note.midi for note in found.notes}
    between = [pitch for pitch in range(min(midi), max(midi) + 1) if pitch % 12 in scale.pitch_classes]
    assert sorted(midi | set(found.missing)) == between
    assert not midi & set(found.missing)
    assert not set(found.missing) & reachable(tuning, scale.pitch_classes, index, frets, REACH)


@given(any_tunings(), scales(), index_frets, st.integers(15, 30))
def test_the_ends_lie_under_the_hand_and_no_free_tone_is_left_out(
    tuning: Tuning, scale: Scale, index: int, frets: int
) -> None:
    found = fingering(tuning, scale.pitch_classes, index, frets=frets)
    assert found.notes[0].cost == found.notes[-1].cost == 0
    assert {note.midi for note in found.notes} >= reachable(tuning, scale.pitch_classes, index, frets, 0)


@given(any_tunings(), scales(), index_frets)
def test_totals_are_sums_over_the_notes(tuning: Tuning, scale: Scale, index: int) -> None:
    found = fingering(tuning, scale.pitch_classes, index, frets=FRETS)
    assert found.cost == STRETCH * found.stretches + SHIFT * found.shifts
    assert found.stretches == sum(outside_hand(tuning.hand, note.place.fret, index) == 1 for note in found.notes)
    assert found.shifts == sum(outside_hand(tuning.hand, note.place.fret, index) == REACH for note in found.notes)


@given(any_tunings(), scales(), index_frets)
def test_a_finger_takes_its_frets_or_what_the_finger_before_leaves_it(tuning: Tuning, scale: Scale, index: int) -> None:
    first, own = max(index, 1), tuning.hand.fingers
    strings: dict[int, list[FingeredNote]] = {}
    for note in fingering(tuning, scale.pitch_classes, index, frets=FRETS).notes:
        strings.setdefault(note.place.string, []).append(note)
    for notes in strings.values():
        covered = []
        for note in sorted(notes, key=lambda note: note.place):
            offset = note.place.fret - first
            if note.place.fret == 0:
                assert note.finger == 0
            elif 0 <= offset < len(own):
                covered.append(note.finger)
                assert own[offset] <= note.finger <= FINGERS
                if tuning.hand is FINGER_A_FRET:
                    assert note.finger == offset + 1
            else:
                assert note.finger == (1 if offset < 0 else FINGERS)
        # Fingers follow each other up the string; only the fourth reaches on for a fifth tone.
        assert covered == sorted(covered)
        assert all(covered.count(finger) <= 1 for finger in range(1, FINGERS))


@given(any_tunings(), scales(), index_frets, st.integers(1, 3))
def test_a_fret_that_may_not_be_used_is_not(tuning: Tuning, scale: Scale, index: int, lowest: int) -> None:
    found = fingering(tuning, scale.pitch_classes, index, frets=FRETS, lowest_fret=lowest)
    assert all(note.place.fret >= lowest for note in found.notes)


@given(any_tunings(), scales(), st.integers(3, 8))
def test_an_octave_up_the_neck_the_shape_is_the_same(tuning: Tuning, scale: Scale, index: int) -> None:
    low = fingering(tuning, scale.pitch_classes, index, frets=30, lowest_fret=1)
    high = fingering(tuning, scale.pitch_classes, index + 12, frets=30, lowest_fret=1)
    assert [(n.midi + 12, n.place.string, n.place.fret + 12, n.finger, n.cost) for n in low.notes] == [
        (n.midi, n.place.string, n.place.fret, n.finger, n.cost) for n in high.notes
    ]


@given(scales(), index_frets, st.integers(15, 30))
def test_standard_tuning_needs_no_shift_and_misses_nothing(scale: Scale, index: int, frets: int) -> None:
    found = fingering(STANDARD, scale.pitch_classes, index, frets=frets)
    assert found.shifts == 0
    assert found.missing == ()
    assert {note.midi % 12 for note in found.notes} == scale.pitch_classes


@given(scales(), index_frets)
def test_a_run_is_the_arpeggio_s_tones_of_the_fingering(scale: Scale, index: int) -> None:
    found = fingering(STANDARD, scale.pitch_classes, index, frets=FRETS)
    chord = {tone.pitch_class for tone in scale.tones[::2]}
    run = found.run(chord)
    assert {note.midi % 12 for note in run} == chord
    assert list(run) == [note for note in found.notes if note.midi % 12 in chord]


def test_nothing_within_reach_gives_an_empty_fingering() -> None:
    found = fingering(STANDARD, frozenset(), 5, frets=FRETS)
    assert found == Fingering(5, ())
    assert (found.cost, found.stretches, found.shifts, found.missing) == (0, 0, 0, ())


@given(any_tunings(), scales(), st.integers(0, 1), st.integers(12, 30))
def test_in_open_position_an_open_string_is_played_open(tuning: Tuning, scale: Scale, index: int, frets: int) -> None:
    for note in fingering(tuning, scale.pitch_classes, index, frets=frets).notes:
        if note.midi in tuning.open_midi:
            assert (note.place.fret, note.finger, note.cost) == (0, 0, 0)


def test_g_sharp_on_the_first_string_belongs_to_the_open_position() -> None:
    """E major at the nut goes up to the fourth fret of the first string, under the fourth finger."""
    found = fingering(STANDARD, frozenset({4, 6, 8, 9, 11, 1, 3}), 0, frets=FRETS)
    last = found.notes[-1]
    assert (last.midi, last.place.string, last.place.fret, last.finger, last.cost) == (68, 1, 4, 4, 0)
    assert found.stretches == 0
