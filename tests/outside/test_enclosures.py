"""Enclosures against music21: the scale step above and the semitone below of guide tones in twelve keys."""

import pytest
from music21 import interval, pitch, scale

from deckbuilder.cards.enclosure import semitone_below, step_above
from deckbuilder.theory.keys import DEFAULT_KEYS
from deckbuilder.theory.tones import Tone
from tests.theory.harmonies import chord_in

CADENCE = (("ii", None), ("V", "plain"), ("I", None))


def theirs(tone: Tone) -> pitch.Pitch:
    return pitch.Pitch(f"{tone.name.replace('b', '-')}4")


@pytest.mark.parametrize("key", DEFAULT_KEYS)
@pytest.mark.parametrize("function", CADENCE, ids=lambda each: each[0])
def test_neighbours_are_those_of_music21(key: str, function: tuple[str, str | None]) -> None:
    chord = chord_in(key, *function)
    major = scale.MajorScale(key.replace("b", "-"))
    for target in chord.chord.guide_tones:
        above = major.nextPitch(theirs(target), direction=scale.Direction.ASCENDING)
        assert isinstance(above, pitch.Pitch)
        assert theirs(step_above(chord, target)).name == above.name
        below = interval.Interval("-m2").transposePitch(theirs(target))
        assert theirs(semitone_below(chord, target)).pitchClass == below.pitchClass
        assert theirs(semitone_below(chord, target)).step == below.step or abs(below.alter) > 1
