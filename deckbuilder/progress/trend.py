"""Trend: recall week by week, with its interval, and how much was asked."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from deckbuilder.picture.style import WIDTH
from deckbuilder.progress import charts
from deckbuilder.progress.figures import ENOUGH
from deckbuilder.progress.inference import wilson
from deckbuilder.progress.records import DAY
from deckbuilder.progress.study import Study
from deckbuilder.speech import _, marked, percent, translate

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Column = NDArray[np.float64]

LONGEST = 52
"""Weeks shown at most, the latest."""

_HEIGHT = 470
_LEFT, _RIGHT, _TOP, _BOTTOM = 92, 28, 96, 286
_BARS_TOP, _BARS_BOTTOM = 340, 398
_SMALL, _TITLE = 22, 32
_STEP = 0.1
_MONTHS = (
    marked("Jan"),
    marked("Feb"),
    marked("Mar"),
    marked("Apr"),
    marked("May"),
    marked("Jun"),
    marked("Jul"),
    marked("Aug"),
    marked("Sep"),
    marked("Oct"),
    marked("Nov"),
    marked("Dec"),
)


def trend(study: Study) -> bytes:
    """Draw recall over the weeks up to now.

    Args:
        study: the history.

    Returns:
        The bytes of a PNG. A week with too few recalls has a bar but no point.
    """
    weeks = study.weeks[-LONGEST:]
    column = (WIDTH - _LEFT - _RIGHT) / max(len(weeks), 1)
    x: Column = _LEFT + column * (np.arange(len(weeks), dtype=np.float64) + 0.5)
    judged = weeks[:, 0] >= ENOUGH
    share = np.divide(weeks[:, 1], weeks[:, 0], out=np.full(len(weeks), np.nan), where=judged)
    bounds = np.array([wilson(recalled, recalls) for recalls, recalled in weeks]).reshape(-1, 2)
    bounds[~judged] = np.nan
    lowest = min(0.5, np.floor(np.nanmin(bounds) / _STEP) * _STEP) if judged.any() else 0.5

    def y_of(value: Column) -> Column:
        return _BOTTOM - (value - lowest) / (1 - lowest) * (_BOTTOM - _TOP)

    with charts.drawing(_HEIGHT) as (figure, axes):
        charts.text(axes, 24, 42, _("Recalled, week by week"), _TITLE, ha="left", weight="bold")
        for value in np.arange(lowest, 1.0001, _STEP):
            y = float(y_of(value))
            axes.plot([_LEFT, WIDTH - _RIGHT], [y, y], color=charts.EDGE, linewidth=charts.line_width(2))
            charts.text(axes, _LEFT - 14, y, percent(value), _SMALL, charts.QUIET, ha="right")
        axes.fill_between(x, y_of(bounds[:, 0]), y_of(bounds[:, 1]), color=charts.STEADY, alpha=0.28, linewidth=0)
        axes.plot(x, y_of(share), color=charts.STEADY, linewidth=charts.line_width(4), marker="o", markersize=5)
        most = weeks[:, 0].max() if len(weeks) else 0
        heights = weeks[:, 0] / (most or 1) * (_BARS_BOTTOM - _BARS_TOP)
        axes.bar(x, -heights, width=column * 0.72, bottom=_BARS_BOTTOM, color=charts.QUIET, linewidth=0)
        charts.text(axes, _LEFT, _BARS_TOP - 22, _("recalls in the week"), _SMALL, charts.QUIET, ha="left")
        charts.text(axes, _LEFT - 14, _BARS_TOP + 8, f"{most:.0f}", _SMALL, charts.QUIET, ha="right")
        charts.text(axes, _LEFT - 14, _BARS_BOTTOM - 8, "0", _SMALL, charts.QUIET, ha="right")
        _draw_dates(axes, x, len(weeks), study.history.now)
        return charts.png(figure)


def _draw_dates(axes: Axes, x: Column, weeks: int, now: float) -> None:
    """Write the day on which a few of the weeks ended."""
    if not weeks:
        return
    for number in sorted({0, (weeks - 1) // 2, weeks - 1}):
        ended = datetime.fromtimestamp(now - (weeks - 1 - number) * 7 * DAY, UTC)
        place = "left" if number == 0 and weeks > 1 else "right" if number == weeks - 1 else "center"
        left = _LEFT if place == "left" else WIDTH - _RIGHT if place == "right" else float(x[number])
        words = _("{day} {month} {year}", day=ended.day, month=translate(_MONTHS[ended.month - 1]), year=ended.year)
        charts.text(axes, left, _BARS_BOTTOM + 36, words, _SMALL, charts.QUIET, ha=place)
