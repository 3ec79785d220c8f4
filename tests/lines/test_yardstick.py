"""The lines of the default deck, taken together, move as transcribed jazz solos do; the yardstick names its source."""

import pytest

from tests.lines.deck import default_examples
from tests.lines.yardstick import (
    CHROMATIC_RUNS,
    ENCLOSING_FIGURES,
    INTERVALS,
    TURNS,
    Figures,
    divergence,
    measured,
)


@pytest.fixture(scope="module")
def figures() -> Figures:
    return measured(example.line for example in default_examples())


def test_intervals_are_as_wide(figures: Figures) -> None:
    assert divergence(figures.intervals, INTERVALS) < 0.02


def test_chromatic_runs_and_enclosing_figures_are_as_frequent(figures: Figures) -> None:
    assert CHROMATIC_RUNS / 2 <= figures.chromatic_runs <= 2 * CHROMATIC_RUNS
    assert ENCLOSING_FIGURES / 2 <= figures.enclosing_figures <= 2 * ENCLOSING_FIGURES


def test_they_turn_as_often(figures: Figures) -> None:
    assert figures.turns == pytest.approx(TURNS, abs=0.1)


def test_most_notes_are_eighths_and_some_are_longer(figures: Figures) -> None:
    assert 0.5 <= figures.eighths <= 0.75
    assert 0.1 <= figures.quarters <= 0.25


def test_the_measure_of_divergence_is_zero_for_the_same_and_one_bit_for_what_never_meets() -> None:
    assert divergence((0.5, 0.5), (0.5, 0.5)) == 0
    assert divergence((1, 0), (0, 1)) == 1
