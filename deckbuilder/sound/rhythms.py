"""Comping rhythms: when the chords of a loop are struck.

Conventions: places in quarter-note beats from the first chord, as written: an off-beat eighth lies at .5 and is swung
when it is played. Four beats a bar. Patterns are common practice, no source. What is struck on the last eighth before a
chord is that chord already, held over: an anticipation.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final
from zlib import crc32

from deckbuilder.sound.voice_leading import Change

_BAR: Final = 4  # beats
_HALF: Final = 0.5

_Pattern = tuple[tuple[float, float], ...]
"""Where in a bar the chord is struck, and for how long it is held, in beats: whole and half ones, which are exact."""

CHARLESTON: Final[_Pattern] = ((0.0, 1.5), (1.5, 0.5))
PATTERNS: Final[tuple[_Pattern, ...]] = (
    CHARLESTON,
    ((1.5, 0.5), (3.5, 1.5)),
    ((0.5, 0.5), (2.0, 1.5)),
    ((0.0, 1.0), (2.5, 0.5), (3.5, 1.5)),
    ((1.0, 1.0), (2.5, 0.5)),
)
"""What bars have in turn: on 1 and 2&, on 2& and 4&, on 1& and 3, on 1, 3& and 4&, on 2 and 3&."""


_OFFSETS: Final = (0, 1, 2, 4)
"""Where the dealing begins: anywhere but where the second bar would have the first one's pattern."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """A chord that is struck.

    Args:
        chord: its number, counted through all choruses.
        beat: when.
        beats: for how long it is held.
    """

    chord: int
    beat: float
    beats: float


def strokes(changes: Sequence[Change], choruses: int = 1) -> tuple[Stroke, ...]:
    """Deal a rhythm to every bar: neighbours differ, the first bar has the Charleston rhythm.

    Every chord is struck while it lasts or on the eighth before, and rings no longer than it lasts. The last bar of all
    does not anticipate, since nothing need follow.

    Args:
        changes: one chorus.
        choruses: how often they are played.
    """
    return _strokes(tuple(changes), choruses)


@lru_cache(maxsize=256)
def _strokes(changes: tuple[Change, ...], choruses: int) -> tuple[Stroke, ...]:
    begins = [0]
    for change in changes * choruses:
        begins.append(begins[-1] + change.beats)
    struck = sorted(_struck(begins, crc32(repr([change.root for change in changes]).encode())).items())
    ends = [place for place, _ in struck[1:]] + [float(begins[-1])]
    return tuple(
        Stroke(chord, place, min(held, end - place, begins[chord + 1] - place))
        for (place, (chord, held)), end in zip(struck, ends, strict=True)
    )


def _struck(begins: Sequence[int], salt: int) -> dict[float, tuple[int, float]]:
    """Return what is struck by its place, with how long it would be held."""
    found: dict[float, tuple[int, float]] = {}
    for bar, place, held in _dealt(begins[-1], salt):
        is_held_over = bar - _HALF in found and place <= _HALF
        if not is_held_over:
            chord = max(number for number, begin in enumerate(begins[:-1]) if begin <= bar + place + _HALF)
            found[bar + place] = chord, held
    heard = {chord for chord, _ in found.values()}
    for chord, begin in enumerate(begins[:-1]):
        if chord not in heard:
            found[float(begin)] = chord, 1.0
    return found


def _dealt(beats: int, salt: int) -> Iterator[tuple[int, float, float]]:
    """Yield the bar, the place and the length of each stroke; going on by two, no bar has its neighbour's pattern."""
    offset = _OFFSETS[salt % len(_OFFSETS)]
    for number, bar in enumerate(range(0, beats, _BAR)):
        for place, held in PATTERNS[(2 * number + offset) % len(PATTERNS)] if number else CHARLESTON:
            if bar + place + _HALF < beats:
                yield bar, place, held
