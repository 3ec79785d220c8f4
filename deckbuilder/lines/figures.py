"""Figures: how a line comes to a note, and the cells that it strings together.

Figures are tables: an approach is a row of moves in semitones into the notes before an arrival and into the arrival
itself; a cell is a row of tones of its chord, each the next one up or down. Common practice, no source.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from deckbuilder.lines.palette import Palette

Moves = frozenset[int]


@dataclass(frozen=True, slots=True)
class Approach:
    """A way to come to a note.

    Args:
        name: what players call it.
        moves: the moves that may lead into each note, in semitones, the last one into the arrival.
    """

    name: str
    moves: tuple[Moves, ...]


_STEP_DOWN, _STEP_UP = frozenset({-1, -2}), frozenset({1, 2})
_BELOW, _ABOVE = frozenset({1}), frozenset({-1})

ENCLOSURE: Final = Approach("an enclosure", (frozenset({-2, -3}), _BELOW))
"""The scale step above, then the semitone below."""

APPROACHES: Final = (
    Approach("a semitone from below", (_BELOW,)),
    Approach("two semitones from above", (_ABOVE, _ABOVE)),
    ENCLOSURE,
    Approach("two semitones from below", (_BELOW, _BELOW)),
    Approach("a semitone from above", (_ABOVE,)),
    Approach("a step from above", (_STEP_DOWN,)),
    Approach("two semitones from above", (_ABOVE, _ABOVE)),
)
"""Ways to come to an arrival, the commonest one twice."""
BY_STEP: Final = (Approach("a step from above", (_STEP_DOWN,)), Approach("a step from below", (_STEP_UP,)))
"""Where no chromatic tone may come."""


@dataclass(frozen=True, slots=True)
class Cell:
    """A row of tones over a chord.

    Args:
        name: what players call it.
        steps: the tones, in semitones above the root; the first may lie in any octave.
        moves: the move into each tone after the first.
        then: the moves that may follow the last tone.
    """

    name: str
    steps: tuple[int, ...]
    moves: tuple[int, ...]
    then: Moves = frozenset()


def cells(palette: Palette) -> tuple[Cell, ...]:
    """List the cells that fit a chord.

    Args:
        palette: what the chord offers.
    """
    if not palette.free:
        return ()
    if palette.blue:
        return tuple(_blues(palette))
    found = list(_upper_triads(palette)) if len(palette.tensions) > 1 else list(_of_scale(palette))
    return tuple(found)


def _of_scale(palette: Palette) -> Iterator[Cell]:
    third, seventh = palette.guides
    steps = {"1": 0, "3": third, "7": seventh}
    steps |= {name: step for name, step in (("2", 2), ("4", 5), ("5", 7)) if step in palette.played}
    if 6 in palette.chord:
        steps["5"] = 6
    steps["9"] = steps.get("2", -1)
    for name, rising in (("3-5-7-9", True), ("1-2-3-5", True), ("5-4-3-1", False)):
        row = [steps.get(degree, -1) for degree in name.split("-")]
        if min(row) >= 0 and len(set(row)) == len(row):
            yield _row(name, row, rising=rising, then=_STEP_DOWN if name == "3-5-7-9" else frozenset())
    if not palette.harmony.function.is_dominant:
        if third == 4 and 9 in palette.played and 7 in palette.played:
            yield _row("passing #5", (9, 8, 7, 5), rising=False)
        return
    yield _row("passing 7", (0, 11, 10, 9 if 9 in palette.played else 8), rising=False)
    if 7 in palette.played:
        yield _row("dim7 on the 3", (4, 7, 10, 1), rising=True, then=_ABOVE)


def _upper_triads(palette: Palette) -> Iterator[Cell]:
    """Yield the major and minor triads of an altered dominant's scale that have two tensions or more, up and down."""
    for root in sorted(palette.played):
        for kind, third in (("", 4), ("m", 3)):
            triad = (root, (root + third) % 12, (root + 7) % 12)
            if set(triad) <= palette.played and len(palette.tensions.intersection(triad)) > 1:
                yield _row(f"triad{kind} {root}", (*triad, triad[0]), rising=True)
                yield _row(f"triad{kind} {root}", (*triad[::-1], triad[2]), rising=False)


def _blues(palette: Palette) -> Iterator[Cell]:
    """Yield turns of the blues scale over a dominant of a blues: ♭3 to 3, and down the scale from its 5."""
    if 3 in palette.blue:
        yield _row("b3 to 3", (3, 4, 7, 9), rising=True)
        yield _row("b3 to 3", (3, 4, 0, 10), rising=None)
        yield _row("blues scale", (7, 6, 5, 3), rising=False, then=frozenset({-3, 1}))
        yield _row("blues scale", (0, 10, 7, 6), rising=False, then=frozenset({-1}))
    yield from _of_scale(palette)


def _row(name: str, steps: tuple[int, ...] | list[int], *, rising: bool | None, then: Moves = frozenset()) -> Cell:
    """Make a cell that goes up, down, or by the smallest moves."""
    up = [(after - before) % 12 or 12 for before, after in pairwise(steps)]
    if rising is None:
        moves = [move if move <= 6 else move - 12 for move in up]
    else:
        moves = up if rising else [move - 12 or -12 for move in up]
    return Cell(name, tuple(steps), tuple(moves), then)
