"""Figures: what is measured of a group of cards, and whether it is weak.

A group is *weak* when it is recalled clearly less often than the rest after the same waits: at least `MARGIN` less, and
so much that among all groups compared at once chance would name even a single one in at most one history out of twenty
(Mantel–Haenszel across strata, Holm across groups). A group with fewer than `ENOUGH` recalls is not judged.
"""

from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeVar, cast

import numpy as np

from deckbuilder.progress.inference import CONFIDENCE, Comparison, Counts, below_rest, holm, wilson
from deckbuilder.progress.records import Card
from deckbuilder.progress.study import Across, Study

ENOUGH = 20
"""Recalls below which nothing is said: at 18 of 20 the interval still spans 70 to 97 %."""
MARGIN = 0.05
"""Share of recalls by which a weak group falls short at least; less is not worth a practice plan."""

Group = TypeVar("Group", bound=Hashable)


class Verdict(StrEnum):
    """What can be said of a group."""

    WEAK = "weak"
    """Recalled clearly less often than the rest."""
    STEADY = "steady"
    """Enough data, and no such sign."""
    NOT_YET = "not enough yet"
    """Too little data to tell."""


@dataclass(frozen=True, slots=True)
class Figures:
    """What is measured of a group of cards.

    Args:
        cards: how many there are.
        seen: how many of them were answered at least once.
        recalls: first answers of a day to cards answered on an earlier day.
        recalled: how many of these succeeded.
        low: lower end of the 95 % interval of their share.
        high: upper end.
        rest: the share that all other cards reach after the same waits; None where there is nothing to compare.
        lapses: how often a learned card was forgotten.
        seconds: median s per answer; None without answers.
        interval: median days between turns, of cards past their first steps; None where there are none.
        due: share of seen cards in study whose next turn is today or overdue; None where there are none.
        recall: mean estimated probability of recall now, of seen cards; None where there are none.
        deviate: how far it lies below the rest, in standard deviations.
        verdict: what can be said.
        chance: that chance alone would call it or any other group weak, all compared at once; 1 where it is not judged.
    """

    cards: int
    seen: int
    recalls: int
    recalled: int
    low: float
    high: float
    rest: float | None
    lapses: int
    seconds: float | None
    interval: float | None
    due: float | None
    recall: float | None
    deviate: float
    verdict: Verdict
    chance: float

    @property
    def share(self) -> float | None:
        """Share of recalls that succeeded; None where there are too few to say."""
        return None if self.verdict is Verdict.NOT_YET else self.recalled / self.recalls


def measured(
    study: Study, group_of: Callable[[Card], Group | None], across: Across = Across.NOTHING
) -> Mapping[Group, Figures]:
    """Measure groups of cards, and compare each with the rest.

    Args:
        study: the history.
        group_of: a card's group; None for a card that belongs to none.
        across: whose strata are taken together, as those of kinds where the groups are kinds.

    Returns:
        Figures by group, in the order of the groups' first cards.
    """
    everyone = study.counts(across=across)
    members = cast("dict[Group, list[int]]", study.members(group_of))
    counts = {group: study.counts(rows, across) for group, rows in members.items()}
    comparisons = {group: below_rest(*own, *everyone) for group, own in counts.items()}
    judged = [group for group, (trials, _) in counts.items() if trials.sum() >= ENOUGH]
    adjusted = dict(zip(judged, holm([comparisons[group].p for group in judged]), strict=True))
    return {
        group: _figures(study, rows, counts[group], comparisons[group], adjusted.get(group))
        for group, rows in members.items()
    }


def overall(study: Study) -> Figures:
    """Measure all cards together."""
    rows = list(range(len(study.history.cards)))
    everyone = study.counts()
    enough = everyone[0].sum() >= ENOUGH
    return _figures(study, rows, everyone, Comparison(0.0, 1.0, None), 1.0 if enough else None)


def weak(figures: Mapping[Group, Figures]) -> tuple[Group, ...]:
    """Return the weak groups, the surest first.

    Args:
        figures: what was measured.
    """
    found = [group for group, measures in figures.items() if measures.verdict is Verdict.WEAK]
    return tuple(sorted(found, key=lambda group: -figures[group].deviate))


def is_weak(share: float, comparison: Comparison, adjusted_p: float) -> bool:
    """Tell whether a share lies clearly below the rest.

    Args:
        share: of recalls that succeeded.
        comparison: of the group with the rest.
        adjusted_p: its p-value among all that are compared.
    """
    expected = comparison.expected
    return expected is not None and share <= expected - MARGIN and adjusted_p <= 1 - CONFIDENCE


def _figures(
    study: Study, rows: list[int], counts: tuple[Counts, Counts], comparison: Comparison, adjusted_p: float | None
) -> Figures:
    cards = [study.history.cards[row] for row in rows]
    recalls, recalled = (int(count.sum()) for count in counts)
    low, high = wilson(recalled, recalls)
    seen = [card for card in cards if card.answers]
    turns = [card.due <= study.history.today for card in seen if card.due is not None]
    if adjusted_p is None:
        verdict = Verdict.NOT_YET
    else:
        verdict = Verdict.WEAK if is_weak(recalled / recalls, comparison, adjusted_p) else Verdict.STEADY
    return Figures(
        cards=len(cards),
        seen=len(seen),
        recalls=recalls,
        recalled=recalled,
        low=low,
        high=high,
        rest=comparison.expected,
        lapses=sum(card.lapses for card in cards),
        seconds=_median([seconds for row in rows for seconds in study.seconds[row]]),
        interval=_median([card.interval for card in cards if card.interval is not None]),
        due=sum(turns) / len(turns) if turns else None,
        recall=float(np.nanmean(study.recall[rows])) if seen else None,
        deviate=comparison.deviate,
        verdict=verdict,
        chance=1.0 if adjusted_p is None else adjusted_p,
    )


def _median(values: list[float] | list[int]) -> float | None:
    return float(np.median(values)) if values else None
