"""Simulation: what studying a deck some minutes a day comes to, by an open model of memory.

The simulated player studies every day. Due cards come first, the most overdue before the others, then new cards in the
deck's order while minutes are left; cards of one note are kept a day apart, as apps keep siblings. A level's new cards
wait until the level before it is *settled*: all its cards seen, and four in five of them strong enough to last a week.
Whether a card is recalled is a coin with the model's own probability.

What is assumed (figures of this project, no source): a first look takes `FIRST_SECONDS` and is known or worked out half
the time; any other answer takes `ANSWER_SECONDS`; a repeat on the same day succeeds nine times in ten; a recall is
graded good, a failure again.
"""

import random
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from fsrs import Card as ModelCard
from fsrs import Rating

from deckbuilder.progress.memory import scheduler

FIRST_SECONDS = 20.0
ANSWER_SECONDS = 8.0
KNOWN_AT_FIRST = 0.5
KNOWN_ON_REPEAT = 0.9
SETTLED_SHARE = 0.8
SETTLED_STABILITY = 7.0
"""Days after which a settled card is still recalled nine times in ten."""

LONGEST = 3 * 365
"""Days simulated at most."""
AFTERWARDS = 60
"""Days simulated after every card was seen, to show what keeping it costs."""

_START = datetime(2000, 1, 1, tzinfo=UTC)
_SECONDS_BEFORE_STUDY = 8 * 3600


@dataclass(frozen=True, slots=True)
class PlannedCard:
    """A card to be studied.

    Args:
        note: its note's id.
        level: its level.
    """

    note: str
    level: int


@dataclass(frozen=True, slots=True)
class Day:
    """One day of study.

    Args:
        new: first looks.
        reviews: answers to cards of earlier days.
        minutes_new: minutes that first looks took.
        minutes: minutes that everything took.
    """

    new: int
    reviews: int
    minutes_new: float
    minutes: float


@dataclass(frozen=True, slots=True)
class Course:
    """A simulated course of study.

    Args:
        cards: how many cards there are.
        minutes: minutes a day.
        days: the days, the first first.
        all_seen: day on which the last new card was seen, from 1; None if it was not in `LONGEST` days.
        starts: for each level, the day on which its first card was seen, from 1.
    """

    cards: int
    minutes: float
    days: tuple[Day, ...]
    all_seen: int | None
    starts: dict[int, int]


@dataclass(slots=True)
class _Deck:
    """The state of the simulation, changed day by day."""

    waiting: dict[int, list[int]]
    due: dict[int, int] = field(default_factory=dict)
    models: dict[int, ModelCard] = field(default_factory=dict)


def simulated(cards: Sequence[PlannedCard], minutes: float, seed: int) -> Course:
    """Study a deck.

    Args:
        cards: in the order in which new cards are to come.
        minutes: a day.
        seed: of the player's chance.
    """
    chance = random.Random(seed)
    waiting: dict[int, list[int]] = {}
    for number, card in enumerate(cards):
        waiting.setdefault(card.level, []).append(number)
    deck = _Deck(dict(sorted(waiting.items())))
    days: list[Day] = []
    starts: dict[int, int] = {}
    all_seen: int | None = None
    while len(days) < (LONGEST if all_seen is None else min(all_seen + AFTERWARDS, LONGEST)):
        today = len(days)
        days.append(_study(deck, cards, today, minutes * 60, chance))
        for number in deck.models:
            starts.setdefault(cards[number].level, today + 1)
        if all_seen is None and len(deck.models) == len(cards):
            all_seen = today + 1
    return Course(len(cards), minutes, tuple(days), all_seen, starts)


def _study(deck: _Deck, cards: Sequence[PlannedCard], today: int, budget: float, chance: random.Random) -> Day:
    """Study for a day: due cards, then new ones, while there is time."""
    notes_today: set[str] = set()
    new = reviews = 0
    spent = spent_on_new = 0.0
    for number in sorted((n for n, day in deck.due.items() if day <= today), key=lambda n: (deck.due[n], n)):
        if spent + ANSWER_SECONDS > budget:
            break
        if cards[number].note in notes_today:
            continue
        notes_today.add(cards[number].note)
        extra = _answer(deck, number, today, chance)
        reviews += 1
        spent += ANSWER_SECONDS * (1 + extra)
    for number in _next_new(deck, cards):
        if spent + FIRST_SECONDS > budget:
            break
        if cards[number].note in notes_today:
            continue
        notes_today.add(cards[number].note)
        extra = _answer(deck, number, today, chance)
        deck.waiting[cards[number].level].remove(number)
        new += 1
        spent += FIRST_SECONDS + ANSWER_SECONDS * extra
        spent_on_new += FIRST_SECONDS + ANSWER_SECONDS * extra
    return Day(new, reviews, spent_on_new / 60, spent / 60)


def _next_new(deck: _Deck, cards: Sequence[PlannedCard]) -> list[int]:
    """Return the new cards that are open: those of the lowest level that is not settled yet."""
    for level, waiting in deck.waiting.items():
        if waiting:
            return list(waiting)
        if not _settled(model for number, model in deck.models.items() if cards[number].level == level):
            return []
    return []


def _settled(models: Iterable[ModelCard]) -> bool:
    strengths = [(model.stability or 0) >= SETTLED_STABILITY for model in models]
    return sum(strengths) >= SETTLED_SHARE * len(strengths)


def _answer(deck: _Deck, number: int, today: int, chance: random.Random) -> int:
    """Answer a card until it is done for the day; return how many repeats that took."""
    model = scheduler()
    now = _START + timedelta(days=today, seconds=_SECONDS_BEFORE_STUDY)
    card = deck.models.get(number)
    known = KNOWN_AT_FIRST if card is None else model.get_card_retrievability(card, now)
    card = card or ModelCard(card_id=number, due=now)
    repeats = 0
    while True:
        rating = Rating.Good if chance.random() < known else Rating.Again
        card, _ = model.review_card(card, rating, now)
        due = (card.due - _START).days
        if due > today:
            break
        repeats += 1
        now, known = card.due, KNOWN_ON_REPEAT
    deck.models[number], deck.due[number] = card, due
    return repeats
