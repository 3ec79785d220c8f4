"""Intervals and comparisons of counts, against SciPy, a published table and published definitions."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from deckbuilder.progress.inference import below_rest, holm, wilson


@given(trials=st.integers(1, 5000), data=st.data())
def test_wilson_is_scipys(trials: int, data: st.DataObject) -> None:
    """scipy.stats.binomtest(…).proportion_ci(method="wilson")."""
    successes = data.draw(st.integers(0, trials))
    expected = stats.binomtest(successes, trials).proportion_ci(0.95, method="wilson")
    low, high = wilson(successes, trials)
    assert low == pytest.approx(expected.low, abs=1e-12)
    assert high == pytest.approx(expected.high, abs=1e-12)


@pytest.mark.parametrize(
    ("successes", "trials", "low", "high"),
    [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_wilson_is_newcombes(successes: int, trials: int, low: float, high: float) -> None:
    """R. G. Newcombe, Statistics in Medicine 17 (1998) 857–872, table I, method 3, the score interval (from memory)."""
    assert wilson(successes, trials) == pytest.approx((low, high), abs=5e-5)


@pytest.mark.parametrize("trials", [20, 50, 100])
def test_wilson_covers_at_its_rate(trials: int) -> None:
    """Exact coverage by the binomial law, averaged over the truth, is near 95 % (Brown, Cai and DasGupta, 2001)."""
    truths = np.linspace(0.02, 0.98, 193)
    outcomes = np.arange(trials + 1)
    bounds = np.array([wilson(float(outcome), trials) for outcome in outcomes])
    inside = (bounds[:, :1] <= truths) & (truths <= bounds[:, 1:])
    coverage = (stats.binom.pmf(outcomes[:, None], trials, truths) * inside).sum(axis=0)
    assert coverage.mean() == pytest.approx(0.95, abs=0.01)
    assert coverage.min() > 0.83


ADMISSIONS = np.array(
    # Admitted and rejected men, admitted and rejected women, in six departments.
    [
        (512, 313, 89, 19),
        (353, 207, 17, 8),
        (120, 205, 202, 391),
        (138, 279, 131, 244),
        (53, 138, 94, 299),
        (22, 351, 24, 317),
    ],
    dtype=float,
)
"""P. J. Bickel et al., “Sex bias in graduate admissions: data from Berkeley”, Science 187 (1975); from memory."""


def test_the_comparison_is_the_published_one_for_berkeley() -> None:
    """R's documented `mantelhaen.test(UCBAdmissions)`: X² = 1.4269 with continuity correction, p = 0.2323 (memory)."""
    admitted_men, rejected_men, admitted_women, _ = ADMISSIONS.T
    found = below_rest(admitted_men + rejected_men, admitted_men, ADMISSIONS.sum(axis=1), admitted_men + admitted_women)
    assert found.deviate**2 == pytest.approx(1.4269, abs=5e-5)
    assert 2 * found.p == pytest.approx(0.2323, abs=5e-5)


@given(st.lists(st.integers(1, 400), min_size=4, max_size=4))
def test_in_one_stratum_the_comparison_is_chi_squared(counts: list[int]) -> None:
    """For one table, X² of Mantel and Haenszel is Yates's X² of scipy.stats.chi2_contingency times (n − 1) / n."""
    (won, lost), (rest_won, rest_lost) = table = np.array(counts, dtype=float).reshape(2, 2)
    total = table.sum()
    found = below_rest(np.array([won + lost]), np.array([won]), np.array([total]), np.array([won + rest_won]))
    gap = abs(won * rest_lost - lost * rest_won) / total
    expected = stats.chi2_contingency(table, correction=True).statistic * (total - 1) / total if gap > 0.5 else 0.0
    assert found.deviate**2 == pytest.approx(expected, rel=1e-9, abs=1e-9)
    assert found.p == pytest.approx(stats.norm.sf(found.deviate), rel=1e-9)


def test_a_group_without_rest_is_not_compared() -> None:
    alone = np.array([10.0, 0.0])
    found = below_rest(alone, alone / 2, alone, alone / 2)
    assert (found.deviate, found.p, found.expected) == (0.0, 1.0, None)


def test_holm_is_the_step_down_of_its_definition() -> None:
    """S. Holm (1979); the example worked by hand: sorted p times 4, 3, 2, 1, never falling."""
    assert holm([0.01, 0.04, 0.03, 0.005]) == pytest.approx((0.03, 0.06, 0.06, 0.02))
    assert holm([]) == ()
    assert holm([0.9, 0.8]) == (1.0, 1.0)


@given(st.lists(st.floats(0, 1), max_size=30))
def test_holm_lies_between_no_correction_and_bonferroni(p_values: list[float]) -> None:
    for raw, adjusted in zip(p_values, holm(p_values), strict=True):
        assert raw <= adjusted <= min(1.0, raw * len(p_values)) + 1e-12
        assert not math.isnan(adjusted)
