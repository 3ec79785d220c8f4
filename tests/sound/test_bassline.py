from collections.abc import Sequence
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.sound.bassline import BassNote, bass_line
from deckbuilder.sound.voice_leading import Change
from tests.sound.test_voice_leading import cadence, turnaround

# (third, fifth, seventh) and scale of what changes are made of: maj7, 7, m7, half-diminished, diminished, 7alt, 7b5.
KINDS = [
    (4, 7, 11, (0, 2, 4, 5, 7, 9, 11)),
    (4, 7, 10, (0, 2, 4, 5, 7, 9, 10)),
    (3, 7, 10, (0, 2, 3, 5, 7, 9, 10)),
    (3, 6, 10, (0, 1, 3, 5, 6, 8, 10)),
    (3, 6, 9, (0, 2, 3, 5, 6, 8, 9, 11)),
    (4, None, 10, (0, 1, 3, 4, 6, 8, 10)),
    (4, 6, 10, (0, 2, 4, 6, 8, 10)),
    (4, 7, 10, ()),
]


def chord(root: int, kind: int, beats: int, bass: int | None = None) -> Change:
    third, fifth, seventh, scale = KINDS[kind]
    return Change(root, third, seventh, fifth, beats, bass=bass, scale=scale)


ROOTS, KIND, BEATS = st.integers(0, 11), st.integers(0, len(KINDS) - 1), st.sampled_from([1, 2, 3, 4, 6, 8])
PLAIN = st.lists(st.builds(chord, ROOTS, KIND, BEATS), min_size=1, max_size=8)
SLASHED = st.lists(st.builds(chord, ROOTS, KIND, BEATS, st.none() | ROOTS), min_size=1, max_size=8)


def spans(changes: Sequence[Change], choruses: int) -> list[tuple[Change, int]]:
    """Each chord with the beat it comes on, through all choruses."""
    found, at = [], 0
    for change in [*changes] * choruses:
        found.append((change, at))
        at += change.beats
    return found


def by_beat(notes: Sequence[BassNote]) -> dict[int, int]:
    return {note.beat: note.midi for note in notes}


@given(SLASHED)
def test_the_line_has_no_gap_and_stays_low(changes: list[Change]) -> None:
    notes = bass_line(changes, 2)
    assert notes[0].beat == 0
    assert all(one.beat + one.beats == other.beat for one, other in pairwise(notes))
    assert notes[-1].beat + notes[-1].beats == 2 * sum(change.beats for change in changes)
    assert all(28 <= note.midi <= 47 for note in notes)
    assert all(abs(one.midi - other.midi) <= 15 for one, other in pairwise(notes))


@given(PLAIN)
def test_the_root_comes_with_its_chord_and_on_every_one(changes: list[Change]) -> None:
    line = by_beat(bass_line(changes, 2))
    for change, at in spans(changes, 2):
        chorus = at // sum(each.beats for each in changes) * sum(each.beats for each in changes)
        assert line[at] % 12 == change.root
        for beat in range(at, at + change.beats):
            if (beat - chorus) % 4 == 0:
                assert line[beat] % 12 == change.root


@given(SLASHED)
def test_the_last_beat_of_a_chord_leads_by_step_into_the_next_and_is_not_the_tone_before(
    changes: list[Change],
) -> None:
    notes = bass_line(changes, 2)
    line = by_beat(notes)
    beats = 2 * sum(change.beats for change in changes)
    for change, at in spans(changes, 2):
        end = at + change.beats
        on_one = (end - 1) % (beats // 2) % 4 == 0
        if change.beats > 1 and not on_one:
            following = line.get(end, line[0]) if end == beats else line[end]
            assert 1 <= abs(line[end - 1] - following) <= 2
            before = [note for note in notes if note.beat < end - 1][-1]
            assert before.midi % 12 != line[end - 1] % 12


@given(PLAIN)
def test_in_two_the_third_beat_has_fifth_third_or_octave(changes: list[Change]) -> None:
    """Never the chord's own b5, unless the chord is half-diminished or diminished."""
    whole = sum(change.beats for change in changes)
    line = by_beat(bass_line(changes))
    for change, at in spans(changes, 1):
        for bar in range(-(-at // 4) * 4, at + change.beats - 3, 4):
            step = (line[bar + 2] - change.root) % 12
            assert line[bar + 2] != line[bar]
            own = {0, change.third} | ({change.fifth} if change.fifth is not None else set())
            assert step in own
            assert step != 6 or change.third == 3
    assert len(line) <= whole


@given(PLAIN)
def test_from_the_second_chorus_it_walks(changes: list[Change]) -> None:
    """A note a beat in every bar of one chord; tones of its scale but for the approach, no altered b5 on beat 3."""
    whole = sum(change.beats for change in changes)
    line = by_beat(bass_line(changes, 2))
    for change, at in spans(changes, 2)[len(changes) :]:
        inside = {0, change.third, change.seventh, *change.scale}
        inside |= {change.fifth} if change.fifth is not None else set()
        for beat in range(at, at + change.beats):
            bar_ends = beat == at + change.beats - 1 or (beat - whole) % 4 == 3
            bar = beat - (beat - whole) % 4
            if at <= bar and bar + 4 <= at + change.beats:
                assert beat in line
            assert bar_ends or beat not in line or (line[beat] - change.root) % 12 in inside
            if beat == bar + 2 and at <= bar and beat in line and not bar_ends:
                assert (line[beat] - change.root) % 12 != 6 or (change.third == 3 and change.fifth == 6)


@given(SLASHED)
def test_a_written_bass_comes_first_then_the_root_or_it_is_held(changes: list[Change]) -> None:
    line = by_beat(bass_line(changes, 2))
    for change, at in spans(changes, 2):
        if change.bass in (None, change.root):
            continue
        assert line[at] % 12 == change.bass
        assert line[at] <= 39
        step = ((change.bass or 0) - change.root) % 12
        if change.beats >= 4 and at % 4 == 0 and 2 * sum(each.beats for each in changes) % 8 == 0:
            kept = {0, change.third, change.seventh} | ({change.fifth} if change.fifth is not None else set())
            kept -= {6} if change.third != 3 else set()
            assert line[at + 2] % 12 == (change.root if step in kept else change.bass)


@given(SLASHED)
def test_the_same_changes_have_the_same_line(changes: list[Change]) -> None:
    assert bass_line(changes, 2) == bass_line(list(changes), 2)
    assert bass_line(changes) == tuple(
        note for note in bass_line(changes, 2) if note.beat < sum(change.beats for change in changes)
    )


@pytest.mark.parametrize("make", [cadence, turnaround])
def test_keys_are_not_all_led_alike(make: object) -> None:
    assert callable(make)
    shapes = {tuple(note.midi % 12 - key for note in bass_line(make(key), 2)) for key in range(12)}
    assert len(shapes) > 3
