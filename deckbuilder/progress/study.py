"""Study: a history as columns of numbers, ready to be counted.

What counts as a *recall* is the first answer of a study day to a card that was answered on an earlier day: a night lies
between. Later answers of the day tell of the last minutes, and the very first answer tells of what was known before.
A recall succeeds with any grade but *again*.

Recalls are counted in *strata*: the level and the kind of card, and the wait since its last answer, in bands.
Schedulers ask a weak card sooner, and sooner is easier; a place that was only met at a hard level is no hard place.
Within a stratum, like is compared with like. Only recalls are kept, not a table of cards by strata: most cards have few
of them, and whoever invents kinds of card makes no work with them.
"""

from bisect import bisect_right
from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import groupby, pairwise

import numpy as np
from numpy.typing import NDArray

from deckbuilder.cards.levels import LEVELS
from deckbuilder.progress.axes import OTHER
from deckbuilder.progress.inference import Counts
from deckbuilder.progress.memory import recall_today
from deckbuilder.progress.records import Card, History

WAITS = (1, 2, 4, 8, 16, 32)
"""Days at which a band of waits begins."""
FORGOTTEN = 1
"""The grade of an answer that did not succeed."""
_WEEK = 7
_LEVELS = frozenset(map(str, LEVELS))


class Across(StrEnum):
    """What is compared with one another although it stands in different strata."""

    NOTHING = "nothing"
    KINDS = "kinds"
    LEVELS = "levels"


@dataclass(frozen=True, eq=False, slots=True)
class Study:
    """A history as columns; cards are rows, in the order of `history.cards`.

    Args:
        history: what it is made of.
        kinds: kinds of card, in the order of their strata.
        levels: levels, in the order of their strata; those that no deck has count as one, and none as well.
        rows: for each recall the row of its card, ascending.
        strata: for each recall its stratum: the numbers of level, kind and wait, as digits of one number.
        succeeded: for each recall whether it did.
        weeks: for each week up to now, the last one last: recalls and successes, shape (weeks, 2).
        seconds: for each card, the s that its answers took.
        recall: for each card, the estimated probability of recall now; NaN for a card never answered.
    """

    history: History
    kinds: tuple[str, ...]
    levels: tuple[str, ...]
    rows: NDArray[np.int64]
    strata: NDArray[np.int64]
    succeeded: NDArray[np.bool_]
    weeks: Counts
    seconds: tuple[tuple[float, ...], ...]
    recall: NDArray[np.float64]

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

    def counts(self, rows: Sequence[int] | None = None, across: Across = Across.NOTHING) -> tuple[Counts, Counts]:
        """Return recalls and successes in each stratum.

        Args:
            rows: of the cards that are counted; None for all.
            across: whose strata are taken together.
        """
        strata, succeeded = self.strata, self.succeeded
        if rows is not None:
            chosen = np.zeros(len(self.history.cards), dtype=np.bool_)
            chosen[rows] = True
            inside = chosen[self.rows]
            strata, succeeded = strata[inside], succeeded[inside]
        strata, size = self._taken_together(strata, across)
        return _counted(strata, size), _counted(strata[succeeded], size)

    def by_card(self) -> tuple[NDArray[np.int64], Counts, Counts]:
        """Return the rows of cards that have recalls, and their recalls and successes, all kinds together.

        Returns:
            Rows, and two tables of the shape (cards, levels, waits).
        """
        rows, places = np.unique(self.rows, return_inverse=True)
        strata, size = self._taken_together(self.strata, Across.KINDS)
        shape, cells = (len(rows), len(self.levels), len(WAITS)), places * size + strata
        size *= len(rows)
        return rows, _counted(cells, size).reshape(shape), _counted(cells[self.succeeded], size).reshape(shape)

    def _taken_together(self, strata: NDArray[np.int64], across: Across) -> tuple[NDArray[np.int64], int]:
        """Return strata without the digit that does not count, and how many there are."""
        waits, per_level = len(WAITS), len(WAITS) * len(self.kinds)
        match across:
            case Across.NOTHING:
                return strata, per_level * len(self.levels)
            case Across.KINDS:
                return strata // per_level * waits + strata % waits, waits * len(self.levels)
            case Across.LEVELS:
                return strata % per_level, per_level


def study_of(history: History) -> Study:
    """Count a history's recalls.

    Args:
        history: what was studied.
    """
    kinds = tuple(sorted({card.kind for card in history.cards}))
    levels = tuple(sorted({_level(card) for card in history.cards}))
    first = {
        (level, kind): (number * len(kinds) + place) * len(WAITS)
        for number, level in enumerate(levels)
        for place, kind in enumerate(kinds)
    }
    recalls: list[tuple[int, int, bool]] = []
    by_week: dict[int, list[int]] = {}
    for row, card in enumerate(history.cards):
        begins = first[_level(card), card.kind]
        for day, wait, succeeded in _recalls(card):
            recalls.append((row, begins + bisect_right(WAITS, wait) - 1, succeeded))
            week = by_week.setdefault((history.today - day) // _WEEK, [0, 0])
            week[0] += 1
            week[1] += succeeded
    weeks = np.zeros((max(by_week, default=-1) + 1, 2))
    for ago, counts in by_week.items():
        weeks[-1 - ago] = counts
    columns = np.array(recalls, dtype=np.int64).reshape(-1, 3)
    recall = [recall_today(card, history.now) for card in history.cards]
    return Study(
        history=history,
        kinds=kinds,
        levels=levels,
        rows=columns[:, 0],
        strata=columns[:, 1],
        succeeded=columns[:, 2] == 1,
        weeks=weeks,
        seconds=tuple(tuple(answer.seconds for answer in card.answers) for card in history.cards),
        recall=np.array([np.nan if value is None else value for value in recall]),
    )


def _counted(values: NDArray[np.int64], size: int) -> Counts:
    return np.bincount(values, minlength=size).astype(np.float64)


def _level(card: Card) -> str:
    level = card.axes.get("level", OTHER)
    return level if level in _LEVELS else OTHER


def _recalls(card: Card) -> list[tuple[int, int, bool]]:
    """Return study day, days of waiting and success of each recall."""
    days = [(day, next(answers)) for day, answers in groupby(card.answers, key=lambda answer: answer.day)]
    return [(day, day - before, answer.grade > FORGOTTEN) for (before, _), (day, answer) in pairwise(days)]
