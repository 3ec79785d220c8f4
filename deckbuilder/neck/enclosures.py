"""Enclosures: a target with its neighbours, the scale step above and the semitone below, under one hand.

The scale step comes first, then the semitone, then the target: so the last step is the leading tone's (common practice
of jazz texts, no source).
"""

from collections.abc import Mapping
from typing import NamedTuple

from deckbuilder.neck.fingering import FingeredNote


class Enclosure(NamedTuple):
    """A target and what goes before it, in the order in which they are played."""

    above: FingeredNote
    below: FingeredNote
    target: FingeredNote


def enclosures(reach: Mapping[int, FingeredNote], target: int, step: int) -> tuple[Enclosure, ...]:
    """Return the enclosures of a tone that a hand holds, lowest first.

    Args:
        reach: what the hand reaches, by MIDI number.
        target: the tone's pitch class.
        step: semitones up to the scale step above it.
    """
    whole = (midi for midi in sorted(reach) if midi % 12 == target and reach.keys() >= {midi - 1, midi + step})
    return tuple(Enclosure(reach[midi + step], reach[midi - 1], reach[midi]) for midi in whole)
