"""Feel: how players depart from the written rhythm, in time and in strength.

Conventions: places in beats from a beginning, straight (an off-beat eighth is at .5), tempo quarter-notes a minute,
times s, velocity 0 to 1. All is computed from place, string and seed, so the same music always has the same feel.

Sources:
    Friberg and Sundström, "Swing ratios and ensemble timing in jazz performance: Evidence for a common rhythmic
    pattern", Music Perception 19 (2002), from memory: the ride's long to short eighth is up to 3.5 to 1 at 120 and
    slower and about 1 to 1 from 300 on; at fast tempi the short one lasts some 100 ms; soloists swing less: their
    off-beats come with the ride's, their beats late.
    How far other starts and strengths stray is common practice, no source.
"""

from functools import lru_cache
from typing import Final
from zlib import crc32

from deckbuilder.sound.description import Patch

SHORT: Final = 0.1
"""s of the short eighth, as long as the ratio allows."""
MOST_SWING: Final = 3.5
"""Long to short eighth of the ride at slow tempi."""
SOLOIST: Final = 0.6
"""How much of the ride's swing a soloist has: 0 would be even eighths."""

_AHEAD: Final = {Patch.BASS: 0.006}  # s by which a part leads: the bass speaks slowly
_STRAY: Final = {Patch.GUITAR: 0.004, Patch.BASS: 0.003, Patch.RIDE: 0.002}  # s either way; a click is on time
_KEPT: Final = 1 << 14  # places whose feel is remembered; whole numbers and floats are drawn apart
_TOUCHES: Final = (-0.05, 0.0, 0.0, 0.05)  # added to a velocity: few, so that a note once computed serves again


def swing_ratio(tempo: float) -> float:
    """Return the ride's long eighth over its short one.

    >>> [round(swing_ratio(tempo), 1) for tempo in (60, 120, 160, 200, 300)]
    [3.5, 3.5, 2.8, 2.0, 1.0]

    Args:
        tempo: quarter-notes a minute.
    """
    return min(MOST_SWING, max(1.0, 60.0 / tempo / SHORT - 1.0))


def soloist_ratio(tempo: float) -> float:
    """Return a soloist's long eighth over the short one.

    >>> [round(soloist_ratio(tempo), 1) for tempo in (120, 160, 200, 300)]
    [2.5, 2.0, 1.6, 1.0]

    Args:
        tempo: quarter-notes a minute.
    """
    return 1.0 + SOLOIST * (swing_ratio(tempo) - 1.0)


@lru_cache(maxsize=_KEPT, typed=True)
def swung(place: float, tempo: float) -> float:
    """Return when the rhythm section plays what is written somewhere, in beats.

    Off-beat eighths come late, and halves of eighths share the eighth that they are in; triplets are even already.

    >>> [round(swung(place, 200), 3) for place in (0, 0.25, 0.5, 1, 4 / 3)]
    [0.0, 0.333, 0.667, 1.0, 1.333]

    Args:
        place: in beats, as written.
        tempo: quarter-notes a minute.
    """
    whole, part = divmod(place, 1.0)
    if _is_even(part):
        return float(place)
    ratio = swing_ratio(tempo)
    long = ratio / (ratio + 1.0)
    return whole + (2.0 * part * long if part <= 0.5 else 1.0 - 2.0 * (1.0 - part) * (1.0 - long))


@lru_cache(maxsize=_KEPT, typed=True)
def laid_back(place: float, tempo: float) -> float:
    """Return when a soloist plays what is written somewhere, in beats: off-beats with the ride, all else late.

    >>> [round(laid_back(place, 200), 3) for place in (0, 0.5, 1)]
    [0.051, 0.667, 1.051]

    Args:
        place: in beats, as written.
        tempo: quarter-notes a minute.
    """
    part = place % 1.0
    late = swung(0.5, tempo) - 1.0 + 1.0 / (soloist_ratio(tempo) + 1.0)
    return swung(place, tempo) + late * (1.0 if _is_even(part) else abs(1.0 - 2.0 * part))


def _is_even(part: float) -> bool:
    """Tell whether a part of a beat is none, or a triplet's."""
    return abs(3.0 * part - round(3.0 * part)) < 1e-6


@lru_cache(maxsize=_KEPT, typed=True)
def stray(patch: Patch, place: float, string: int = 0, seed: int = 0) -> float:
    """Return by how much a note misses its time: some milliseconds, always the same.

    Args:
        patch: what plays it.
        place: in beats, as written.
        string: number of the string in its chord.
        seed: another number is another performance.

    Returns:
        s, negative where it comes early.
    """
    return _drawn("time", patch, place, string, seed) * _STRAY.get(patch, 0.0) - _AHEAD.get(patch, 0.0)


@lru_cache(maxsize=_KEPT, typed=True)
def touched(velocity: float, place: float, string: int = 0, seed: int = 0) -> float:
    """Return how hard a note is played that is meant to be so hard: the same, or a shade less or more.

    Args:
        velocity: 0 to 1.
        place: in beats, as written.
        string: number of the string in its chord.
        seed: another number is another performance.
    """
    shade = int((_drawn("touch", place, string, seed) + 1.0) / 2.0 * len(_TOUCHES))
    return min(1.0, max(0.0, velocity + _TOUCHES[shade]))


def _drawn(*of: object) -> float:
    """Draw a number from −1 to just under 1."""
    return crc32(repr(of).encode()) / 2**31 - 1.0
