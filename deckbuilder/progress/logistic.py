"""Logistic: a penalised logistic regression, and how surprising a weighted sum of successes is.

- Ridge regression for shares: S. le Cessie and J. C. van Houwelingen, “Ridge estimators in logistic regression”,
  Applied Statistics 41 (1992). The penalties are the precisions of normal priors, the curvature at the fit gives the
  covariance (Laplace's approximation).
- Tail of a sum of independent successes: R. Lugannani and S. Rice, “Saddle point approximation for the distribution of
  the sum of independent random variables”, Advances in Applied Probability 12 (1980); of use where a normal curve is
  not, with twenty answers of which nine in ten succeed.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import cho_factor, cho_solve
from scipy.special import expit, ndtr

Column = NDArray[np.float64]

_STEPS = 30
_CLOSE = 1e-7
_FARTHEST = 30.0
"""Saddle points are sought up to here; beyond them a tail is as good as nothing."""
_HALVINGS = 50


@dataclass(frozen=True, eq=False, slots=True)
class Fit:
    """A fitted regression.

    Args:
        coefficients: one for each column of the design.
        covariance: of the coefficients.
    """

    coefficients: Column
    covariance: Column


def fitted(design: Column, outcomes: Column, precisions: Column) -> Fit:
    """Fit a logistic regression with a normal prior around 0 for each coefficient, by Newton's method.

    Args:
        design: shape (answers, coefficients).
        outcomes: 1 or 0 for each answer.
        precisions: of each coefficient's prior, above 0.
    """
    coefficients = np.zeros(design.shape[1])
    penalty = np.diag(precisions)
    for _ in range(_STEPS):
        chances = expit(design @ coefficients)
        curvature = design.T @ (design * (chances * (1 - chances))[:, None]) + penalty
        slope = design.T @ (outcomes - chances) - precisions * coefficients
        step = cho_solve(cho_factor(curvature), slope)
        # A step of more than 2 leaves the region in which the curvature holds.
        coefficients = coefficients + step * min(1.0, 2.0 / max(float(np.abs(step).max()), _CLOSE))
        if np.abs(step).max() < _CLOSE:
            break
    chances = expit(design @ coefficients)
    curvature = design.T @ (design * (chances * (1 - chances))[:, None]) + penalty
    return Fit(coefficients, np.linalg.inv(curvature))


def residual(column: Column, design: Column, weights: Column, precisions: Column) -> Column:
    """Return what is left of a column when a weighted, penalised regression on a design has explained it.

    Args:
        column: one value for each answer.
        design: shape (answers, coefficients).
        weights: of each answer.
        precisions: of each coefficient's prior.
    """
    weighted = design * weights[:, None]
    explained = cho_solve(cho_factor(design.T @ weighted + np.diag(precisions)), weighted.T @ column)
    found: Column = column - design @ explained
    return found


def lower_tail(weights: Column, chances: Column, surplus: float) -> float:
    """Return the chance that a weighted sum of successes lies so far below what is expected, or farther.

    Args:
        weights: of each answer.
        chances: of each answer's success.
        surplus: what the sum is above its expectation; the chance of a sum at or above it is not looked for: 1.
    """
    failures = 1 - chances

    def slope(at: float) -> float:
        tilted = chances * np.exp(at * weights)
        return float(weights @ (tilted / (failures + tilted) - chances))

    if surplus >= 0:
        return 1.0
    low, high = -_FARTHEST / float(np.abs(weights).max()), 0.0
    if slope(low) > surplus:
        return 0.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (low, middle) if slope(middle) > surplus else (middle, high)
    at = (low + high) / 2
    tilted = chances * np.exp(at * weights)
    share = tilted / (failures + tilted)
    height = float(np.log(failures + tilted).sum() - at * (weights @ chances) - at * surplus)
    spread = at * math.sqrt(float((weights * weights * share * (1 - share)).sum()))
    root = -math.sqrt(max(-2 * height, 0.0))
    if root > -0.05:
        # So near to the middle the formula divides nothing by nothing, and the normal curve is good enough.
        return float(ndtr(surplus / math.sqrt(float((weights * weights * chances * failures).sum()))))
    density = math.exp(-root * root / 2) / math.sqrt(2 * math.pi)
    return min(max(float(ndtr(root)) + density * (1 / root - 1 / spread), 0.0), 1.0)
