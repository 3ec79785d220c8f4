"""Slots: the places of a line's notes among the chords, before any pitch is chosen."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate

from deckbuilder.lines.notes import BEAT, STRONG
from deckbuilder.lines.rhythm import Beatwise, Speed
from deckbuilder.theory.functions import Harmony

Changes = Sequence[tuple[Harmony, int]]
"""Chords in order, each with the beats that it lasts; after the last comes the first."""


@dataclass(frozen=True, slots=True)
class Slot:
    """Where a note of a line stands.

    Args:
        onset: when it begins, in ticks.
        length: how long it lasts, in ticks.
        unit: which two bars it belongs to.
        speed: how its beat goes.
        chord: index of its chord; of an anticipation, of the chord that it anticipates.
        arrives: whether it is the first note over a new chord and comes with it, or anticipates it.
        joined: whether it follows the note before it without a rest.
        begins: whether a rest of more than a beat, or nothing, comes before it.
        ends: whether a rest of more than a beat, or nothing, comes after it.
    """

    onset: int
    length: int
    unit: int
    speed: Speed
    chord: int
    arrives: bool
    joined: bool
    begins: bool
    ends: bool

    @property
    def strong(self) -> bool:
        """Whether it stands on beat 1 or 3."""
        return self.onset % STRONG == 0

    @property
    def off_beat(self) -> bool:
        """Whether it stands between beats."""
        return self.onset % BEAT != 0


def begins_of(changes: Changes) -> list[int]:
    """Return when each chord begins, and when the last one ends, in ticks."""
    return list(accumulate((BEAT * beats for _, beats in changes), initial=0))


def is_new(changes: Changes, chord: int) -> bool:
    """Whether a chord differs from the one before it; the first one from the last."""
    return changes[chord][0] != changes[chord - 1][0]


def slots(changes: Changes, times: Sequence[Beatwise], *, tied: bool) -> list[Slot]:
    """Place notes among chords.

    Args:
        changes: the chords.
        times: the notes' times, in order.
        tied: whether notes may anticipate chords.
    """
    begins = begins_of(changes)
    found = []
    for number, time in enumerate(times):
        before = times[number - 1].end if number else None
        after = times[number + 1].onset if number + 1 < len(times) else None
        ends = after is None or after - time.end > BEAT
        chord = sum(begin <= time.onset for begin in begins) - 1
        early = begins[chord + 1]
        following = (chord + 1) % len(changes)
        anticipates = (
            tied
            and time.onset % BEAT == BEAT // 2
            and is_new(changes, following)
            and (time.end > early or (ends and time.end == early))
        )
        found.append(
            Slot(
                time.onset,
                time.length,
                time.unit,
                time.speed,
                following if anticipates else chord,
                anticipates or (time.onset == begins[chord] and (not chord or is_new(changes, chord))),
                before is not None and before == time.onset,
                before is None or time.onset - before > BEAT,
                ends,
            )
        )
    return found
