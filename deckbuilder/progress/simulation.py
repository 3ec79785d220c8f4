"""Simulation: what studying a deck some minutes a day comes to, by an open model of memory.

The simulated player studies every day. Due cards come first, the most overdue before the others, then new cards while
minutes are left. New cards come as apps gather them: subdeck by subdeck and in each in the deck's order, which is the
order of the cards given here; cards of one note are kept a day apart, as apps keep siblings, and those kept back come
first on a later day. Whether a card is recalled is a coin with the model's own probability.

What is assumed (figures of this project, no source): a first look takes `FIRST_SECONDS` and is known or worked out half
the time, or as often as the player says; any other answer takes `ANSWER_SECONDS`; a repeat on the same day succeeds
nine times in ten; a recall is graded good, a failure again.
"""

import random
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from itertools import accumulate

from fsrs import Card as ModelCard
from fsrs import Rating

from deckbuilder.cards.note import Note
from deckbuilder.progress.memory import scheduler

FIRST_SECONDS = 20.0
ANSWER_SECONDS = 8.0
KNOWN_AT_FIRST = 0.5
KNOWN_ON_REPEAT = 0.9

LONGEST = 3 * 365
"""Days simulated at most."""
AFTERWARDS = 60
"""Days simulated after every card was seen, to show what keeping it costs."""
NEARLY_ALL = 0.95
"""Of the cards, whose day is told: the last few, whose siblings are in their way, say nothing of a small deck."""
_SEED = 1

_START = datetime(2000, 1, 1, tzinfo=UTC)
_SECONDS_BEFORE_STUDY = 8 * 3600


@dataclass(frozen=True, slots=True)
class PlannedCard:
    """A card to be studied.

    Args:
        note: its note's id.
        level: its level.
        lap: its lap.
    """

    note: str
    level: int
    lap: str = ""


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
        levels: for each level that was met, the day on which its first card was seen, from 1.
        laps: for each lap, in the order of study, the day on which its last card was seen; None if it was not.
    """

    cards: int
    minutes: float
    days: tuple[Day, ...]
    all_seen: int | None
    levels: dict[int, int]
    laps: dict[str, int | None]


@dataclass(slots=True)
class _Deck:
    """The state of the simulation, changed day by day."""

    waiting: list[int]
    known: float
    seen: dict[int, int] = field(default_factory=dict)
    """Day on which a card was first seen, by its number."""
    due: dict[int, int] = field(default_factory=dict)
    models: dict[int, ModelCard] = field(default_factory=dict)


def simulated(
    cards: Sequence[PlannedCard],
    minutes: float,
    seed: int,
    known: float = KNOWN_AT_FIRST,
    on_day: Callable[[], None] = lambda: None,
) -> Course:
    """Study a deck.

    Args:
        cards: in the order in which new cards are to come.
        minutes: a day.
        seed: of the player's chance.
        known: share of the cards that the player knows at first sight, 0 to 1.
        on_day: called before each day; an error that it raises ends the course.
    """
    chance = random.Random(seed)
    deck = _Deck(list(range(len(cards))), known)
    days: list[Day] = []
    all_seen: int | None = None
    while len(days) < (LONGEST if all_seen is None else min(all_seen + AFTERWARDS, LONGEST)):
        on_day()
        days.append(_study(deck, cards, len(days), minutes * 60, chance))
        if all_seen is None and not deck.waiting:
            all_seen = len(days)
    levels: dict[int, int] = {}
    for number, day in sorted(deck.seen.items(), key=lambda pair: pair[1]):
        levels.setdefault(cards[number].level, day + 1)
    return Course(len(cards), minutes, tuple(days), all_seen, dict(sorted(levels.items())), _laps(deck, cards))


def planned_cards(notes: Iterable[Note]) -> list[PlannedCard]:
    """Return the cards of some notes, in their order."""
    return [PlannedCard(note.id, note.level, note.lap) for note in notes for _ in note.kinds]


def days_to_see(cards: Sequence[PlannedCard], minutes: float) -> int | None:
    """Return after how many days nearly all cards were seen; None where that takes longer than is simulated.

    Args:
        cards: in the order in which new cards are to come.
        minutes: a day.
    """
    seen = accumulate(day.new for day in simulated(cards, minutes, _SEED).days)
    return next((day for day, count in enumerate(seen, start=1) if count >= NEARLY_ALL * len(cards)), None)


def _laps(deck: _Deck, cards: Sequence[PlannedCard]) -> dict[str, int | None]:
    """Return the day on which each lap was seen, from 1."""
    last: dict[str, int] = {}
    for number, card in enumerate(cards):
        last[card.lap] = max(last.get(card.lap, 0), deck.seen.get(number, LONGEST))
    return {lap: day + 1 if day < LONGEST else None for lap, day in last.items()}


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
    for number in tuple(deck.waiting):
        if spent + FIRST_SECONDS > budget:
            break
        if cards[number].note in notes_today:
            continue
        notes_today.add(cards[number].note)
        extra = _answer(deck, number, today, chance)
        deck.waiting.remove(number)
        deck.seen[number] = today
        new += 1
        spent += FIRST_SECONDS + ANSWER_SECONDS * extra
        spent_on_new += FIRST_SECONDS + ANSWER_SECONDS * extra
    return Day(new, reviews, spent_on_new / 60, spent / 60)


def _answer(deck: _Deck, number: int, today: int, chance: random.Random) -> int:
    """Answer a card until it is done for the day; return how many repeats that took."""
    model = scheduler()
    now = _START + timedelta(days=today, seconds=_SECONDS_BEFORE_STUDY)
    card = deck.models.get(number)
    known = deck.known if card is None else model.get_card_retrievability(card, now)
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
