"""Patterns: what weak answers have in common, said as a player would.

All descriptions with one or two parts are tried — regions (one, or two neighbours), keys (one, the flat ones, the sharp
ones), a chord or a colour, where the arpeggio starts, the kind of card — and the one that lies surest below the rest is
taken, if it would be weak among all those tried (see `figures`). It is told only if it is weak even without the one
cell that weighs most in it: one bad cell is named as such and is nothing in common. Its cards are then set aside and
the search goes on among the others, so that one weakness is not told twice.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

import numpy as np
from numpy.typing import NDArray

from deckbuilder.progress.cells import FLAT_KEYS, SHARP_KEYS, cell_of, chord_of, colour_name
from deckbuilder.progress.figures import ENOUGH, is_weak
from deckbuilder.progress.history import Card
from deckbuilder.progress.inference import CONFIDENCE, Comparison, Counts, below_rest, holm, wilson
from deckbuilder.progress.study import Study
from deckbuilder.theory.tones import pretty

MOST = 4
"""Patterns that are told at most."""

_GROUPS = ("matter", "source", "kind", "region", "key")
"""Parts of a description in the order in which they are said; at most one of each."""

Mask = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Pattern:
    """A weakness that spans cells.

    Args:
        words: its name.
        recalls: how many recalls it covers.
        recalled: how many of them succeeded.
        low: lower end of the 95 % interval of their share.
        high: upper end.
        rest: the share that the other cards reach after the same waits.
    """

    words: str
    recalls: int
    recalled: int
    low: float
    high: float
    rest: float

    @property
    def share(self) -> float:
        """Share of recalls that succeeded."""
        return self.recalled / self.recalls


@dataclass(frozen=True, eq=False, slots=True)
class _Part:
    group: str
    words: str
    cards: Mask


def patterns(study: Study) -> tuple[Pattern, ...]:
    """Return what weak answers have in common, the surest first.

    Args:
        study: the history.
    """
    descriptions = list(_descriptions(study.history.cards))
    cells = [rows for cell, rows in study.members(cell_of).items() if cell is not None]
    trials, successes = study.pooled()
    found: list[Pattern] = []
    while descriptions and len(found) < MOST:
        masks = np.array([mask for _, mask in descriptions], dtype=float)
        best = _surest(masks @ trials, masks @ successes, trials.sum(axis=0), successes.sum(axis=0))
        if best is None:
            break
        words, mask = descriptions[best]
        heaviest = _heaviest(cells, mask, trials, successes)
        without = mask.copy()
        without[heaviest] = False
        if _compared(without, trials, successes).p <= 1 - CONFIDENCE:
            recalls, recalled = int(trials[mask].sum()), int(successes[mask].sum())
            rest = _compared(mask, trials, successes).expected or 0.0
            found.append(Pattern(words, recalls, recalled, *wilson(recalled, recalls), rest))
            trials[mask] = successes[mask] = 0
        else:
            trials[heaviest] = successes[heaviest] = 0
    return tuple(found)


def _heaviest(cells: Sequence[list[int]], mask: Mask, trials: Counts, successes: Counts) -> list[int]:
    """Return the rows of the cell, of those that a set of cards touches, that lies surest below all others."""
    inside = [rows for rows in cells if mask[rows].any()]
    return max(inside, key=lambda rows: _compared(rows, trials, successes).deviate, default=[])


def _compared(rows: Mask | list[int], trials: Counts, successes: Counts) -> Comparison:
    return below_rest(trials[rows].sum(axis=0), successes[rows].sum(axis=0), trials.sum(axis=0), successes.sum(axis=0))


def _surest(group_trials: Counts, group_successes: Counts, trials: Counts, successes: Counts) -> int | None:
    """Return the number of the description that lies surest below the rest, if it is weak at all."""
    judged = [number for number, row in enumerate(group_trials) if row.sum() >= ENOUGH]
    comparisons = [below_rest(group_trials[number], group_successes[number], trials, successes) for number in judged]
    adjusted = holm([comparison.p for comparison in comparisons])
    weak = [
        (comparison.deviate, number)
        for number, comparison, p in zip(judged, comparisons, adjusted, strict=True)
        if is_weak(group_successes[number].sum() / group_trials[number].sum(), comparison, p)
    ]
    return max(weak, key=lambda pair: (pair[0], -pair[1]))[1] if weak else None


def _descriptions(cards: Sequence[Card]) -> Iterator[tuple[str, Mask]]:
    """Yield each set of cards that one or two parts describe, once, by its simplest description."""
    parts = list(_parts(cards))
    seen: set[bytes] = set()
    singles = [(part,) for part in parts]
    pairs = [pair for pair in combinations(parts, 2) if pair[0].group != pair[1].group]
    for chosen in (*singles, *pairs):
        mask = np.logical_and.reduce([part.cards for part in chosen])
        if mask.any() and not mask.all() and (key := mask.tobytes()) not in seen:
            seen.add(key)
            yield _said(chosen), mask


def _said(parts: Sequence[_Part]) -> str:
    ordered = sorted(parts, key=lambda part: _GROUPS.index(part.group))
    placed = any(part.group in ("region", "key") for part in parts)
    words = " ".join(part.words for part in ordered)
    if len(parts) == 1 and parts[0].group == "key":
        return words.removeprefix("in ")
    return words if placed else f"{words} everywhere"


def _parts(cards: Sequence[Card]) -> Iterator[_Part]:
    kinds = np.array([card.kind for card in cards])
    chords = np.array([chord_of(card) or "" for card in cards])
    regions, keys, colours, sources = (
        np.array([card.axes.get(axis, "") for card in cards]) for axis in ("region", "key", "colour", "source")
    )
    for colour in _values(colours):
        yield _Part("matter", colour_name(colour), colours == colour)
    for chord in _values(chords):
        yield _Part("matter", chord, chords == chord)
    for source in _values(sources):
        yield _Part("source", f"from the {source}", sources == source)
    for kind in _values(kinds):
        yield _Part("kind", f"{kind} cards", kinds == kind)
    numbers = sorted(int(value) for value in _values(regions) if value.isdecimal())
    for number in numbers:
        yield _Part("region", f"region {number}", regions == str(number))
    for one, other in pairwise(numbers):
        yield _Part("region", f"regions {one} and {other}", np.isin(regions, [str(one), str(other)]))
    for key in _values(keys):
        yield _Part("key", f"in {pretty(key)}", keys == key)
    for words, names in (("in flat keys", FLAT_KEYS), ("in sharp keys", SHARP_KEYS)):
        yield _Part("key", words, np.isin(keys, names))


def _values(column: NDArray[np.str_]) -> list[str]:
    return [str(value) for value in np.unique(column) if value]
