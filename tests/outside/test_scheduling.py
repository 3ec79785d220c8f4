"""The model of memory, against the reference vectors that its package `fsrs` publishes in its own tests (6.3)."""

from datetime import UTC, datetime, timedelta

import pytest
from fsrs import Card as ModelCard
from fsrs import Rating
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.progress.memory import recall, replayed, scheduler
from deckbuilder.progress.records import Answer, Memory

INTERVALS = (0, 2, 11, 46, 163, 498, 0, 0, 2, 4, 7, 12, 21)
"""Days to the next turn after each of `GRADES`, answered when due (`test_review_card`)."""
GRADES = (3, 3, 3, 3, 3, 3, 1, 1, 3, 3, 3, 3, 3)

WAITS = (0, 0, 1, 3, 8, 21)
"""Days before each answer; the first is again, the others good (`test_memo_state`)."""
STABILITY, DIFFICULTY = 53.62691, 6.3574867


def test_the_scheduler_gives_the_published_intervals() -> None:
    card, now = ModelCard(card_id=1), datetime(2022, 11, 29, 12, 30, tzinfo=UTC)
    found = []
    for grade in GRADES:
        card, _ = scheduler().review_card(card, Rating(grade), now)
        found.append((card.due - now).days)
        now = card.due
    assert tuple(found) == INTERVALS


def test_replayed_answers_leave_the_published_memory_state() -> None:
    now, answers = datetime(2022, 11, 29, 12, 30, tzinfo=UTC), []
    for number, wait in enumerate(WAITS):
        now += timedelta(days=wait)
        answers.append(Answer(now.timestamp(), 0, 3 if number else 1, 5.0))
    assert replayed(tuple(answers)).stability == pytest.approx(STABILITY, abs=1e-4)


@given(stability=st.floats(0.1, 3000), days=st.integers(0, 2000))
def test_the_forgetting_curve_is_the_packages(stability: float, days: int) -> None:
    now = datetime(2024, 1, 1, tzinfo=UTC)
    card = ModelCard(card_id=1, stability=stability, difficulty=5.0, last_review=now - timedelta(days=days))
    expected = scheduler().get_card_retrievability(card, now)
    assert recall(Memory(stability, scheduler().parameters[-1]), days) == pytest.approx(expected, rel=1e-12)


@given(stability=st.floats(0.1, 3000), decay=st.floats(0.1, 0.8))
def test_recall_is_nine_in_ten_after_stability_days(stability: float, decay: float) -> None:
    """The definition of stability in the model's papers (from memory)."""
    assert recall(Memory(stability, decay), stability) == pytest.approx(0.9)
    assert recall(Memory(stability, decay), 0) == 1
