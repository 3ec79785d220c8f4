"""Analysis: everything that is said of a history, measured once for all that show it."""

from collections.abc import Mapping
from dataclasses import dataclass

from deckbuilder.progress.cells import AXES, Axis, Cell, cell_of
from deckbuilder.progress.checkup import CheckUp, check_up
from deckbuilder.progress.figures import Figures, Verdict, measured, overall, weak
from deckbuilder.progress.patterns import Pattern, patterns
from deckbuilder.progress.records import History
from deckbuilder.progress.study import Study, study_of

TOLD = 10
"""Weak cells that are told by name at most."""


@dataclass(frozen=True, eq=False, slots=True)
class Analysis:
    """What is said of a history.

    Args:
        study: the history in columns.
        overall: figures of all cards.
        cells: figures of each key and region at each level.
        weak: the weak cells, the surest first.
        patterns: what weak answers have in common.
        axes: figures of each group of each axis; an axis with one group is left out.
        checkup: what the latest answers say, first looks among them.
    """

    study: Study
    overall: Figures
    cells: Mapping[Cell, Figures]
    weak: tuple[Cell, ...]
    patterns: tuple[Pattern, ...]
    axes: tuple[tuple[Axis, Mapping[str, Figures]], ...]
    checkup: CheckUp

    @property
    def history(self) -> History:
        """The history."""
        return self.study.history

    @property
    def judged(self) -> int:
        """Number of cells with enough recalls to be judged."""
        return sum(figures.verdict is not Verdict.NOT_YET for figures in self.cells.values())

    @property
    def levels(self) -> tuple[int, ...]:
        """Levels that have cells."""
        return tuple(sorted({cell.level for cell in self.cells}))


def analyse(history: History) -> Analysis:
    """Measure a history.

    Args:
        history: what was studied.
    """
    study = study_of(history)
    cells = measured(study, cell_of)
    tables = [(axis, measured(study, axis.group_of, axis.across)) for axis in AXES]
    return Analysis(
        study=study,
        overall=overall(study),
        cells=cells,
        weak=weak(cells),
        patterns=patterns(study),
        axes=tuple((axis, table) for axis, table in tables if len(table) > 1),
        checkup=check_up(history),
    )
