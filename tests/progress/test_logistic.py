"""The regression against a general optimiser, the tail against exact binomial and enumerated ones."""

from itertools import product

import numpy as np
import pytest
from scipy.optimize import minimize
from scipy.stats import binom

from deckbuilder.progress.logistic import fitted, lower_tail, residual


def test_a_fit_is_the_penalised_maximum_and_its_covariance_the_curvature() -> None:
    chance = np.random.default_rng(5)
    design = np.column_stack((np.ones(150), chance.normal(size=(150, 4))))
    outcomes = (chance.random(150) < 0.7).astype(float)
    precisions = np.array([0.1, 1.0, 2.0, 4.0, 0.5])

    def loss(coefficients: np.ndarray) -> float:
        logits = design @ coefficients
        return float(np.logaddexp(0, logits).sum() - outcomes @ logits + precisions @ coefficients**2 / 2)

    best = minimize(loss, np.zeros(5), method="BFGS", options={"gtol": 1e-8})
    fit = fitted(design, outcomes, precisions)
    assert fit.coefficients == pytest.approx(best.x, abs=1e-5)
    step = 1e-4
    for index, row in enumerate(np.eye(5) * step):
        bend = (loss(best.x + row) - 2 * loss(best.x) + loss(best.x - row)) / step**2
        assert np.linalg.inv(fit.covariance)[index, index] == pytest.approx(bend, rel=1e-3)


@pytest.mark.parametrize("outcome", [0.0, 1.0])
def test_a_fit_ends_where_all_answers_are_alike(outcome: float) -> None:
    fit = fitted(np.ones((40, 1)), np.full(40, outcome), np.array([0.1]))
    assert 2 < abs(fit.coefficients[0]) < 8


@pytest.mark.parametrize(("count", "share"), [(20, 0.9), (20, 0.6), (48, 0.9)])
def test_a_tail_of_equal_weights_is_the_binomial_one_with_half_of_its_last_step(count: int, share: float) -> None:
    weights, chances = np.ones(count), np.full(count, share)
    for successes in range(count // 2, int(count * share - 1)):
        exact = binom.cdf(successes, count, share) - binom.pmf(successes, count, share) / 2
        assert lower_tail(weights, chances, successes - count * share) == pytest.approx(exact, rel=0.35)


def test_a_tail_of_unequal_weights_is_the_enumerated_one() -> None:
    chance = np.random.default_rng(2)
    weights, chances = chance.uniform(-0.3, 1, 14), chance.uniform(0.6, 0.95, 14)
    sums, odds = [], []
    for outcome in product((0.0, 1.0), repeat=14):
        taken = np.array(outcome)
        sums.append(float(weights @ (taken - chances)))
        odds.append(float(np.where(taken == 1, chances, 1 - chances).prod()))
    values, probabilities = np.array(sums), np.array(odds)
    for exact in (0.3, 0.1, 0.03, 0.01, 0.002):
        order = np.argsort(values)
        surplus = values[order][np.searchsorted(probabilities[order].cumsum(), exact)]
        assert lower_tail(weights, chances, float(surplus)) == pytest.approx(exact, rel=0.1)


def test_a_tail_has_an_end() -> None:
    weights, chances = np.ones(5), np.full(5, 0.5)
    assert lower_tail(weights, chances, 0.5) == 1.0
    assert lower_tail(weights, chances, -2.6) == 0.0


def test_a_residual_has_nothing_left_of_what_explains_it() -> None:
    chance = np.random.default_rng(3)
    design, weights = chance.normal(size=(30, 3)), chance.uniform(0.1, 0.3, 30)
    left = residual(chance.normal(size=30), design, weights, np.full(3, 1e-12))
    assert design.T @ (weights * left) == pytest.approx(np.zeros(3), abs=1e-9)
