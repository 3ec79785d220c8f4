"""Ground: what a chord's tones and the moves between them cost under a hand, as arrays over its pitches.

Laws are dear (`UNLAWFUL`), taste is cheap. Laws: a strong beat has a tone of the chord, one of its altered tensions or
a ninth or thirteenth; a chromatic tone is left by a semitone, a blue one by a minor third at most; no leap exceeds an
octave. The other costs are this project's design.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from deckbuilder.lines.palette import UNLAWFUL, Palette
from deckbuilder.lines.position import Position, reach
from deckbuilder.lines.search import MOVES, WIDEST, Costs, distances
from deckbuilder.neck.fingering import FingeredNote
from deckbuilder.neck.tuning import NeckError, Place

UNREACHED = 1e7
"""What a pitch costs that the hand does not reach."""

_HAND = 0.8  # for each unit of a fingering's cost
_SCALE, _CHROMATIC, _BLUE, _BLUE_STRONG = 0.25, 1.7, 0.7, 2.2
_SKIPPED_STRING = 0.4
_CROSSING = 0.3  # a semitone beyond a step from chord to chord: voices lead
_STEP, _THIRD = 2, 4
_LEFT_BY_LEAP, _FAR_INTO_CHROMATIC = 2.5, 1.5
_AFTER_REST = 0.4  # of what the same move costs without one

Mask = NDArray[np.bool_]


class Form(NamedTuple):
    """What of a chord under a hand decides about moves; chords of other keys, and of other regions, have the same.

    Args:
        strings: the string of each pitch, 0 for none.
        lowest: the lowest pitch above the chord's root, 0 to 11.
        chord: the chord's tones.
        blue: blue tones.
        avoided: tones that pass only.
        known: all tones that are no chromatic ones.
    """

    strings: tuple[int, ...]
    lowest: int
    chord: frozenset[int]
    blue: frozenset[int]
    avoided: frozenset[int]
    known: frozenset[int]

    def among(self, steps: frozenset[int]) -> Mask:
        """Return which pitches are one of some tones above the root."""
        return _table(steps)[(np.arange(len(self.strings)) + self.lowest) % 12]


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """A chord under a hand.

    Args:
        palette: what the chord offers.
        pitches: MIDI numbers, ascending by semitones.
        places: where each pitch is fretted; None where the hand does not reach it.
        form: what decides about moves.
        steps: the pitches above the chord's root, 0 to 11.
        strong: what each pitch costs on a strong beat.
        weak: what it costs elsewhere, chromatic tones only off the beat.
        chromatic: which pitches are neither played over the chord nor blue.
    """

    palette: Palette
    pitches: range
    places: tuple[Place | None, ...]
    form: Form
    steps: NDArray[np.int_]
    strong: Costs
    weak: Costs
    chromatic: Mask

    def among(self, steps: frozenset[int]) -> Mask:
        """Return which pitches are one of some tones above the root."""
        return _table(steps)[self.steps]


@lru_cache(maxsize=1024)
def _table(steps: frozenset[int]) -> Mask:
    """Return for each tone above the root whether it is one of some."""
    return np.array([step in steps for step in range(12)])


def compass(position: Position, palettes: tuple[Palette, ...]) -> range:
    """Return the pitches from the lowest to the highest that a hand reaches.

    Args:
        position: the hand in its region.
        palettes: the chords.

    Raises:
        NeckError: over some chord the hand reaches nothing.
    """
    reached = [[midi for midi in _reach(position, each) if each.step_of(midi) in each.played] for each in palettes]
    if not all(reached):
        raise NeckError("a line needs chords with notes in reach; choose another region or tuning")
    return range(min(map(min, reached)), max(map(max, reached)) + 1)


def _reach(position: Position, palette: Palette) -> Mapping[int, FingeredNote]:
    return reach(position, palette.harmony.scale.pitch_classes)


@lru_cache(maxsize=1024)
def ground(palette: Palette, position: Position, pitches: range) -> Ground:
    """Return a chord under a hand.

    Args:
        palette: what the chord offers.
        position: the hand in its region.
        pitches: MIDI numbers, ascending by semitones.
    """
    found = _reach(position, palette)
    steps = (np.arange(len(pitches)) + palette.step_of(pitches[0])) % 12
    hand_costs = np.array([_HAND * found[midi].cost if midi in found else UNREACHED for midi in pitches])
    known = palette.played | palette.blue
    chromatic = ~_table(known)[steps]
    if not palette.free:
        hand_costs = hand_costs + UNREACHED * chromatic
    strong = np.array([_BLUE_STRONG if step in palette.blue else palette.on_strong_beat(step) for step in range(12)])
    weak = np.array([_on_weak_beat(palette, step) for step in range(12)])
    places = tuple(found[midi].place if midi in found else None for midi in pitches)
    strings = tuple(place.string if place else 0 for place in places)
    return Ground(
        palette,
        pitches,
        places,
        Form(strings, int(steps[0]), palette.chord, palette.blue, palette.avoided, known),
        steps,
        hand_costs + strong[steps],
        hand_costs + weak[steps],
        chromatic,
    )


def _on_weak_beat(palette: Palette, step: int) -> float:
    if step in palette.chord:
        return 0.0
    if step in palette.blue:
        return _BLUE
    return _SCALE if step in palette.played else _CHROMATIC


@lru_cache(maxsize=4096)
def moves(before: Ground, after: Ground, rested: bool) -> Costs:
    """Return what every move costs from a pitch over a chord to one over the same or the next chord: [from, to].

    Args:
        before: the chord of the first note.
        after: the chord of the second one.
        rested: whether a rest of more than a beat lies between.
    """
    return _moves(before.form, after.form, rested, before is not after)


@lru_cache(maxsize=32)
def _sizes(count: int) -> tuple[NDArray[np.int_], Costs]:
    """Return the sizes of the moves between so many pitches, and what these cost anywhere: [from, to]."""
    size = np.abs(distances(count))
    return size, np.where(size > WIDEST, UNLAWFUL, np.take(MOVES, np.minimum(size, WIDEST)))


@lru_cache(maxsize=1024)
def _moves(before: Form, after: Form, rested: bool, crossing: bool) -> Costs:
    size, costs = _sizes(len(before.strings))
    if rested:
        return _AFTER_REST * costs
    strings = np.array(before.strings)[:, None], np.array(after.strings)[None, :]
    costs = costs + _SKIPPED_STRING * np.maximum(np.abs(strings[0] - strings[1]) - 1, 0)
    known = before.among(before.known)
    loose = known & ~before.among(before.chord)
    costs = costs + UNLAWFUL * (~known[:, None] & (size != 1))
    costs = costs + UNLAWFUL * (before.among(before.blue)[:, None] & (size > _STEP + 1))
    costs = costs + _LEFT_BY_LEAP * (loose[:, None] & (size > _THIRD))
    costs = costs + _LEFT_BY_LEAP * (before.among(before.avoided)[:, None] & (size > _STEP))
    costs = costs + _FAR_INTO_CHROMATIC * (~after.among(after.known)[None, :] & (size > _THIRD))
    if crossing:
        costs = costs + _CROSSING * np.maximum(size - _STEP, 0) + _LEFT_BY_LEAP * (loose[:, None] & (size > _STEP))
    return np.asarray(costs)
