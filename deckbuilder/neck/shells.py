"""Shells on three neighbouring strings: guide tones on the lower two, one tension on the upper, led string by string.

A grip lies under one hand, without open strings, so that it moves to every key as it is. Of all grips the ones are
taken whose voices, each on its string, exceed a whole step least and move least in all, a less preferred tension
counting as a whole step; then those nearest the middle of the neck (common practice; no source).
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, product
from typing import Final, NamedTuple

from deckbuilder.neck.tuning import Place, Tuning

SIZE: Final = 3
"""Strings of a set."""
_LOWEST_OPEN: Final = 45
"""A2: guide tones on lower strings are muddy (common practice)."""
_HIGHEST, _MIDDLE = 16, 7
"""Frets above the nut or the capo: the last that a grip uses, and where it lies best."""
_RUBS: Final = frozenset({1, 13})
_STEP: Final = 2
_BEYOND_A_STEP: Final = 20
_LESS_PREFERRED: Final = 2


class Stopped(NamedTuple):
    """A note of a grip."""

    midi: int
    place: Place


Grip = tuple[Stopped, ...]
"""Notes of a chord, one a string, in the order of the string set."""


@dataclass(frozen=True, slots=True)
class ShellTones:
    """What a grip of a chord may hold, as pitch classes.

    Args:
        third: its third, or what stands for it.
        seventh: its seventh, or what stands for it.
        tensions: tones for the upper string, the preferred first.
    """

    third: int
    seventh: int
    tensions: tuple[int, ...]


def string_sets(tuning: Tuning) -> tuple[tuple[int, ...], ...]:
    """Return the sets of three neighbouring strings on which shells sound clear, as string numbers from the lowest.

    Args:
        tuning: the open strings; where all are low, the last three.
    """
    numbered = list(tuning.numbered())
    sets = [numbered[first : first + SIZE] for first in range(len(numbered) - SIZE + 1)]
    clear = [each for each in sets if min(midi for _, midi in each) >= _LOWEST_OPEN] or sets[-1:]
    return tuple(tuple(string for string, _ in each) for each in clear)


def led_shells(tuning: Tuning, strings: Sequence[int], chords: Sequence[ShellTones], *, frets: int) -> tuple[Grip, ...]:
    """Lead shells through changes.

    Args:
        tuning: the open strings, above the capo if there is one.
        strings: numbers of the strings, guide tones on the first two.
        chords: the chords.
        frets: the highest fret, counted from the open strings.

    Returns:
        One grip a chord, frets counted from the open strings; none where a chord has none on these strings.
    """
    ways: list[tuple[tuple[int, int], tuple[Grip, ...]]] = [((0, 0), ())]
    for tones in chords:
        offers = list(_grips(tuning, strings, tones, frets))
        ways = [_led_on(ways, grip, disliked) for grip, disliked in offers]
        if not ways:
            return ()
    return min(ways)[1]


def motion(before: Grip, after: Grip) -> int:
    """Return what it costs to go from grip to grip: semitones, and more for what exceeds a whole step."""
    sizes = [abs(one.midi - other.midi) for one, other in zip(before, after, strict=True)]
    return sum(sizes) + _BEYOND_A_STEP * sum(max(0, size - _STEP) for size in sizes)


def _led_on(
    ways: Sequence[tuple[tuple[int, int], tuple[Grip, ...]]], grip: Grip, disliked: int
) -> tuple[tuple[int, int], tuple[Grip, ...]]:
    off_middle = abs(sum(note.place.fret for note in grip) - _MIDDLE * len(grip))
    return min(
        ((cost + disliked + (motion(way[-1], grip) if way else 0), off + off_middle), (*way, grip))
        for (cost, off), way in ways
    )


def _grips(tuning: Tuning, strings: Sequence[int], tones: ShellTones, frets: int) -> Iterator[tuple[Grip, int]]:
    """Yield the grips of a chord, each with what speaks against its tension."""
    opens = dict(tuning.numbered())
    guides = ((tones.third, tones.seventh), (tones.seventh, tones.third))
    for pair, (number, tension) in product(guides, enumerate(tones.tensions)):
        wanted = zip(strings, (*pair, tension), strict=True)
        for grip in product(*(_stopped(string, opens[string], tone, frets) for string, tone in wanted)):
            used = [note.place.fret for note in grip]
            rubs = any(abs(one.midi - other.midi) in _RUBS for one, other in combinations(grip, 2))
            if max(used) - min(used) < tuning.hand.span and not rubs:
                yield grip, _LESS_PREFERRED * number


def _stopped(string: int, open_midi: int, tone: int, frets: int) -> list[Stopped]:
    places = range(1, min(_HIGHEST, frets) + 1)
    return [Stopped(open_midi + fret, Place(string, fret)) for fret in places if (open_midi + fret) % 12 == tone]
