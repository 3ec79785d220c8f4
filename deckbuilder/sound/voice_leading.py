"""Voicings of a chord progression, each as near to the one before as can be.

Conventions: pitches are MIDI note numbers, pitch classes 0–11 from C, intervals semitones above the root.

A bare shell is root, third and seventh. A chord may add tones to it: without one, the guide tones of Imaj7 have no
way by step into VI7 (the third of I is a minor third from both guide tones of VI), and a dominant's colour is not
heard at all. With one, every voice above the root has a way. Where a bass plays, the root is left to it (common
practice, no source).
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations, pairwise, product
from typing import Final

import numpy as np
from numpy.typing import NDArray

from deckbuilder.sound.description import SoundError

Voicing = tuple[int, ...]
"""Root, unless a bass has it, then guide tones and added tones; MIDI notes, ascending."""

STEP: Final = 2
"""Semitones that a guide tone may move and still be said to move by step."""
LEAP: Final = 7
"""Semitones that no voice exceeds: a fifth."""

_ROOTS: Final = (40, 56)  # E2, the lowest string, to G♯3: wide enough that no root of a turnaround must leap
_VOICES: Final = ((48, 71), (48, 67))  # C3 to B4 where a bass plays, to G4 over a root: clear, and below most runs
_MIDDLE: Final = (59, 56)  # B3 where a bass plays, G♯3 over a root
_WIDEST: Final = 11  # semitones between the guide tones
_WIDEST_ADDED: Final = 16  # semitones between the voices above the root
_RUBS: Final = frozenset({1, 13})  # a minor second or ninth between two of them
_CLEAR_OF_ROOT: Final = 3  # semitones from the root to the lowest of them
_MOVES: Final = np.arange(_VOICES[0][1] - _ROOTS[0] + 1, dtype=np.int64)
_SEMITONE: Final = 100
_LESS_PREFERRED: Final = 5 * _SEMITONE
# Cost of a voice that moves by so many semitones: a leap counts most, then a voice that skips, then distance.
_OF_ROOT: Final = _SEMITONE * _MOVES + 1_000_000 * np.maximum(0, _MOVES - LEAP)
_OF_OTHERS: Final = _OF_ROOT + 10_000 * np.maximum(0, _MOVES - STEP)


@dataclass(frozen=True, slots=True)
class Change:
    """A chord of a loop and how long it lasts.

    Args:
        root: pitch class, 0 (C) to 11 (B).
        third: semitones from the root, 2 to 5.
        seventh: semitones from the root, 9 to 11.
        fifth: semitones from the root, 6 to 8; None for a chord whose fifth is no resting place for the bass.
        beats: quarter-notes, 1 to 8.
        added: tones that the voicing adds, one choice a tuple, the preferred first; semitones above the root, each
            0 to 11. Empty for a bare shell. Choices may be of one size or of several: all chords of the changes add
            as many tones, the fewest with which the voices can be led.
        bass: pitch class that the bass plays for the root; None for the root.
        scale: what the bass steps through, semitones above the root, each 0 to 11; empty for the chord's tones alone.
    """

    root: int
    third: int
    seventh: int
    fifth: int | None = 7
    beats: int = 4
    added: tuple[tuple[int, ...], ...] = ()
    bass: int | None = None
    scale: tuple[int, ...] = ()


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
        if value is not None and not low <= value <= high:
            raise SoundError(f"{name} {value} of a chord is out of range: use {low} to {high}")
    for value in (tone for change in changes for choice in change.added for tone in choice):
        if not 0 <= value <= 11:
            raise SoundError(f"added tone {value} of a chord is out of range: use 0 to 11")
    for bass in (change.bass for change in changes if change.bass is not None):
        if not 0 <= bass <= 11:
            raise SoundError(f"bass {bass} of a chord is out of range: use 0 to 11")
    for step in (step for change in changes for step in change.scale):
        if not 0 <= step <= 11:
            raise SoundError(f"scale step {step} of a chord is out of range: use 0 to 11")
    if not _counts(changes):
        raise SoundError("chords add different numbers of tones: give every chord of the changes as many")


def _counts(changes: Iterable[Change]) -> set[int]:
    """Return how many tones every one of the chords can add."""
    return set.intersection(*({len(choice) for choice in change.added or ((),)} for change in changes))


def voice_led(changes: Sequence[Change], rooted: bool = True) -> tuple[Voicing, ...]:
    """Voicings that move as little as can be, round the loop.

    Of all ways to place root, guide tones and added tones, the one is taken whose voices above the root exceed a
    whole step the least, then whose voices move the least in all and add the preferred tones, a less preferred one
    counting as five semitones of motion, then which lies nearest the middle of the register. The last chord leads to
    the first.

    >>> voice_led([Change(7, 3, 10), Change(0, 4, 10), Change(5, 4, 11)])
    ((43, 53, 58), (48, 52, 58), (41, 52, 57))
    >>> voice_led([Change(2, 3, 10, added=((2,),)), Change(7, 4, 10, added=((8,), (1,)))])
    ((50, 53, 60, 64), (43, 53, 59, 63))
    >>> voice_led([Change(2, 3, 10, added=((2,),)), Change(7, 4, 10, added=((9,), (2,)))], rooted=False)
    ((53, 60, 64), (53, 59, 64))

    Args:
        changes: chords.
        rooted: whether the root lies under the voices; if not, a bass has it.

    Returns:
        Root if wanted, guide tones and added tones of each chord, MIDI notes, ascending.

    Raises:
        SoundError: a value out of range, or added tones that no voicing of a chord has room for.
    """
    check_changes(changes)
    return _led(tuple(changes), rooted)


def recoloured(voicing: Voicing, change: Change) -> Voicing:
    """Return the voicing of another chord that moves least: over the same root, only the added tone changes.

    >>> recoloured((48, 52, 58, 61), Change(0, 4, 10, added=((9,), (2,))))
    (48, 52, 58, 62)

    Args:
        voicing: a voicing.
        change: the chord to be voiced.

    Raises:
        SoundError: a value out of range, or added tones that no voicing of a chord has room for.
    """
    check_changes([change])
    added = min(_counts([change]))
    voicings = _voicings(change, added, rooted=True)
    if len(voicing) != len(next(iter(voicings))):
        raise SoundError(f"voicing {voicing} has {len(voicing)} tones: give it as many as the chord's voicings have")
    choices = sorted(voicings, key=voicings.__getitem__)
    return choices[int(np.argmin(_steps([voicing], choices, rooted=True)))]


@lru_cache(maxsize=1024)
def _led(changes: tuple[Change, ...], rooted: bool) -> tuple[Voicing, ...]:
    """Lead the voices; kept because loops in all regions and questions about them share their changes.

    Over a bass the voices are the fewest that can be led by step, or the fewest where none can. Of ways that are
    equally good, the one is taken whose voicings come first in order.
    """
    counts = sorted(_counts(changes))
    ways = [_led_with(changes, added, rooted) for added in (counts[:1] if rooted else counts)]
    return min(ways, key=_skipped)


def _skipped(voicings: Sequence[Voicing]) -> int:
    """Return by how many semitones voices exceed a whole step, round the loop."""
    pairs = pairwise((*voicings, voicings[0]))
    return sum(max(0, abs(b - a) - STEP) for one, other in pairs for a, b in zip(one, other, strict=True))


def _led_with(changes: Sequence[Change], added: int, rooted: bool) -> tuple[Voicing, ...]:
    """Lead the voices with so many added tones."""
    voicings = [_voicings(change, added, rooted) for change in changes]
    choices = [sorted(found) for found in voicings]
    steps = [
        np.array([[disliked[voicing]] for voicing in before]) + _steps(before, after, rooted)
        for disliked, before, after in zip(voicings, choices, (*choices[1:], choices[0]), strict=True)
    ]
    # What the rest costs, from each voicing of a chord (rows) round to each of the first chord (columns): dynamic
    # programming from the end.
    rest = [steps[-1]]
    for step in reversed(steps[:-1]):
        rest.append(np.min(step[:, :, None] + rest[-1], axis=1))
    first = int(np.argmin(np.diagonal(rest.pop())))
    path = [first]
    for step in steps[:-1]:
        path.append(int(np.argmin(step[path[-1]] + rest.pop()[:, first])))
    return tuple(options[place] for options, place in zip(choices, path, strict=True))


def _steps(before: Sequence[Voicing], after: Sequence[Voicing], rooted: bool) -> NDArray[np.int64]:
    """Return weighted motion from each voicing of a chord (rows) to each of the next one (columns)."""
    moves = np.abs(np.array(before)[:, None] - np.array(after))
    motion: NDArray[np.int64] = _OF_OTHERS[moves[..., int(rooted) :]].sum(axis=-1)
    return motion + _OF_ROOT[moves[..., 0]] if rooted else motion


@lru_cache(maxsize=1024)
def _voicings(change: Change, added: int, rooted: bool) -> Mapping[Voicing, int]:
    """Return every voicing of a chord and what speaks against it: a less preferred tone, distance from the middle."""
    choices = [choice for choice in change.added or ((),) if len(choice) == added]
    found = {
        voicing: _LESS_PREFERRED * number + abs(2 * sum(above) // len(above) - 2 * _MIDDLE[rooted])
        for number, choice in reversed([*enumerate(choices)])
        for voicing in _with(change, choice, rooted)
        for above in (voicing[int(rooted) :],)
    }
    if not found:
        raise SoundError(f"added tones {change.added} leave no playable voicing of a chord: add others")
    return found


def _with(change: Change, added: tuple[int, ...], rooted: bool) -> Iterator[Voicing]:
    """Yield the voicings with some added tones."""
    upper = [_octaves(change.root + tone, *_VOICES[rooted]) for tone in (change.third, change.seventh, *added)]
    for voices in product(*upper):
        above = tuple(sorted(voices))
        if not (_is_clear(above) if added else above[-1] - above[0] <= _WIDEST):
            continue
        if not rooted:
            yield above
            continue
        least = _CLEAR_OF_ROOT if added else 1
        for root in _octaves(change.root, *_ROOTS):
            if above[0] - root >= least:
                yield (root, *above)


def _is_clear(above: Sequence[int]) -> bool:
    """Tell whether a fuller chord is no wider than a hand plays and free of rubbing tones."""
    rubs = any(b - a in _RUBS for a, b in combinations(above, 2))
    return above[-1] - above[0] <= _WIDEST_ADDED and not rubs


def _octaves(pitch: int, low: int, high: int) -> range:
    """Every pitch of a pitch class in a range."""
    return range(low + (pitch - low) % 12, high + 1, 12)
