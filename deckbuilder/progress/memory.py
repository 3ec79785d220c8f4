"""Memory: how likely a card is recalled today.

Where the app stored a memory state, the forgetting curve of the open three-component model of memory is read off it:
recall is nine in ten when `stability` days have passed, and falls as a power of time. Elsewhere the card's answers are
replayed through the model's open package (`fsrs`) with its published parameters.
"""

from datetime import UTC, datetime
from functools import lru_cache

from fsrs import Card as ModelCard
from fsrs import Rating, Scheduler

from deckbuilder.progress.records import DAY, Answer, Card, Memory

_RECALLED_AT_STABILITY = 0.9


def recall_today(card: Card, now: float) -> float | None:
    """Estimate the probability that a card is recalled now.

    Args:
        card: the card.
        now: s since 1970, not before its last answer.

    Returns:
        0 to 1; None for a card that was never answered.
    """
    if not card.answers:
        return None
    days = (now - card.answers[-1].at) // DAY
    return recall(card.memory or replayed(card.answers), days)


def recall(memory: Memory, days: float) -> float:
    """Read a forgetting curve.

    Args:
        memory: the card's memory state.
        days: since its last answer.
    """
    factor = _RECALLED_AT_STABILITY ** (-1 / memory.decay) - 1
    return float((1 + factor * max(days, 0.0) / memory.stability) ** -memory.decay)


def replayed(answers: tuple[Answer, ...]) -> Memory:
    """Return the memory state that some answers leave, by the model's published parameters.

    Args:
        answers: at least one, in the order of time.
    """
    model = scheduler()
    card = ModelCard(card_id=0, due=datetime.fromtimestamp(answers[0].at, UTC))
    for answer in answers:
        card, _ = model.review_card(card, Rating(answer.grade), datetime.fromtimestamp(answer.at, UTC))
    if card.stability is None:
        raise ValueError("no answers to replay")
    return Memory(card.stability, model.parameters[-1])


@lru_cache(maxsize=1)
def scheduler() -> Scheduler:
    """Return the model with its published parameters, and no chance in it."""
    return Scheduler(enable_fuzzing=False)
