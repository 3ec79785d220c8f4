"""Work: the places in which to work on what is weak, for the search, the small deck and the sheet alike.

Places that are surely weak themselves come first. Then comes what is weak wherever it is asked, the surest first, each
in turn with a place of its own: where it went worst, if places differ more than chance would have them (chi-square test
of homogeneity: K. Pearson, “On the criterion …”, Philosophical Magazine 50 (1900)), else where it was asked last. A
player of whom nothing is named has nothing to work on apart.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain, islice, zip_longest

from scipy.stats import chi2

from deckbuilder.progress.analysis import Analysis
from deckbuilder.progress.cells import Cell, cell_of, ground_of
from deckbuilder.progress.focus import borne, either, focus_recipe, found_in, in_tuning
from deckbuilder.progress.inference import CONFIDENCE
from deckbuilder.progress.records import Card, History
from deckbuilder.progress.weakness import Weakness, weaknesses
from deckbuilder.recipe import Recipe


@dataclass(frozen=True, eq=False, slots=True)
class Place:
    """A place to work in.

    Args:
        cell: where; its region is `NECK` for what is asked of no place on the neck.
        weakness: what is worked on there; None where the place itself is weak.
        known: of the answers to it there, how many were right.
        asked: how many there are.
    """

    cell: Cell
    weakness: Weakness | None = None
    known: int = 0
    asked: int = 0

    def holds(self, row: int, card: Card) -> bool:
        """Tell whether a card is one that is worked on here.

        Args:
            row: of the card in the history.
            card: the card.
        """
        return ground_of(card) == self.cell and (self.weakness is None or row in self.weakness.rows)


@dataclass(frozen=True, eq=False, slots=True)
class Part:
    """What is worked on in some places.

    Args:
        weakness: what it is; None where the places themselves are weak.
        places: where.
        differ: whether it goes worse in some places than in others, and these are the worst.
    """

    weakness: Weakness | None
    places: tuple[Place, ...]
    differ: bool

    @property
    def cells(self) -> tuple[Cell, ...]:
        """Where."""
        return tuple(place.cell for place in self.places)


def work(analysis: Analysis, count: int) -> tuple[Part, ...]:
    """Return what to work on; nothing where nothing is surely weak.

    Args:
        analysis: what was measured.
        count: places at most, all parts together.
    """
    sure = Part(None, tuple(map(Place, analysis.weak[:count])), True)
    found = [_part(analysis, weakness) for weakness in weaknesses(analysis)] if len(sure.places) < count else []
    turns = chain.from_iterable(zip_longest(*(part.places for part in found)))
    every: dict[Cell, Place] = {}
    for place in (*sure.places, *filter(None, turns)):
        every.setdefault(place.cell, place)
    chosen = tuple(islice(every.values(), count))
    own = (replace(part, places=tuple(one for one in part.places if one in chosen)) for part in (sure, *found))
    return tuple(part for part in own if part.places)


def places(parts: Sequence[Part]) -> tuple[Place, ...]:
    """Return the places of all parts, in their order."""
    return tuple(place for part in parts for place in part.places)


def search(history: History, parts: Sequence[Part]) -> str:
    """Return a search for the cards that are worked on.

    Args:
        history: whose they are.
        parts: from `work`, one at least.
    """
    found = ((found_in(part.cells), part.weakness.about if part.weakness else "") for part in parts)
    return in_tuning(history, either(" ".join(filter(None, words)) for words in found))


def recipes(history: History, base: Recipe, parts: Sequence[Part]) -> tuple[Recipe, ...]:
    """Return the recipes of small decks of what is worked on, one for all places of which they hold all notes.

    Args:
        history: whose it is.
        base: the recipe of the deck that was studied.
        parts: from `work`.

    Raises:
        HistoryError: the recipe is for another neck.
    """
    cells: dict[tuple[str, ...], list[Cell]] = {}
    for part in parts:
        for cell in part.cells:
            tags = borne(history, base, [cell], part.weakness.tags) if part.weakness else ()
            cells.setdefault(tags, []).append(cell)
    return tuple(focus_recipe(history, base, own, tags) for tags, own in cells.items())


def _part(analysis: Analysis, weakness: Weakness) -> Part:
    """Find the places of a weakness, those to work in first."""
    cards = analysis.history.cards
    tallies = _tallies(cards, weakness)
    asked = sum(tally.asked for tally in tallies.values())
    share = sum(tally.known for tally in tallies.values()) / max(asked, 1)

    def deviate(cell: Cell) -> float:
        """Return how far a place lies below all together, in standard deviations."""
        tally = tallies[cell]
        spread = (tally.asked * share * (1 - share)) ** 0.5
        return (tally.asked * share - tally.known) / spread if spread else 0.0

    surprise = sum(deviate(cell) ** 2 for cell in tallies)
    differ = len(tallies) > 1 and float(chi2.sf(surprise, len(tallies) - 1)) <= 1 - CONFIDENCE
    order = sorted(tallies, key=lambda cell: (0 if differ else -tallies[cell].day, -deviate(cell), cell))
    found = (Place(cell, weakness, tallies[cell].known, tallies[cell].asked) for cell in order)
    return Part(weakness, tuple(found), differ)


@dataclass(slots=True)
class _Tally:
    """Answers in a place: how many, how many right, the last study day with one, and whether its cards come again."""

    asked: int = 0
    known: int = 0
    day: int = 0
    active: bool = False


def _tallies(cards: Sequence[Card], weakness: Weakness) -> Mapping[Cell, _Tally]:
    """Count answers by place, leaving out those where all cards are suspended, unless it is so everywhere.

    What lies on the neck is worked on there; only what never does, as spelling, is worked on key by key.
    """
    seen = {row: cards[row] for row in sorted(weakness.rows) if cards[row].answers}
    where = _where(seen, cell_of) or _where(seen, ground_of)
    found = {cell: _Tally() for cell in where.values()}
    for row, cell in where.items():
        found[cell].day = max(found[cell].day, seen[row].answers[-1].day)
        found[cell].active |= seen[row].due is not None
    for row, known in weakness.answers:
        if row in where:
            found[where[row]].asked += 1
            found[where[row]].known += known
    return {cell: tally for cell, tally in found.items() if tally.active} or found


def _where(seen: Mapping[int, Card], place_of: Callable[[Card], Cell | None]) -> dict[int, Cell]:
    return {row: cell for row, card in seen.items() if (cell := place_of(card)) is not None}
