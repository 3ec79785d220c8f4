"""The search for a line: the cheapest way through pitches, by dynamic programming.

Pitches are those of a hand, every semitone from its lowest to its highest, by index. What three notes in a row cost
depends on their distances alone. Costs are this project's design, chosen so that the lines of a deck, taken together,
move as transcribed solos do (`tests/lines/yardstick.py` names the source).
"""

from collections.abc import Sequence
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from deckbuilder.lines.palette import UNLAWFUL

Costs = NDArray[np.float64]

WIDEST: Final = 12
"""Semitones of the widest leap."""
MOVES: Final = np.array((1.0, 0.0, 0.2, 0.6, 1.0, 0.95, 1.4, 1.1, 1.3, 1.3, 1.6, 2.2, 1.8))
"""What a move costs, by semitones."""

_WIDE = 5  # semitones: a leap that wants balance
_BACK, _UNBALANCED = 1.6, 1.2


@lru_cache(maxsize=32)
def distances(count: int) -> NDArray[np.int_]:
    """Return the moves between so many neighbouring pitches: [from, to]."""
    pitches = np.arange(count)
    return pitches[None, :] - pitches[:, None]


def turn_costs(first: int, second: int, third: int) -> float:
    """Return what three pitches in a row cost beyond their moves."""
    one, other = second - first, third - second
    if one + other == 0:
        return _BACK if one else UNLAWFUL
    unbalanced = abs(one) >= _WIDE and one * other >= 0 and (abs(other) >= _WIDE or abs(one) > 2 * _WIDE)
    return _UNBALANCED * unbalanced


@lru_cache(maxsize=32)
def _turns(count: int) -> Costs:
    """Return what three pitches in a row cost; where the third is the first, such a turn is counted apart."""
    moves = range(1 - count, count)
    by_moves = np.array(
        [[np.inf if one + other == 0 else turn_costs(0, one, one + other) for other in moves] for one in moves]
    )
    away = distances(count) + count - 1
    return np.ascontiguousarray(by_moves[away[:, :, None], away[None, :, :]])


@lru_cache(maxsize=32)
def _again(count: int) -> Costs:
    """Return what it costs to go back to the pitch before: [from, to]."""
    return np.where(distances(count) == 0, UNLAWFUL, _BACK)


def cheapest(nodes: Sequence[Costs], edges: Sequence[Costs]) -> list[int]:
    """Find the cheapest way.

    Args:
        nodes: for each note, what every pitch costs.
        edges: for each note after the first, what every move into it costs: [from, to].

    Returns:
        A pitch's index for each note. Two pitches never alternate twice (A B A B).
    """
    if len(nodes) == 1:
        return [int(nodes[0].argmin())]
    turns = _turns(len(nodes[0]))
    again = _again(len(nodes[0]))
    fresh = nodes[0][:, None] + edges[0] + nodes[1][None, :]
    turned: Costs = np.full_like(fresh, np.inf)
    trail: list[tuple[Costs, NDArray[np.bool_]]] = []
    ways = np.empty_like(turns)  # written anew at every note: a large array takes longer to get than to fill
    for edge, node in zip(edges[1:], nodes[2:], strict=True):
        so_far = np.minimum(fresh, turned)
        trail.append((so_far, turned < fresh))
        last = edge + node[None, :]
        np.add(so_far[:, :, None], turns, out=ways)
        fresh, turned = np.minimum.reduce(ways) + last, fresh.T + again + last
    return _traced(fresh, turned, trail, turns)


def _traced(fresh: Costs, turned: Costs, trail: Sequence[tuple[Costs, NDArray[np.bool_]]], turns: Costs) -> list[int]:
    best = np.minimum(fresh, turned)
    before, last = (int(index) for index in np.unravel_index(int(best.argmin()), best.shape))
    is_turn = bool(turned[before, last] < fresh[before, last])
    backwards = [last, before]
    for so_far, was_turn in reversed(trail):
        earlier = last if is_turn else int((so_far[:, before] + turns[:, before, last]).argmin())
        is_turn = not is_turn and bool(was_turn[earlier, before])
        before, last = earlier, before
        backwards.append(before)
    return backwards[::-1]
