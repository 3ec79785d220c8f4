import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.sound.arrangement import LOWEST_ROOT
from deckbuilder.sound.bassline import bass_line
from deckbuilder.sound.cadence import cadence_clip
from deckbuilder.sound.description import Clip, NoteEvent, Patch, SoundError
from deckbuilder.sound.feel import swung
from deckbuilder.sound.loops import LONGEST_LOOP, LOOP_TEMPO, backing_loop
from deckbuilder.sound.rhythms import strokes
from deckbuilder.sound.voice_leading import Change, voice_led
from tests.sound.test_voice_leading import cadence, turnaround

KEYS = st.integers(0, 11)
TEMPOS = st.floats(100, 240)


def played(clip: Clip, patch: Patch) -> list[NoteEvent]:
    return [event for event in clip.events if event.patch is patch]


@given(KEYS, TEMPOS, st.booleans())
def test_a_loop_plays_its_bass_line_after_the_count_in(key: int, tempo: float, count_in: bool) -> None:
    clip = backing_loop(turnaround(key), tempo=tempo, choruses=2, count_in=count_in)
    beat = clip.length / (32 + 8 * count_in)
    bass = [(round(event.start / beat) - 8 * count_in, event.midi) for event in played(clip, Patch.BASS)]
    assert bass == [(note.beat, note.midi) for note in bass_line(turnaround(key), 2)]


@given(KEYS, TEMPOS)
def test_the_comping_leaves_the_root_to_the_bass_and_swings(key: int, tempo: float) -> None:
    changes = turnaround(key)
    clip = backing_loop(changes, tempo=tempo)
    beat = clip.length / 16
    voicings = voice_led(changes, rooted=False)
    comped = played(clip, Patch.GUITAR)
    for stroke in strokes(changes):
        place = swung(stroke.beat, tempo) * beat
        struck = [event.midi for event in comped if -0.01 <= event.start - place < 0.04]
        assert tuple(struck) == voicings[stroke.chord]
        assert changes[stroke.chord].root not in {midi % 12 for midi in struck}
    assert len(comped) == sum(len(voicings[stroke.chord]) for stroke in strokes(changes))
    assert min(event.midi for event in comped) >= LOWEST_ROOT


@given(KEYS, TEMPOS)
def test_the_count_in_is_two_bars_of_clicks_alone(key: int, tempo: float) -> None:
    clip = backing_loop(cadence(key), tempo=tempo, count_in=True)
    beat = clip.length / 24
    assert [round(event.start / beat, 6) for event in played(clip, Patch.CLICK)] == [0, 2, 4, 5, 6, 7]
    others = [event.start for event in clip.events if event.patch is not Patch.CLICK]
    assert min(others) == pytest.approx(8 * beat, abs=0.01)
    assert not played(backing_loop(cadence(key), tempo=tempo), Patch.CLICK)


def test_the_cymbal_leans_on_two_and_four_and_swings() -> None:
    clip = backing_loop(cadence(0))
    beat = clip.length / 16
    loud = [event.start / beat for event in played(clip, Patch.RIDE) if event.velocity > 0.7]
    assert loud == pytest.approx([1, 3, 5, 7, 9, 11, 13, 15], abs=0.01)
    off = [event.start / beat % 1 for event in clip.events if 0.1 < event.start / beat % 1 < 0.9]
    assert off
    late = swung(0.5, LOOP_TEMPO)
    assert all(late - 0.02 < place < late + 0.08 for place in off)  # a strum spreads over some milliseconds


@given(KEYS, TEMPOS, st.booleans())
def test_a_loop_lasts_its_beats(key: int, tempo: float, count_in: bool) -> None:
    clip = backing_loop(cadence(key), tempo=tempo, count_in=count_in)
    assert (16 + 8 * count_in) * 60 / clip.length == pytest.approx(tempo)


def test_the_default_tempo_is_met() -> None:
    assert 16 * 60 / backing_loop(cadence(0)).length == pytest.approx(LOOP_TEMPO, rel=0.001)


def test_two_chords_a_bar() -> None:
    changes = [Change(7, 3, 10, beats=2), Change(0, 4, 10, beats=2), Change(5, 4, 11)]
    clip = backing_loop(changes)
    bass = [(round(s.start / clip.length * 8), s.midi % 12) for s in played(clip, Patch.BASS)]
    assert {at: pitch for at, pitch in bass if at in (0, 2, 4)} == {0: 7, 2: 0, 4: 5}


@given(st.lists(st.tuples(KEYS, st.none() | KEYS), min_size=1, max_size=4))
def test_a_written_bass_sounds_on_beat_one_below_the_chord(chords: list[tuple[int, int | None]]) -> None:
    changes = [Change(root, 4, 10, bass=bass) for root, bass in chords]
    clip = backing_loop(changes)
    beat = clip.length / (4 * len(changes))
    bass = {round(event.start / beat): event.midi for event in played(clip, Patch.BASS)}
    for number, (root, written) in enumerate(chords):
        assert bass[4 * number] % 12 == (root if written is None else written)
        assert bass[4 * number + 3] != bass[4 * number + 2]
        if written is not None and (written - root) % 12 in (4, 7, 10):
            assert bass[4 * number + 2] % 12 == root
    assert max(bass.values()) < min(event.midi for event in played(clip, Patch.GUITAR))


def test_a_bass_that_is_no_pitch_class_is_refused() -> None:
    with pytest.raises(SoundError, match="bass 12 of a chord is out of range: use 0 to 11"):
        backing_loop([Change(0, 4, 10, bass=12)])


def test_a_second_chorus_goes_on_with_the_same_voicings() -> None:
    once, twice = (backing_loop(turnaround(3), choruses=choruses) for choruses in (1, 2))
    assert twice.length == pytest.approx(2 * once.length, rel=0.003)
    assert {event.midi for event in played(once, Patch.GUITAR)} == {event.midi for event in played(twice, Patch.GUITAR)}
    assert len(played(twice, Patch.BASS)) > 2 * len(played(once, Patch.BASS))


def test_a_loop_that_lasts_too_long() -> None:
    with pytest.raises(SoundError, match=r"lasts 108\.0 s: use a faster tempo or fewer bars, at most 90 s"):
        backing_loop(cadence(0), tempo=40, choruses=4, count_in=True)
    assert backing_loop(3 * cadence(0), tempo=40, count_in=True).length <= LONGEST_LOOP


def test_values_out_of_range() -> None:
    with pytest.raises(SoundError, match="tempo 0"):
        backing_loop(cadence(0), tempo=0)
    with pytest.raises(SoundError, match="A4 = 300"):
        backing_loop(cadence(0), a4=300)
    with pytest.raises(SoundError, match="0 choruses"):
        backing_loop(cadence(0), choruses=0)
    with pytest.raises(SoundError, match="changes are empty"):
        backing_loop([])


def test_a_cadence_holds_its_chords() -> None:
    clip = cadence_clip(cadence(5), tempo=120)
    assert clip.length == pytest.approx(8.04)
    assert [event.midi for event in clip.events] == [43, 53, 58, 48, 52, 58, 41, 52, 57]


def test_a_cadence_with_a_chord_missing_or_marked() -> None:
    whole = cadence_clip(cadence(5))
    gap = cadence_clip(cadence(5), missing=1)
    assert gap.length == whole.length
    assert [event.midi for event in gap.events] == [43, 53, 58, 41, 52, 57]
    marked = cadence_clip(cadence(5), marked=2)
    (click,) = played(marked, Patch.CLICK)
    assert click.start == min(event.start for event in marked.events if event.midi in (41, 57))
    with pytest.raises(SoundError, match="missing chord 3 is none: use 0 to 2"):
        cadence_clip(cadence(5), missing=3)
    with pytest.raises(SoundError, match="the only chord is missing"):
        cadence_clip(cadence(5)[:1], missing=0)


def test_a_cadence_in_given_voicings() -> None:
    voicings = [(43, 53, 58), (48, 52, 58), (41, 52, 57)]
    assert cadence_clip(cadence(5), voicings=voicings) == cadence_clip(cadence(5))
    with pytest.raises(SoundError, match="changes are empty"):
        cadence_clip([], voicings=[])


@given(KEYS, TEMPOS, st.booleans(), st.integers(1, 2))
def test_every_note_begins_within_the_loop(key: int, tempo: float, count_in: bool, choruses: int) -> None:
    clip = backing_loop(cadence(key), tempo=tempo, count_in=count_in, choruses=choruses)
    assert all(0 <= event.start < clip.length and event.length > 0 for event in clip.events)
