"""Shell voicings of a chord progression, each as near to the one before as can be.

Conventions: pitches are MIDI note numbers, pitch classes 0–11 from C, intervals semitones above the root.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product
from typing import Final

from deckbuilder.sound.description import SoundError

Voicing = tuple[int, int, int]
"""Root, lower and upper guide tone; MIDI notes, ascending."""

STEP: Final = 2
"""Semitones that a guide tone may move and still be said to move by step."""
LEAP: Final = 7
"""Semitones that no voice exceeds: a fifth."""

_ROOTS: Final = (37, 53)  # C♯2 to F3: wide enough that no root of a turnaround must leap
_GUIDES: Final = (48, 64)  # C3 to E4: clear, and below most of the runs played over them
_WIDEST: Final = 11  # semitones between the guide tones


@dataclass(frozen=True, slots=True)
class Change:
    """A chord of a loop and how long it lasts.

    Args:
        root: pitch class, 0 (C) to 11 (B).
        third: semitones from the root, 2 to 5.
        seventh: semitones from the root, 9 to 11.
        fifth: semitones from the root, 6 to 8; the bass plays it.
        beats: quarter-notes, 1 to 8.
    """

    root: int
    third: int
    seventh: int
    fifth: int = 7
    beats: int = 4


def check_changes(changes: Sequence[Change]) -> None:
    """Refuse changes that cannot be played.

    Args:
        changes: chords.

    Raises:
        SoundError: none, or a value out of range.
    """
    if not changes:
        raise SoundError("changes are empty: give at least one chord")
    ranges = {"root": (0, 11), "third": (2, 5), "seventh": (9, 11), "fifth": (6, 8), "beats": (1, 8)}
    for change, (name, (low, high)) in product(changes, ranges.items()):
        value = getattr(change, name)
        if not low <= value <= high:
            raise SoundError(f"{name} {value} of a chord is out of range: use {low} to {high}")


def voice_led(changes: Sequence[Change]) -> tuple[Voicing, ...]:
    """Shell voicings that move as little as can be, round the loop.

    Of all ways to place root, lower and upper guide tone, the one is taken whose guide tones exceed a whole
    step the least, then whose voices move the least in all, then which lies nearest the middle of the
    register. The last chord leads to the first.

    >>> voice_led([Change(7, 3, 10), Change(0, 4, 10), Change(5, 4, 11)])
    ((43, 53, 58), (48, 52, 58), (41, 52, 57))

    Args:
        changes: chords.

    Returns:
        Root, lower and upper guide tone of each chord, MIDI notes, ascending.

    Raises:
        SoundError: a value out of range.
    """
    check_changes(changes)
    choices = [_voicings(change) for change in changes]
    best: tuple[int, list[Voicing]] | None = None
    for first in choices[0]:
        # The cheapest way from `first` to each voicing so far (dynamic programming), closed at the end.
        ways = {first: (_off_centre(first), [first])}
        for options in choices[1:]:
            ways = {
                option: min(
                    (cost + _motion(last, option) + _off_centre(option), [*path, option])
                    for last, (cost, path) in ways.items()
                )
                for option in options
            }
        closed = min((cost + _motion(last, first), path) for last, (cost, path) in ways.items())
        best = closed if best is None else min(best, closed)
    assert best is not None
    return tuple(best[1])


def _voicings(change: Change) -> list[Voicing]:
    roots = _octaves(change.root, *_ROOTS)
    thirds = _octaves(change.root + change.third, *_GUIDES)
    sevenths = _octaves(change.root + change.seventh, *_GUIDES)
    return [
        (root, min(third, seventh), max(third, seventh))
        for root, third, seventh in product(roots, thirds, sevenths)
        if root < min(third, seventh) and abs(third - seventh) <= _WIDEST
    ]


def _octaves(pitch: int, low: int, high: int) -> range:
    """Every pitch of a pitch class in a range."""
    return range(low + (pitch - low) % 12, high + 1, 12)


def _motion(one: Voicing, other: Voicing) -> int:
    """Weighted motion between voicings: a leap counts most, then a guide tone that skips, then distance."""
    moves = [abs(b - a) for a, b in zip(one, other, strict=True)]
    leaps = sum(max(0, move - LEAP) for move in moves)
    skips = sum(max(0, move - STEP) for move in moves[1:])
    return 1_000_000 * leaps + 10_000 * skips + 100 * sum(moves)


def _off_centre(voicing: Voicing) -> int:
    return abs(voicing[1] + voicing[2] - sum(_GUIDES))
