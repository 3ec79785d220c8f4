"""Approaches: every target comes on a beat."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.sound.approach import approached
from deckbuilder.sound.arrangement import LEAD_IN
from deckbuilder.sound.description import SoundError

figures = st.lists(st.tuples(*[st.integers(40, 80)] * 3), min_size=1, max_size=4)


@given(figures, st.floats(60, 200))
def test_targets_come_on_beats(asked: list[tuple[int, int, int]], tempo: float) -> None:
    clip = approached((48, 52, 58), asked, tempo=tempo)
    line = clip.events[3:]
    assert [event.midi for event in line] == [midi for figure in asked for midi in figure]
    beats = [(event.start - LEAD_IN) * tempo / 60 for event in line[2::3]]
    assert beats == pytest.approx([round(beat) for beat in beats])
    assert all(event.start + event.length <= clip.length + 1e-9 for event in line)


def test_a_target_off_the_beat_is_refused() -> None:
    for wrong in ([], [(60, 61)]):
        with pytest.raises(SoundError, match="even number of approach tones"):
            approached((48, 52, 58), wrong)
