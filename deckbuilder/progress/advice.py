"""Advice: what to study next after a check-up, as searches to copy and as a recipe."""

from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass
from itertools import product, starmap

from deckbuilder.progress.cells import KEY, LEVEL, REGION, SOURCE, Cell, cell_of
from deckbuilder.progress.checkup import Standing
from deckbuilder.progress.focus import borne, focus_recipe, in_tuning
from deckbuilder.progress.records import Card, History
from deckbuilder.recipe import Recipe

_TAGS = {KEY.title: "key", REGION.title: "region", LEVEL.title: "level", SOURCE.title: "source"}
_ROUNDS = frozenset(map(str, range(1, 1000)))
_AWAY = "-tag:instrument::needed"
"""Leaves out what is played with the instrument in hand."""
_MOSTLY = 0.5


@dataclass(frozen=True, slots=True)
class NextRound:
    """The round to answer next.

    Args:
        number: its number.
        cards: how many cards it has.
        unanswered: how many of them were never answered.
    """

    number: int
    cards: int
    unanswered: int


def next_round(history: History) -> NextRound | None:
    """Return the first round that is mostly unanswered; if there is none, the one that was answered longest ago.

    Args:
        history: what was studied.

    Returns:
        None where no card has a round, as in a deck that was built before there were any.
    """
    rounds: dict[int, list[Card]] = {}
    for card in history.cards:
        if card.axes.get("round") in _ROUNDS:
            rounds.setdefault(int(card.axes["round"]), []).append(card)
    if not rounds:
        return None
    number = min(rounds, key=lambda number: (_answered(rounds[number]), number))
    cards = rounds[number]
    return NextRound(number, len(cards), sum(not card.answers for card in cards))


def _answered(cards: Iterable[Card]) -> float:
    """Return the mean time of the last answers, s since 1970; 0 where most cards have none."""
    last = [card.answers[-1].at if card.answers else 0.0 for card in cards]
    answered = [at for at in last if at]
    return sum(answered) / len(answered) if len(answered) > _MOSTLY * len(last) else 0.0


def round_search(history: History, number: int) -> str:
    """Return a search that finds a round's cards.

    Args:
        history: whose cards they are.
        number: of the round.
    """
    return in_tuning(history, f"tag:round::{number}")


def search(history: History, standing: Standing) -> str:
    """Return a search that finds the cards of a weak group, away from the instrument.

    Args:
        history: whose cards they are.
        standing: of the group.
    """
    return in_tuning(history, found_by(standing))


def found_by(standing: Standing) -> str:
    """Return the same for cards of any tuning.

    Args:
        standing: of the group.
    """
    return f"tag:{_TAGS[standing.axis.title]}::{standing.group} {_AWAY}"


def tags_of(standing: Standing) -> tuple[str, ...]:
    """Return what the notes of a weak group bear, besides the tags of places.

    Args:
        standing: of the group.
    """
    return (f"source::{standing.group}",) if standing.axis.title == SOURCE.title else ()


def recipe_for(history: History, base: Recipe, weak: Iterable[Standing]) -> Recipe | None:
    """Return a recipe of what lies in weak keys, regions and levels, asked as it was studied.

    Args:
        history: what was studied.
        base: the recipe of the deck that was studied.
        weak: the weak groups.

    Returns:
        What they have in common: a weak key in all regions, or in the weak ones. None where nothing is weak, or no
        card has a place.
    """
    wanted: dict[str, set[str]] = {}
    tags: tuple[str, ...] = ()
    for standing in weak:
        wanted.setdefault(_TAGS[standing.axis.title], set()).add(standing.group)
        tags += tags_of(standing)
    every = {cell for card in history.cards if (cell := cell_of(card)) is not None}
    cells = [cell for cell in every if _is_among(cell, wanted)]
    if not wanted or not cells:
        return None
    levels, keys, regions = map(set, zip(*cells, strict=True))
    block = tuple(starmap(Cell, product(levels, keys, regions)))
    return focus_recipe(history, base, block, borne(history, base, block, tags))


def _is_among(cell: Cell, wanted: Mapping[str, Container[str]]) -> bool:
    return all(axis not in wanted or str(value) in wanted[axis] for axis, value in cell._asdict().items())
