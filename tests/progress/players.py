"""Players: simulated check-ups of the default deck, with weak spots that are put in."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from deckbuilder.build import notes_of
from deckbuilder.cards.identity import read_tags
from deckbuilder.progress.checkup import CheckUp, check_up
from deckbuilder.progress.records import Answer, Card, History
from deckbuilder.recipe import parse_recipe
from tests.progress.exports import CREATED, DAY

Known = Callable[[Mapping[str, str], str], float]
"""What a player knows of cards, by axes and kind: the chance that he answers well."""
Spot = tuple[str, str]
"""An axis's title and the value that stands for a weak spot."""


@dataclass(frozen=True)
class Case:
    """A kind of player.

    Args:
        name: what he is like.
        known: what he knows.
        spot: his weak spot; None for a player without one.
        natural: axes on which he differs all by himself, which is no false alarm.
    """

    name: str
    known: Known
    spot: Spot | None = None
    natural: tuple[str, ...] = ()


def _weak(axis: str, value: str) -> Known:
    return lambda axes, _kind: 0.5 if axes.get(axis) == value else 0.9


def _everywhere(share: float) -> Known:
    return lambda _axes, _kind: share


_KINDS = {"hear": 0.6, "spell": 0.97}
_LEVELS = {"1": 0.95, "2": 0.85, "3": 0.75}

WEAK = (
    Case("one key (G♭) at 50 %", _weak("key", "Gb"), ("Key", "Gb")),
    Case("one key (C) at 50 %", _weak("key", "C"), ("Key", "C")),
    Case("one region (3) at 50 %", _weak("region", "3"), ("Region", "3")),
    Case("“from the third” at 50 %", _weak("source", "third"), ("Source", "third")),
)
STEADY = (
    Case("60 % everywhere", _everywhere(0.6)),
    Case("75 % everywhere", _everywhere(0.75)),
    Case("90 % everywhere", _everywhere(0.9)),
    Case("hears 60 %, spells 97 %", lambda _axes, kind: _KINDS.get(kind, 0.9)),
    Case("95, 85 and 75 % by level", lambda axes, _kind: _LEVELS[axes["level"]], natural=("Level",)),
)


def deck() -> tuple[Card, ...]:
    """Return the cards of the default deck, unanswered."""
    return tuple(
        Card(note.id, read_tags(note.tags), kind.value, None, None, 0, None, ())
        for note in notes_of(parse_recipe({}, "test"))
        for kind in note.kinds
    )


def answered(cards: Iterable[Card], rounds: Sequence[int], known: Known, seed: int) -> History:
    """Let a player answer some rounds at first sight, and nothing else."""
    chance = np.random.default_rng(seed)
    wanted = {str(number) for number in rounds}
    asked = [card for card in cards if card.axes.get("round") in wanted]
    grades = [3 if chance.random() < known(card.axes, card.kind) else 1 for card in asked]
    answers = (Answer(CREATED + number * 8.0, 0, grade, 8.0) for number, grade in enumerate(grades))
    taken = tuple(
        Card(card.note, card.axes, card.kind, None, None, 0, None, (answer,))
        for card, answer in zip(asked, answers, strict=True)
    )
    return History("standard", "E2-A2-D3-G3-B3-E4", 5, 1, float(CREATED + DAY), taken)


def told(checkup: CheckUp) -> set[Spot]:
    """Return what a check-up names as weak."""
    return {(standing.axis.title, standing.group) for standing in checkup.weak}


def measured(case: Case, cards: Sequence[Card], players: int, first_seed: int = 0) -> tuple[float, float]:
    """Return the share of players whose weak spot is found after two rounds, and of those told of another one.

    Args:
        case: the kind of player.
        cards: the deck.
        players: how many; each answers another two successive rounds.
        first_seed: of the first one's chance.
    """
    numbers = sorted({int(card.axes["round"]) for card in cards if "round" in card.axes})
    found = false = 0
    for seed in range(first_seed, first_seed + players):
        start = seed % (len(numbers) - 1)
        names = told(check_up(answered(cards, numbers[start : start + 2], case.known, seed)))
        found += case.spot in names
        false += bool({name for name in names if name[0] not in case.natural} - {case.spot})
    return found / players, false / players
