"""Guide-tone lines: two voices through changes under one hand, each on a guide tone of every chord.

One voice begins on the third of the first chord, the other on its seventh, and together they always have both guide
tones of the chord. Of all ways that the hand finds, the one is taken whose voices move least in all; of those the one
that puts the voices on two strings, then close together, then in the middle of the hand's compass (common practice: a
guide-tone line moves by step or stays; no source).
"""

from collections.abc import Sequence
from itertools import product

from deckbuilder.neck.fingering import FingeredNote

Pair = tuple[FingeredNote, FingeredNote]
"""Where the two voices are: first the one that began on the third."""
Places = Sequence[FingeredNote]
_Cost = tuple[int, int, int, int, int]


def guide_lines(chords: Sequence[tuple[Places, Places]]) -> tuple[Pair, ...]:
    """Return where two voices go through changes.

    Args:
        chords: for each chord where the hand has its third and its seventh, or what stands for them.

    Returns:
        Both voices' places, chord by chord; none where the hand lacks a guide tone. A tone that stays keeps its place.
    """
    if not chords or not all(thirds and sevenths for thirds, sevenths in chords):
        return ()
    pitches = [note.midi for pair in chords for places in pair for note in places]
    middle = min(pitches) + max(pitches)
    first, *others = [
        [*product(thirds, sevenths), *(product(sevenths, thirds) if number else ())]
        for number, (thirds, sevenths) in enumerate(chords)
    ]
    ways: list[tuple[_Cost, tuple[Pair, ...]]] = [(_at_rest(pair, middle), (pair,)) for pair in first]
    for offers in others:
        ways = [_best(ways, pair, middle) for pair in offers]
    return _kept_in_place(min(ways, key=_by_cost)[1])


def motion(before: Pair, after: Pair) -> int:
    """Return the semitones that both voices move, counted together."""
    return sum(abs(one.midi - other.midi) for one, other in zip(before, after, strict=True))


def _best(ways: Sequence[tuple[_Cost, tuple[Pair, ...]]], pair: Pair, middle: int) -> tuple[_Cost, tuple[Pair, ...]]:
    """Lead the cheapest of some ways on to a pair."""
    led = ((_sum(cost, (motion(way[-1], pair), 0, 0, 0, 0)), way) for cost, way in ways)
    cost, way = min(led, key=_by_cost)
    return _sum(cost, _at_rest(pair, middle)), (*way, pair)


def _by_cost(way: tuple[_Cost, tuple[Pair, ...]]) -> tuple[_Cost, int]:
    cost, pairs = way
    return cost, pairs[0][0].midi


def _at_rest(pair: Pair, middle: int) -> _Cost:
    one, other = pair
    same_string = one.place.string == other.place.string
    return 0, same_string, abs(one.midi - other.midi), abs(one.midi + other.midi - middle), one.cost + other.cost


def _sum(cost: _Cost, other: _Cost) -> _Cost:
    a, b, c, d, e = (one + another for one, another in zip(cost, other, strict=True))
    return a, b, c, d, e


def _kept_in_place(way: tuple[Pair, ...]) -> tuple[Pair, ...]:
    """Leave a tone that stays where it is, wherever the next chord's scale would finger it."""
    kept = [way[0]]
    for after in way[1:]:
        one, other = (old if old.midi == new.midi else new for old, new in zip(kept[-1], after, strict=True))
        kept.append((one, other))
    return tuple(kept)
