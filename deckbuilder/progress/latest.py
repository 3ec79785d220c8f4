"""Latest: each card's last answer that tells what the player knows by himself.

That is the first answer of the last day on which the card was asked: a *recall* after a night or more, or a *first
look*, which tells what was known before any study. Answers stand in *strata*, since not all are equally hard: what is
asked and how, and the wait before it; a first look has a stratum of its own, and another one where a card of the same
note was answered before it, whose back has shown the answer.
"""

from bisect import bisect_right
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from deckbuilder.progress.records import Card, History
from deckbuilder.progress.study import FORGOTTEN, WAITS

FIRST_LOOK, AFTER_A_SIBLING = "first look", "first look after another card of its note"


@dataclass(frozen=True, eq=False, slots=True)
class Latest:
    """Latest answers; one entry for each card that was answered.

    Args:
        cards: the cards.
        succeeded: 1 where the answer was not “again”, else 0.
        waits: what each waited for: `FIRST_LOOK`, `AFTER_A_SIBLING`, or the days at which its band of waits begins.
    """

    cards: tuple[Card, ...]
    succeeded: NDArray[np.float64]
    waits: tuple[str, ...]

    @property
    def first_looks(self) -> int:
        """Number of first looks among them."""
        return sum(wait in (FIRST_LOOK, AFTER_A_SIBLING) for wait in self.waits)


def latest(history: History) -> Latest:
    """Return the latest answers of a history.

    Args:
        history: what was studied.
    """
    answered = [card for card in history.cards if card.answers]
    begun: dict[str, float] = {}
    for card in answered:
        begun[card.note] = min(card.answers[0].at, begun.get(card.note, card.answers[0].at))
    found = [_latest(card, begun[card.note]) for card in answered]
    return Latest(
        cards=tuple(answered),
        succeeded=np.array([succeeded for succeeded, _ in found], dtype=np.float64),
        waits=tuple(wait for _, wait in found),
    )


def _latest(card: Card, note_begun: float) -> tuple[bool, str]:
    days = [(day, next(answers)) for day, answers in groupby(card.answers, key=lambda answer: answer.day)]
    day, answer = days[-1]
    if len(days) == 1:
        wait = FIRST_LOOK if answer.at <= note_begun else AFTER_A_SIBLING
    else:
        wait = str(WAITS[bisect_right(WAITS, day - days[-2][0]) - 1])
    return answer.grade > FORGOTTEN, wait


def asked(card: Card) -> str:
    """Say what a card asks and how: answers to the same are equally hard, keys and regions aside."""
    own = "" if "level" in card.axes else " of own changes"
    return f"{card.axes.get('fact', '')} {card.kind}{own}"


def columns_of(values: Sequence[str | None], most: int) -> tuple[tuple[str, ...], NDArray[np.float64]]:
    """Return the groups that some values name, and who is in them as columns of 1 and 0.

    Args:
        values: one for each answer; None for no group.
        most: groups that are told apart, the largest.
    """
    counts = Counter(value for value in values if value is not None)
    names = tuple(dict(sorted(counts.most_common(most))))
    number = {name: place for place, name in enumerate(names)}
    columns = np.zeros((len(values), len(names)))
    for row, place in _places(values, number):
        columns[row, place] = 1
    return names, columns


def _places(values: Sequence[str | None], number: dict[str, int]) -> Iterator[tuple[int, int]]:
    for row, value in enumerate(values):
        if value is not None and value in number:
            yield row, number[value]
