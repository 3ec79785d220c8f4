"""Check-up: which key, region, level or start of the arpeggio a player knows less well than the rest.

All are estimated together from the latest answers (see `latest`), so that a key that was only asked at a hard level is
not called hard for that: a logistic regression with a term for each group, for what is asked and how, and for the wait.
Terms are shrunk toward the player's own mean by normal priors. They stand for what players are like; their widths are
common sense, no source: between one key and another the odds seldom differ more than fourfold.

Whether a group is *weak* is not read off the estimates, but tested: is the number of its failures, weighted by what the
other terms explain, too large for a player whose groups of this axis are all alike? With Holm's correction over all
groups, a player without a weak group is told of one in at most one check-up of twenty. (Score test; tail by saddle
point, see `logistic`; `tests/progress/test_checkup.py` measures it.)
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from scipy.special import expit, ndtr

from deckbuilder.progress.cells import KEY, LEVEL, REGION, SOURCE, Axis
from deckbuilder.progress.figures import MARGIN
from deckbuilder.progress.inference import holm
from deckbuilder.progress.latest import Latest, asked, columns_of, latest
from deckbuilder.progress.logistic import Column, Fit, fitted, lower_tail, residual
from deckbuilder.progress.records import History

ENOUGH_ANSWERS = 100
"""Answers below which no check-up is made: most of a round."""
_LEAST = 8
"""Answers below which a group is not judged."""
_MOST = 60
"""Groups of an axis that are told apart, and ways of asking: a history has far fewer, unless somebody invents them."""
_Z = 1.96
_AXES = ((KEY, 0.7, 0.035), (REGION, 0.7, 0.003), (LEVEL, 1.0, 0.003), (SOURCE, 0.7, 0.003))
"""Axes that are estimated, with the standard deviation of their terms, in logits, and the players without a weak spot
who may be told of one: most for keys, each of which has the fewest answers. Together they stay below one in twenty, as
tails are estimates."""
_MEAN_PRIOR, _ASKED_PRIOR, _WAIT_PRIOR = 3.0, 1.5, 1.5


class Finding(StrEnum):
    """What is said of a group."""

    WEAK = "weak"
    STEADY = "steady"
    NOT_YET = "not enough yet"


@dataclass(frozen=True, slots=True)
class Standing:
    """How a group of answers stands.

    Args:
        axis: what it is a group of.
        group: its value on that axis.
        answers: how many there are.
        known: how many of them succeeded.
        estimate: share that the player would know of it if it were asked in the ways, after the waits and at the
            levels in which all others are.
        low: lower end of the estimate's 95 % interval.
        high: upper end.
        rest: the same share for the other groups of the axis.
        lower: chance that it lies below the rest at all.
        finding: what is said of it.
        chance: that chance alone would call it or any other weak, all compared at once; 1 where it is not judged.
    """

    axis: Axis
    group: str
    answers: int
    known: int
    estimate: float
    low: float
    high: float
    rest: float
    lower: float
    finding: Finding
    chance: float


@dataclass(frozen=True, slots=True)
class CheckUp:
    """What the latest answers say.

    Args:
        answers: how many there are.
        first_looks: how many of them are first looks.
        known: how many of them succeeded.
        standings: of all groups, axis by axis; empty where there are too few answers.
    """

    answers: int
    first_looks: int
    known: int
    standings: tuple[Standing, ...]

    @property
    def weak(self) -> tuple[Standing, ...]:
        """The weak groups, the farthest below the rest first."""
        found = [standing for standing in self.standings if standing.finding is Finding.WEAK]
        return tuple(sorted(found, key=lambda standing: standing.estimate - standing.rest))


@dataclass(frozen=True, eq=False, slots=True)
class _Terms:
    """The terms of one axis.

    Args:
        axis: the axis.
        names: of its groups.
        first: their first column in the design.
        last: the column after their last.
        allowance: share of players who may be told of a weak group that they have not.
    """

    axis: Axis
    names: tuple[str, ...]
    first: int
    last: int
    allowance: float


@dataclass(frozen=True, eq=False, slots=True)
class _Model:
    design: Column
    precisions: Column
    axes: tuple[_Terms, ...]


def check_up(history: History) -> CheckUp:
    """Estimate how a player stands.

    Args:
        history: what was studied, first looks included.
    """
    answers = latest(history)
    total = len(answers.cards)
    standings = _standings(answers) if total >= ENOUGH_ANSWERS else ()
    return CheckUp(total, answers.first_looks, int(answers.succeeded.sum()), standings)


def _standings(answers: Latest) -> tuple[Standing, ...]:
    model = _model(answers)
    fit = fitted(model.design, answers.succeeded, model.precisions)
    found: list[Standing] = []
    for terms in model.axes:
        tested = dict(_tested(model, terms, answers.succeeded))
        surprising = dict(zip(tested, holm(tuple(tested.values())), strict=True))
        for number in range(len(terms.names)):
            found.append(_standing(model, terms, number, fit, answers.succeeded, surprising.get(number)))
    return tuple(found)


def _model(answers: Latest) -> _Model:
    """Make the design; an axis with a single group has no terms."""
    blocks, widths = [np.ones((len(answers.cards), 1))], [np.array([_MEAN_PRIOR])]
    axes: list[_Terms] = []
    for axis, width, allowance in _AXES:
        names, columns = columns_of([axis.group_of(card) for card in answers.cards], _MOST)
        if len(names) > 1:
            first = sum(block.shape[1] for block in blocks)
            axes.append(_Terms(axis, names, first, first + len(names), allowance))
            blocks.append(columns)
            widths.append(np.full(len(names), width))
    for values, width in (([asked(card) for card in answers.cards], _ASKED_PRIOR), (answers.waits, _WAIT_PRIOR)):
        names, columns = columns_of(values, _MOST)
        blocks.append(columns)
        widths.append(np.full(len(names), width))
    return _Model(np.hstack(blocks), np.concatenate(widths) ** -2, tuple(axes))


def _tested(model: _Model, terms: _Terms, outcomes: Column) -> Iterator[tuple[int, float]]:
    """Yield the number of each group that can be judged, and the chance of so few successes if the axis did nothing."""
    others = np.r_[0 : terms.first, terms.last : model.design.shape[1]]
    design, precisions = model.design[:, others], model.precisions[others]
    fit = fitted(design, outcomes, precisions)
    for number, column in enumerate(model.design[:, terms.first : terms.last].T):
        if column.sum() >= _LEAST:
            yield number, _surprise(design, precisions, column, outcomes, fit)


def _surprise(design: Column, precisions: Column, group: Column, outcomes: Column, fit: Fit) -> float:
    """Return the chance of so few successes in a group if only the terms of a design did anything.

    Args:
        design: of the other terms.
        precisions: of their priors.
        group: 1 for each answer of the group, else 0.
        outcomes: the answers.
        fit: of the other terms.
    """
    chances = expit(design @ fit.coefficients)
    weights = residual(group, design, chances * (1 - chances), precisions)
    # What was fitted follows the outcomes by as many degrees of freedom as it has, and leaves too little to chance.
    free = 1 - (len(precisions) - float(precisions @ np.diag(fit.covariance))) / len(outcomes)
    return lower_tail(weights, chances, float(weights @ (outcomes - chances)) * math.sqrt(free))


def _standing(
    model: _Model, terms: _Terms, number: int, fit: Fit, outcomes: Column, adjusted: float | None
) -> Standing:
    columns = model.design[:, terms.first : terms.last]
    own = columns[:, number] > 0
    shares = columns.sum(axis=0)
    shares[number] = 0
    contrast = np.zeros(model.design.shape[1])
    contrast[terms.first : terms.last] = -shares / shares.sum()
    contrast[terms.first + number] = 1
    gap = float(contrast @ fit.coefficients)
    error = float(np.sqrt(contrast @ fit.covariance @ contrast))
    # Everybody's answers, as if each were one of the rest: what differs between groups is then the group alone.
    effects = fit.coefficients[terms.first : terms.last]
    placed = columns.any(axis=1)
    rest_of = (model.design @ fit.coefficients - columns @ effects + effects @ (shares / shares.sum()))[placed]
    estimate, low, high, rest = (
        float(expit(rest_of + shift).mean()) for shift in (gap, gap - _Z * error, gap + _Z * error, 0.0)
    )
    if adjusted is None:
        finding = Finding.NOT_YET
    else:
        weak = adjusted <= terms.allowance and estimate <= rest - MARGIN
        finding = Finding.WEAK if weak else Finding.STEADY
    # Each axis has a share of what may be told by chance in all.
    chance = 1.0 if adjusted is None else min(adjusted * sum(share for *_, share in _AXES) / terms.allowance, 1.0)
    answered, known = int(own.sum()), int(outcomes[own].sum())
    lower = float(ndtr(-gap / error))
    name = terms.names[number]
    return Standing(terms.axis, name, answered, known, estimate, low, high, rest, lower, finding, chance)


def by_axis(standings: Sequence[Standing]) -> Iterator[tuple[Axis, tuple[Standing, ...]]]:
    """Yield each axis with its standings that can be judged, the weakest first.

    Args:
        standings: of a check-up.
    """
    for axis, _, _ in _AXES:
        own = [
            standing
            for standing in standings
            if standing.axis.title == axis.title and standing.finding is not Finding.NOT_YET
        ]
        if own:
            yield axis, tuple(sorted(own, key=lambda standing: standing.estimate))
