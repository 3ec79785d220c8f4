"""Patterns: what weak answers have in common, said as a player would.

All descriptions with one or two parts are tried — regions (one, or two neighbours), keys (one, the flat ones, the sharp
ones), a chord or a colour, where the arpeggio starts, the kind of card — and the one that lies surest below the rest is
taken, if it would be weak among all those tried (see `figures`). It is told only if it is weak even without the one
cell that weighs most in it: one bad cell is named as such and is nothing in common. Its cards are then set aside and
the search goes on among the others, so that one weakness is not told twice.

What names a region or a key is compared with the same levels elsewhere, since a place is not weak for the level at
which it was met. What names none is compared with everything: a chord belongs to its level.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from hashlib import blake2b
from itertools import combinations, pairwise

import numpy as np
from numpy.typing import NDArray

from deckbuilder.cards.labels import label_of
from deckbuilder.progress.cells import (
    FLAT_KEYS,
    REGIONS,
    SHARP_KEYS,
    Cell,
    any_tag,
    arpeggios_name,
    cell_of,
    chord_of,
    colour_name,
    source_name,
)
from deckbuilder.progress.figures import ENOUGH, is_weak
from deckbuilder.progress.inference import CONFIDENCE, Comparison, Counts, below_rest, holm, wilson
from deckbuilder.progress.records import Card
from deckbuilder.progress.study import Study
from deckbuilder.speech import _
from deckbuilder.theory.keys import key_label

MOST = 4
"""Patterns that are told at most."""
_MOST_PARTS = 60
"""Parts of one group that are tried: a history has far fewer, unless somebody invents them."""

_GROUPS = ("matter", "source", "kind", "region", "key")
"""Parts of a description in the order in which they are said; at most one of each."""

_OF_PLACES = ("region", "key")

Mask = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Pattern:
    """A weakness that spans cells.

    Args:
        subject: what it is of.
        everywhere: whether its name says that it is so in every key and region.
        recalls: how many recalls it covers.
        recalled: how many of them succeeded.
        low: lower end of the 95 % interval of their share.
        high: upper end.
        rest: the share that the other cards reach after the same waits.
        chance: that chance alone would name it or any other, all descriptions compared at once.
        rows: of its cards in the history.
        search: what finds its cards in an app, in any tuning.
        about: the same without its places.
        tags: what its notes bear, besides the tags of its places.
    """

    subject: str
    everywhere: bool
    recalls: int
    recalled: int
    low: float
    high: float
    rest: float
    chance: float
    rows: frozenset[int]
    search: str
    about: str
    tags: tuple[str, ...]

    @property
    def words(self) -> str:
        """Its name."""
        return _("{cards} everywhere", cards=self.subject) if self.everywhere else self.subject

    @property
    def share(self) -> float:
        """Share of recalls that succeeded."""
        return self.recalled / self.recalls


@dataclass(frozen=True, eq=False, slots=True)
class _Part:
    """What describes some cards, with how it is said beside another part, and alone where that is otherwise."""

    group: str
    words: str
    cards: Mask
    search: str
    alone: str = ""
    tags: tuple[str, ...] = ()


_Description = tuple[_Part, ...]


def patterns(study: Study) -> tuple[Pattern, ...]:
    """Return what weak answers have in common, the surest first.

    Args:
        study: the history.
    """
    rows, trials, successes = study.by_card()
    cards = [study.history.cards[row] for row in rows]
    descriptions = list(_descriptions(cards, trials.sum(axis=(1, 2))))
    cells = list(_cells(cards))
    found: list[Pattern] = []
    while descriptions and len(found) < MOST:
        surest = _surest(descriptions, trials, successes)
        if surest is None:
            break
        best, chance = surest
        mask = _mask(best)
        heaviest = _heaviest(cells, mask, trials, successes)
        without = mask.copy()
        without[heaviest] = False
        if _compared(without, trials, successes, _is_placed(best)).p <= 1 - CONFIDENCE:
            recalls, recalled = int(trials[mask].sum()), int(successes[mask].sum())
            rest = _compared(mask, trials, successes, _is_placed(best)).expected or 0.0
            own = frozenset(map(int, rows[mask]))
            said, interval = (_said(best), not _is_placed(best)), wilson(recalled, recalls)
            searches = _search(best), _search(part for part in best if part.group not in _OF_PLACES)
            tags = _tags(best, [card for card, inside in zip(cards, mask, strict=True) if inside])
            found.append(Pattern(*said, recalls, recalled, *interval, rest, chance, own, *searches, tags))
            trials[mask] = successes[mask] = 0
        else:
            trials[heaviest] = successes[heaviest] = 0
    return tuple(found)


def _cells(cards: Sequence[Card]) -> Iterator[list[int]]:
    """Yield the places of each cell's cards among some cards."""
    found: dict[Cell, list[int]] = {}
    for place, card in enumerate(cards):
        cell = cell_of(card)
        if cell is not None:
            found.setdefault(cell, []).append(place)
    yield from found.values()


def _heaviest(cells: Sequence[list[int]], mask: Mask, trials: Counts, successes: Counts) -> list[int]:
    """Return the rows of the cell, of those that a set of cards touches, that lies surest below all others."""
    inside = [rows for rows in cells if mask[rows].any()]
    return max(inside, key=lambda rows: _compared(rows, trials, successes, True).deviate, default=[])


def _compared(rows: Mask | list[int], trials: Counts, successes: Counts, within_levels: bool) -> Comparison:
    own = trials[rows].sum(axis=0), successes[rows].sum(axis=0)
    counts = (*own, trials.sum(axis=0), successes.sum(axis=0))
    return below_rest(*(count.ravel() if within_levels else count.sum(axis=0) for count in counts))


def _surest(
    descriptions: Sequence[_Description], trials: Counts, successes: Counts
) -> tuple[_Description, float] | None:
    """Return the description of the cards that lie surest below the rest, and the chance of it, if any are weak."""
    judged: list[tuple[_Description, float, Comparison]] = []
    for description in descriptions:
        mask = _mask(description)
        count = float(trials[mask].sum())
        if count >= ENOUGH:
            comparison = _compared(mask, trials, successes, _is_placed(description))
            judged.append((description, float(successes[mask].sum()) / count, comparison))
    adjusted = holm([comparison.p for _, _, comparison in judged])
    weak = [
        (comparison.deviate, description, p)
        for (description, share, comparison), p in zip(judged, adjusted, strict=True)
        if is_weak(share, comparison, p)
    ]
    return max(weak, key=lambda found: found[0])[1:] if weak else None


def _descriptions(cards: Sequence[Card], recalls: Counts) -> Iterator[_Description]:
    """Yield each set of cards that one or two parts describe, once, by its simplest description.

    Args:
        cards: cards that have recalls.
        recalls: how many each has; what describes too few of them to be judged is left out.
    """
    parts = _most_recalled(_parts(cards), recalls)
    seen: set[bytes] = set()
    singles = [(part,) for part in parts]
    pairs = [pair for pair in combinations(parts, 2) if pair[0].group != pair[1].group]
    for chosen in (*singles, *pairs):
        mask = _mask(chosen)
        if recalls[mask].sum() < ENOUGH or mask.all():
            continue
        key = blake2b(np.packbits(mask).tobytes(), digest_size=16).digest()
        if key not in seen:
            seen.add(key)
            yield chosen


def _most_recalled(parts: Iterable[_Part], recalls: Counts) -> list[_Part]:
    """Leave out parts with too few recalls to be judged and, of a group that has very many, those with the fewest."""
    told = [(part, count) for part in parts if (count := float(recalls[part.cards].sum())) >= ENOUGH]
    kept: set[int] = set()
    for group in _GROUPS:
        own = [number for number, (part, _) in enumerate(told) if part.group == group]
        kept.update(sorted(own, key=lambda number: -told[number][1])[:_MOST_PARTS])
    return [told[number][0] for number in sorted(kept)]


def _mask(parts: _Description) -> Mask:
    found: Mask = np.logical_and.reduce([part.cards for part in parts])
    return found


def _is_placed(parts: _Description) -> bool:
    return any(part.group in _OF_PLACES for part in parts)


def _said(parts: _Description) -> str:
    ordered = sorted(parts, key=lambda part: _GROUPS.index(part.group))
    if len(ordered) == 1:
        return ordered[0].alone or ordered[0].words
    one, other = (part.words for part in ordered)
    return _("{one} {other}", one=one, other=other)


def _search(parts: Iterable[_Part]) -> str:
    return " ".join(part.search for part in sorted(parts, key=lambda part: _GROUPS.index(part.group)))


def _tags(parts: _Description, cards: Sequence[Card]) -> tuple[str, ...]:
    """Return what notes bear that parts describe; a kind is told by the facts that it asks about."""
    of_parts = (tag for part in parts for tag in part.tags)
    facts = sorted({card.axes["fact"] for card in cards}) if any(part.group == "kind" for part in parts) else ()
    return (*of_parts, *(f"fact::{fact}" for fact in facts))


def _parts(cards: Sequence[Card]) -> Iterator[_Part]:
    kinds = np.array([card.kind for card in cards])
    chords = np.array([chord_of(card) or "" for card in cards])
    regions, keys, colours, sources = (
        np.array([card.axes.get(axis, "") for card in cards]) for axis in ("region", "key", "colour", "source")
    )
    for colour in _values(colours):
        yield _tagged("matter", colour_name(colour), colours == colour, {"colour": colour})
    for chord in _values(chords):
        axes = cards[int(np.argmax(chords == chord))].axes
        named = {axis: axes[axis] for axis in ("function", "colour") if axis in axes}
        yield _tagged("matter", chord, chords == chord, named)
    for source in _values(sources):
        part = _tagged("source", source_name(source), sources == source, {"source": source})
        yield replace(part, alone=arpeggios_name(source))
    for kind in _values(kinds):
        yield _Part("kind", _("{kind} cards", kind=label_of(kind)), kinds == kind, f"card:{kind}")
    numbers = sorted(int(value) for value in _values(regions) if value in REGIONS)
    for number in numbers:
        tag = any_tag("region", [number])
        yield _Part("region", _("region {number}", number=number), regions == str(number), tag)
    for one, other in pairwise(numbers):
        both = np.isin(regions, [str(one), str(other)])
        said = _("regions {one} and {other}", one=one, other=other)
        yield _Part("region", said, both, any_tag("region", [one, other]))
    for key in _values(keys):
        yield _Part("key", _("in {key}", key=key_label(key)), keys == key, any_tag("key", [key]), key_label(key))
    for group, within, alone in (
        (FLAT_KEYS, _("in flat keys"), _("flat keys")),
        (SHARP_KEYS, _("in sharp keys"), _("sharp keys")),
    ):
        met = [key for key in group if key in keys]
        if met:
            yield _Part("key", within, np.isin(keys, group), any_tag("key", met), alone)


def _tagged(group: str, said: str, cards: Mask, tags: Mapping[str, str]) -> _Part:
    search = " ".join(any_tag(axis, [value]) for axis, value in tags.items())
    return _Part(group, said, cards, search, tags=tuple(f"{axis}::{value}" for axis, value in tags.items()))


def _values(column: NDArray[np.str_]) -> list[str]:
    return [str(value) for value in np.unique(column) if value]
