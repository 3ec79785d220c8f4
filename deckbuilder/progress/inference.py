"""Inference: intervals and comparisons for counts of answers, fit for small numbers and for many comparisons.

- Interval of a share: E. B. Wilson, “Probable inference, the law of succession, and statistical inference”, Journal of
  the American Statistical Association 22 (1927), the score interval.
- Comparison of two shares across strata: N. Mantel and W. Haenszel, “Statistical aspects of the analysis of data from
  retrospective studies of disease”, Journal of the National Cancer Institute 22 (1959), with their correction of ½.
- Many comparisons at once: S. Holm, “A simple sequentially rejective multiple test procedure”, Scandinavian Journal of
  Statistics 6 (1979), which keeps the chance of even one false finding below the level.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Counts = NDArray[np.float64]

CONFIDENCE = 0.95
"""Share of intervals that hold the truth."""
_Z = 1.959963984540054
"""The normal deviate that bounds the middle 95 %."""


def wilson(successes: float, trials: float) -> tuple[float, float]:
    """Return the 95 % interval of a share.

    Args:
        successes: how often it went well.
        trials: of how many; with none the interval is everything, 0 to 1.
    """
    if trials <= 0:
        return 0.0, 1.0
    share, square = successes / trials, _Z * _Z
    middle = (share + square / (2 * trials)) / (1 + square / trials)
    reach = _Z * math.sqrt(share * (1 - share) / trials + square / (4 * trials * trials)) / (1 + square / trials)
    low = 0.0 if successes <= 0 else max(middle - reach, 0.0)
    high = 1.0 if successes >= trials else min(middle + reach, 1.0)
    return low, high


@dataclass(frozen=True, slots=True)
class Comparison:
    """A group against the rest, within strata.

    Args:
        deviate: how far the group lies below the rest, in standard deviations.
        p: chance of lying as far below if there were no difference.
        expected: share of successes that the rest has in the group's mix of strata; None where no stratum has both.
    """

    deviate: float
    p: float
    expected: float | None


def below_rest(group_trials: Counts, group_successes: Counts, trials: Counts, successes: Counts) -> Comparison:
    """Ask whether a group succeeds less often than the rest, stratum by stratum (Mantel–Haenszel, one-sided).

    Args:
        group_trials: the group's trials in each stratum.
        group_successes: its successes.
        trials: everybody's trials in each stratum, the group's among them.
        successes: everybody's successes.
    """
    rest_trials, rest_successes = trials - group_trials, successes - group_successes
    both = (group_trials > 0) & (rest_trials > 0)
    if not both.any():
        return Comparison(0.0, 1.0, None)
    n1, n0, s1, n, s = (a[both] for a in (group_trials, rest_trials, group_successes, trials, successes))
    expected = float((n1 * rest_successes[both] / n0).sum() / n1.sum())
    variance = float((n1 * n0 * s * (n - s) / (n * n * (n - 1))).sum())
    if variance == 0:
        return Comparison(0.0, 1.0, expected)
    gap = float((n1 * s / n - s1).sum())
    deviate = math.copysign(max(abs(gap) - 0.5, 0.0), gap) / math.sqrt(variance)
    return Comparison(deviate, math.erfc(deviate / math.sqrt(2)) / 2, expected)


def holm(p_values: Sequence[float]) -> tuple[float, ...]:
    """Adjust p-values for being many, so that a level holds for all of them together.

    Args:
        p_values: one for each comparison.
    """
    order = sorted(range(len(p_values)), key=lambda index: p_values[index])
    adjusted = [1.0] * len(p_values)
    highest = 0.0
    for rank, index in enumerate(order):
        highest = max(highest, min(1.0, p_values[index] * (len(p_values) - rank)))
        adjusted[index] = highest
    return tuple(adjusted)
