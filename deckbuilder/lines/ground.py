"""Ground: what a chord's tones and the moves between them cost under a hand, as arrays over its pitches.

Laws are dear (`UNLAWFUL`), taste is cheap. Laws: a strong beat has a tone of the chord, one of its altered tensions or
a ninth or thirteenth; a chromatic tone is left by a semitone, a blue one by a minor third at most; no leap exceeds an
octave. The other costs are this project's design.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from deckbuilder.lines.palette import UNLAWFUL, Palette
from deckbuilder.lines.position import Position, reach
from deckbuilder.lines.search import MOVES, WIDEST, Costs, distances
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


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """A chord under a hand.

    Args:
        palette: what the chord offers.
        pitches: MIDI numbers, ascending by semitones.
        places: where each pitch is fretted; None where the hand does not reach it.
        steps: the pitches above the chord's root, 0 to 11.
        strong: what each pitch costs on a strong beat.
        weak: what it costs elsewhere, chromatic tones only off the beat.
        chromatic: which pitches are neither played over the chord nor blue.
    """

    palette: Palette
    pitches: range
    places: tuple[Place | None, ...]
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


def _reach(position: Position, palette: Palette) -> dict[int, tuple[Place, int]]:
    found = reach(position, palette.harmony.scale.pitch_classes)
    return {midi: (note.place, note.cost) for midi, note in found.items()}


@lru_cache(maxsize=1024)
def ground(palette: Palette, position: Position, pitches: range) -> Ground:
    """Return a chord under a hand.

    Args:
        palette: what the chord offers.
        position: the hand in its region.
        pitches: MIDI numbers, ascending by semitones.
    """
    found = _reach(position, palette)
    steps = [palette.step_of(midi) for midi in pitches]
    hand_costs = np.array([_HAND * found[midi][1] if midi in found else UNREACHED for midi in pitches])
    chromatic = np.array([step not in palette.played and step not in palette.blue for step in steps])
    if not palette.free:
        hand_costs = hand_costs + UNREACHED * chromatic
    strong = [_BLUE_STRONG if step in palette.blue else palette.on_strong_beat(step) for step in steps]
    weak = [
        0.0
        if step in palette.chord
        else _BLUE
        if step in palette.blue
        else _SCALE
        if step in palette.played
        else _CHROMATIC
        for step in steps
    ]
    return Ground(
        palette,
        pitches,
        tuple(found[midi][0] if midi in found else None for midi in pitches),
        np.array(steps),
        hand_costs + np.array(strong),
        hand_costs + np.array(weak),
        chromatic,
    )


@lru_cache(maxsize=4096)
def moves(before: Ground, after: Ground, rested: bool) -> Costs:
    """Return what every move costs from a pitch over a chord to one over the same or the next chord: [from, to].

    Args:
        before: the chord of the first note.
        after: the chord of the second one.
        rested: whether a rest of more than a beat lies between.
    """
    size = np.abs(distances(len(before.pitches)))
    costs = np.where(size > WIDEST, UNLAWFUL, np.take(MOVES, np.minimum(size, WIDEST)))
    if rested:
        return _AFTER_REST * costs
    strings = (_strings(before)[:, None], _strings(after)[None, :])
    costs = costs + _SKIPPED_STRING * np.maximum(np.abs(strings[0] - strings[1]) - 1, 0)
    palette = before.palette
    blue = before.among(palette.blue) if palette.blue else np.zeros(len(size), dtype=bool)
    stable = before.among(palette.chord)
    loose = ~stable & ~before.chromatic
    costs = costs + UNLAWFUL * (before.chromatic[:, None] & (size != 1))
    costs = costs + UNLAWFUL * (blue[:, None] & (size > _STEP + 1))
    costs = costs + _LEFT_BY_LEAP * (loose[:, None] & (size > _THIRD))
    costs = costs + _LEFT_BY_LEAP * (before.among(palette.avoided)[:, None] & (size > _STEP))
    costs = costs + _FAR_INTO_CHROMATIC * (after.chromatic[None, :] & (size > _THIRD))
    if before is not after:
        costs = costs + _CROSSING * np.maximum(size - _STEP, 0) + _LEFT_BY_LEAP * (loose[:, None] & (size > _STEP))
    return np.asarray(costs)


def _strings(ground: Ground) -> NDArray[np.int_]:
    return np.array([place.string if place else 0 for place in ground.places])
