"""Our plucked notes beside recorded ones: percentiles, with source and licences, in `recorded_notes.json`."""

import numpy as np
import pytest

from deckbuilder.sound.format import RATE
from deckbuilder.sound.instruments import BASS, GUITAR
from deckbuilder.sound.percussion import ride
from deckbuilder.sound.string import frequency, pluck
from tests.outside.recorded import REGISTERS, followed, measured, rise
from tests.sound.listening import level

VELOCITIES = (0.5, 0.85)


def medians(first: int) -> dict[str, bool]:
    """Tell of every register and measure whether the median of every fourth pitch of ours is like recorded ones."""
    found = {}
    for register in REGISTERS:
        pitches = [midi for midi in range(first, 81, 4) if midi in register.pitches]
        notes = [measured(pluck(GUITAR, midi, 2.0, v), midi, RATE) for midi in pitches for v in VELOCITIES]
        for measure, (low, high) in register.limits.items():
            median = np.nanmedian([note[measure] for note in notes])
            found[f"{measure} of {register.pitches}"] = bool(low <= median <= high)
    return found


@pytest.mark.parametrize("first", [40, 42])
def test_medians_lie_inside_what_is_recorded(first: int) -> None:
    """At least 40 of 45 medians between the recordings' 5th and 95th percentile."""
    found = medians(first)
    assert len(found) == 45
    assert sum(found.values()) >= 40, [name for name, inside in found.items() if not inside]


@pytest.mark.parametrize("midi", [28, 33, 38, 43])
def test_a_bass_note_takes_its_time(midi: int) -> None:
    """Recorded ones need 1.8 periods, at most 35 ms, and their partials beat (5 notes of fluid-soundfont-gm, MIT)."""
    sound = pluck(BASS, midi, 2.0, 0.7)
    assert 8 < rise(sound, RATE) < 35
    partials = [followed(sound, n, n * frequency(midi), frequency(midi), RATE) for n in range(3, 9)]
    assert np.median([partial.beating(*partial.heard(2.0)) for partial in partials]) > 0.1


def test_a_ride_rings_on() -> None:
    """T60 of 4 to 6 s (10 strokes of avldrums.lv2-soundfont, CC-BY-SA); the stick is over in some milliseconds."""
    sound = ride(3.0, 0.8).astype(np.float64)
    times = np.arange(0.2, 2.6, 0.1)
    levels = [level(sound[round(at * RATE) :][: RATE // 10]) for at in times]
    assert 4 < -60 / np.polyfit(times, levels, 1)[0] < 6
    stick, after = level(sound[: round(0.006 * RATE)]), level(sound[round(0.03 * RATE) :][: RATE // 50])
    assert stick > after + 2
