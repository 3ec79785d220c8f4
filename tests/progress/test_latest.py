"""Which answer of a card tells, and what it stands beside."""

import numpy as np

from deckbuilder.progress.latest import AFTER_A_SIBLING, FIRST_LOOK, columns_of, latest
from deckbuilder.progress.records import Answer, Card, History
from tests.progress.exports import CREATED, DAY


def card(note: str, kind: str, *answers: tuple[float, int]) -> Card:
    """Give a card with answers at some days, in fractions, with their grades."""
    given = tuple(Answer(CREATED + day * DAY, int(day), grade, 5.0) for day, grade in answers)
    return Card(note, {"fact": "arpeggio", "level": "1"}, kind, None, None, 0, None, given)


def test_the_first_answer_of_the_last_day_counts() -> None:
    cards = (
        card("one", "locate", (0.1, 1), (0.2, 3)),
        card("one", "identify", (0.3, 3)),
        card("two", "locate", (0.1, 3), (1.1, 1), (1.2, 3)),
        card("two", "identify", (0.2, 3), (40.1, 2)),
        card("three", "locate"),
    )
    found = latest(History("standard", "E2", 5, 41, CREATED + 41 * DAY, cards))
    assert found.cards == cards[:4]
    assert found.waits == (FIRST_LOOK, AFTER_A_SIBLING, "1", "32")
    assert found.succeeded.tolist() == [0, 1, 0, 1]
    assert found.first_looks == 2


def test_columns_tell_groups_apart_and_leave_the_smallest_of_too_many_out() -> None:
    names, columns = columns_of(["b", "a", None, "b", "c", "c"], most=2)
    assert names == ("b", "c")
    assert np.array_equal(columns, [[1, 0], [0, 0], [0, 0], [1, 0], [0, 1], [0, 1]])
