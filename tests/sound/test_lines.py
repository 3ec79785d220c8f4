"""Lines over changes and steps from chord to chord: when each note comes and what lies under it."""

import pytest

from deckbuilder.sound.arrangement import LEAD_IN, chord_to_chord
from deckbuilder.sound.description import Patch, SoundError
from deckbuilder.sound.feel import laid_back, soloist_ratio
from deckbuilder.sound.loops import backing_loop, line_over
from deckbuilder.sound.voice_leading import Change

CHANGES = (Change(7, 3, 10, beats=4), Change(0, 4, 10, beats=4))
EIGHTHS = [(60 + number % 5, number / 2, number / 2 + 0.5) for number in range(12)] + [(64, 6.0, 8.0)]


def test_a_line_swings() -> None:
    clip = line_over(CHANGES, EIGHTHS, tempo=120)
    beat = clip.length / 8
    line = [event for event in clip.events if event.patch is Patch.GUITAR and event.velocity > 0.6]
    assert [event.midi for event in line] == [midi for midi, _, _ in EIGHTHS]
    starts = [event.start / beat for event in line]
    assert starts == pytest.approx([laid_back(onset, 120) for _, onset, _ in EIGHTHS])
    assert line[0].length == pytest.approx(soloist_ratio(120) * line[1].length)
    on, off = ([event.velocity for event in line[first:12:2]] for first in (0, 1))
    assert sum(on) > sum(off)


def test_sixteenths_swing_within_their_eighth_and_a_triplet_is_even() -> None:
    line = [(60, 0.0, 0.25), (62, 0.25, 0.5), (60, 0.5, 1.0)]
    line += [(64 + number, 1 + number / 3, 1 + (number + 1) / 3) for number in range(3)]
    clip = line_over(CHANGES, line, tempo=120)
    beat = clip.length / 8
    starts = [event.start / beat for event in clip.events if event.patch is Patch.GUITAR and event.velocity > 0.6]
    assert starts == pytest.approx([laid_back(onset, 120) for _, onset, _ in line])
    assert starts[1] - starts[0] == pytest.approx(starts[2] - starts[1])
    assert starts[4] - starts[3] == pytest.approx(starts[5] - starts[4]) == pytest.approx(1 / 3)


def test_the_rhythm_section_lies_under_it_and_softer() -> None:
    clip, alone = line_over(CHANGES, EIGHTHS, tempo=120), backing_loop(CHANGES, tempo=120)
    assert clip.length == alone.length
    under = [event for event in clip.events if event.patch is Patch.BASS]
    played = [event for event in alone.events if event.patch is Patch.BASS]
    assert [event.midi for event in under] == [event.midi for event in played]
    assert all(one.velocity < other.velocity for one, other in zip(under, played, strict=True))
    assert max(event.velocity for event in clip.events if event.midi in (60, 64)) > 0.8


def test_everything_begins_within_the_clip() -> None:
    clip = line_over(CHANGES, EIGHTHS, tempo=240)
    assert all(0 <= event.start < clip.length for event in clip.events)


def test_a_line_over_too_many_bars_is_refused() -> None:
    with pytest.raises(SoundError, match="use a faster tempo or fewer bars"):
        line_over(CHANGES * 8, EIGHTHS, tempo=40)


def test_a_step_comes_with_the_change_of_chord() -> None:
    clip = chord_to_chord(((43, 53, 58), (48, 52, 58)), (65, 64), tempo=120)
    events = list(clip.events)
    assert [event.midi for event in events] == [43, 53, 58, 65, 48, 52, 58, 64]
    assert events[3].start == pytest.approx(LEAD_IN + 0.5)
    assert events[4].start == pytest.approx(LEAD_IN + 1.0)
    assert 0 < events[7].start - events[4].start < 0.05
    assert events[3].start + events[3].length <= events[7].start
    assert clip.length == pytest.approx(LEAD_IN + 2.5)


@pytest.mark.parametrize("tempo", [0, 300])
def test_a_step_at_no_tempo_is_refused(tempo: float) -> None:
    with pytest.raises(SoundError, match="tempo"):
        chord_to_chord(((43,), (48,)), (65, 64), tempo=tempo)
