"""Inversions across the neck: the four inversions of a seventh chord from low to high, each under one hand.

An inversion is the chord's four tones upward from one of them, within an octave. Each begins on the next chord tone
above the start of the one before, in the same hand position or a higher one. Of all such climbs the one is taken that
uses the most hand positions, then the fewest strings to start from, then the easiest places, then the lowest (this
project's design: the climb is there to join the positions).
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from deckbuilder.neck.fingering import FingeredNote


@dataclass(frozen=True, slots=True)
class Inversion:
    """An inversion under one hand.

    Args:
        position: index fret of the hand.
        notes: the chord's tones upward from the one that it begins on.
    """

    position: int
    notes: tuple[FingeredNote, ...]

    @property
    def start(self) -> FingeredNote:
        """Its lowest note."""
        return self.notes[0]


def climb(runs: Mapping[int, Sequence[FingeredNote]], chord: Sequence[int]) -> tuple[Inversion, ...]:
    """Return all inversions of a chord from low to high.

    Args:
        runs: by index fret, what the hand holds of the chord there, lowest to highest.
        chord: the chord's pitch classes, each above the one before.

    Returns:
        As many inversions as the chord has tones; none where the hands do not hold them all.
    """
    found = [each for position, run in sorted(runs.items()) for each in _held(position, run, chord)]
    ways = [way for first in found for way in _climbs((first,), found, len(chord))]
    return min(ways, key=_dearness, default=())


def _held(position: int, run: Sequence[FingeredNote], chord: Sequence[int]) -> Iterator[Inversion]:
    """Yield the inversions that one hand holds whole."""
    size = len(chord)
    for first in range(len(run) - size + 1):
        notes = tuple(run[first : first + size])
        if {note.midi % 12 for note in notes} == set(chord) and notes[-1].midi - notes[0].midi < 12:
            yield Inversion(position, notes)


def _climbs(way: tuple[Inversion, ...], found: Sequence[Inversion], size: int) -> Iterator[tuple[Inversion, ...]]:
    if len(way) == size:
        yield way
        return
    last = way[-1]
    for each in found:
        if each.start.midi == last.notes[1].midi and each.position >= last.position:
            yield from _climbs((*way, each), found, size)


def _dearness(way: tuple[Inversion, ...]) -> tuple[int, int, int, int]:
    """Return what climbs are chosen by, best first."""
    return (
        -len({each.position for each in way}),
        len({each.start.place.string for each in way}),
        sum(note.cost for each in way for note in each.notes),
        way[0].start.midi,
    )
