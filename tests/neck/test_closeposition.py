"""Laws of close position: the chord's tones in order, under one hand."""

from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.neck.closeposition import close_position
from deckbuilder.neck.hand import REACH
from deckbuilder.neck.tuning import Tuning
from deckbuilder.theory.chords import QUALITIES, Quality

from .necks import STANDARD, any_tunings

qualities = st.sampled_from(tuple(QUALITIES.values()))


def chord_of(root: int, quality: Quality) -> tuple[int, ...]:
    return tuple((root + step) % 12 for step in quality.semitones)


@given(st.integers(0, 11), qualities, st.integers(15, 24))
def test_standard_tuning_has_all_four_tones_from_the_root(root: int, quality: Quality, frets: int) -> None:
    found = close_position(STANDARD, chord_of(root, quality), frets=frets)
    assert not found.missing
    assert [note.midi - found.notes[0].midi for note in found.notes] == list(quality.semitones)
    assert found.notes[0].midi % 12 == root


@given(any_tunings(), st.integers(0, 11), qualities, st.integers(12, 24))
def test_any_tuning_gives_each_tone_or_says_that_it_is_missing(
    tuning: Tuning, root: int, quality: Quality, frets: int
) -> None:
    found = close_position(tuning, chord_of(root, quality), frets=frets)
    run = found.notes
    assert run[0].midi % 12 == root
    every = sorted([*(note.midi for note in run), *found.missing])
    assert tuple(midi - run[0].midi for midi in every) == quality.semitones
    assert [tuning.midi(note.place) for note in run] == [note.midi for note in run]
    fretted = [note.place.fret for note in run if note.place.fret]
    assert not fretted or max(fretted) - min(fretted) < tuning.hand.span + 2 * REACH


@given(any_tunings(most=4), st.integers(0, 11), qualities, st.integers(12, 24))
def test_a_missing_tone_lies_nowhere_in_reach(tuning: Tuning, root: int, quality: Quality, frets: int) -> None:
    found = close_position(tuning, chord_of(root, quality), frets=frets)
    first = max(found.index_fret, 1)
    reach = range(max(first - REACH, 0), min(first + tuning.hand.span + REACH, frets + 1))
    assert not {open_midi + fret for open_midi in tuning.open_midi for fret in reach} & {*found.missing}
