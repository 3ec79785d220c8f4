"""Study: a history as columns of numbers, ready to be counted.

What counts as a *recall* is the first answer of a study day to a card that was answered on an earlier day: a night lies
between. Later answers of the day tell of the last minutes, and the very first answer tells of what was known before.
A recall succeeds with any grade but *again*.

Recalls are counted in *strata*: the wait since the card's last answer, in bands, and the kind of card. Schedulers ask a
weak card sooner, and sooner is easier; within a stratum, like is compared with like.
"""

from collections.abc import Callable, Hashable
from dataclasses import dataclass
from itertools import groupby, pairwise

import numpy as np
from numpy.typing import NDArray

from deckbuilder.progress.history import Card, History
from deckbuilder.progress.inference import Counts
from deckbuilder.progress.memory import recall_today

WAITS = (1, 2, 4, 8, 16, 32)
"""Days at which a band of waits begins."""
_FORGOTTEN = 1
_WEEK = 7


@dataclass(frozen=True, eq=False, slots=True)
class Study:
    """A history as columns; rows are cards, in the order of `history.cards`.

    Args:
        history: what it is made of.
        trials: recalls of each card in each stratum, shape (cards, strata).
        successes: how many of them succeeded, same shape.
        weeks: for each week up to now, the last one last: recalls and successes, shape (weeks, 2).
        seconds: for each card, the s that its answers took.
        recall: for each card, the estimated probability of recall now; NaN for a card never answered.
    """

    history: History
    trials: Counts
    successes: Counts
    weeks: Counts
    seconds: tuple[tuple[float, ...], ...]
    recall: NDArray[np.float64]

    @property
    def kinds(self) -> tuple[str, ...]:
        """Kinds of card, in the order of their strata."""
        return _kinds(self.history)

    def members(self, group_of: Callable[[Card], Hashable | None]) -> dict[Hashable, list[int]]:
        """Return the rows of each group of cards.

        Args:
            group_of: a card's group; None for none.
        """
        found: dict[Hashable, list[int]] = {}
        for row, card in enumerate(self.history.cards):
            group = group_of(card)
            if group is not None:
                found.setdefault(group, []).append(row)
        return found

    def pooled(self) -> tuple[Counts, Counts]:
        """Return trials and successes in strata of wait alone, all kinds together."""
        shape = (len(self.history.cards), len(self.kinds), len(WAITS))
        return self.trials.reshape(shape).sum(axis=1), self.successes.reshape(shape).sum(axis=1)


def study_of(history: History) -> Study:
    """Count a history's recalls.

    Args:
        history: what was studied.
    """
    kinds = {kind: number for number, kind in enumerate(_kinds(history))}
    shape = (len(history.cards), len(kinds) * len(WAITS))
    trials, successes = np.zeros(shape), np.zeros(shape)
    by_week: dict[int, list[int]] = {}
    for row, card in enumerate(history.cards):
        first = kinds[card.kind] * len(WAITS)
        for day, wait, succeeded in _recalls(card):
            stratum = first + int(np.searchsorted(WAITS, wait, side="right")) - 1
            trials[row, stratum] += 1
            successes[row, stratum] += succeeded
            week = by_week.setdefault((history.today - day) // _WEEK, [0, 0])
            week[0] += 1
            week[1] += succeeded
    weeks = np.zeros((max(by_week, default=-1) + 1, 2))
    for ago, counts in by_week.items():
        weeks[-1 - ago] = counts
    recalls = [recall_today(card, history.now) for card in history.cards]
    return Study(
        history=history,
        trials=trials,
        successes=successes,
        weeks=weeks,
        seconds=tuple(tuple(answer.seconds for answer in card.answers) for card in history.cards),
        recall=np.array([np.nan if value is None else value for value in recalls]),
    )


def _kinds(history: History) -> tuple[str, ...]:
    return tuple(sorted({card.kind for card in history.cards}))


def _recalls(card: Card) -> list[tuple[int, int, bool]]:
    """Return study day, days of waiting and success of each recall."""
    days = [(day, next(answers)) for day, answers in groupby(card.answers, key=lambda answer: answer.day)]
    return [(day, day - before, answer.grade > _FORGOTTEN) for (before, _), (day, answer) in pairwise(days)]
