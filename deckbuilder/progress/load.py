"""Load: a simulated course of study, in words and as a picture."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from statistics import median
from typing import TYPE_CHECKING, Any

import numpy as np

from deckbuilder.picture.style import WIDTH
from deckbuilder.progress import charts
from deckbuilder.progress.cells import level_name
from deckbuilder.progress.simulation import AFTERWARDS, LONGEST, Course

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_HEIGHT = 520
_LEFT, _RIGHT, _TOP, _BOTTOM = 76, 28, 148, 408
_SMALL, _TITLE = 22, 32
_LABEL_STEP = 28


def lines(course: Course) -> Iterator[str]:
    """Yield what a course comes to, line by line.

    Args:
        course: the simulated course.
    """
    yield f"{course.cards:,} cards, {course.minutes:g} minutes a day, simulated"
    if course.all_seen is None:
        yield f"Every card seen: not within {LONGEST:,} days; study longer a day, or choose fewer keys or regions."
    else:
        yield f"Every card seen: day {course.all_seen:,}."
    met = ", ".join(f"{level_name(level)}, on day {day:,}" for level, day in course.levels.items())
    if len(course.levels) > 1:
        yield f"First met: {met}."
    if len(course.laps) > 1:
        seen = ", ".join(f"{lap} on day {day:,}" if day else f"{lap} not" for lap, day in course.laps.items())
        yield f"Seen whole: {seen}."
    learning = course.days[: course.all_seen]
    yield (
        f"Until then, on a typical day: {_typical(day.new for day in learning)} new cards, "
        f"{_typical(day.reviews for day in learning)} reviews; on the fullest, "
        f"{max(day.reviews for day in learning):,} reviews."
    )
    if course.all_seen is not None and course.days[course.all_seen :]:
        after = course.days[course.all_seen :]
        yield (
            f"In the {AFTERWARDS} days after, on a typical day: {_typical(day.reviews for day in after)} reviews, "
            f"{_typical(day.minutes for day in after)} minutes."
        )


def figures(course: Course) -> dict[str, Any]:
    """Return what a course comes to as plain values for other programs.

    Args:
        course: the simulated course.

    Returns:
        `levels`: the day on which each level is first met; `laps`: the day on which each lap was seen whole, in the
        order of study; `all`: the day on which every card was seen; a day that never comes is None. Then the number of
        `cards`, the `minutes` a day, and the `names` of the laps.
    """
    return {
        "levels": {str(level): day for level, day in course.levels.items()},
        "laps": list(course.laps.values()),
        "all": course.all_seen,
        "cards": course.cards,
        "minutes": course.minutes,
        "names": list(course.laps),
    }


def _typical(values: Iterable[float]) -> str:
    return f"{median(values):.0f}"


def load_picture(course: Course) -> bytes:
    """Draw the minutes of each day, those on new cards apart.

    Args:
        course: the simulated course.

    Returns:
        The bytes of a PNG.
    """
    days = np.arange(len(course.days), dtype=float)
    total = np.array([day.minutes for day in course.days])
    fresh = np.array([day.minutes_new for day in course.days])
    unit = (_BOTTOM - _TOP) / float(max(total.max(), course.minutes))
    day_width = (WIDTH - _LEFT - _RIGHT) / len(days)
    x = _LEFT + days * day_width
    with charts.drawing(_HEIGHT) as (figure, axes):
        charts.text(axes, 24, 42, f"{course.cards:,} cards, minutes a day", _TITLE, ha="left", weight="bold")
        for minutes in (0.0, course.minutes / 2, course.minutes):
            y = _BOTTOM - minutes * unit
            axes.plot([_LEFT, WIDTH - _RIGHT], [y, y], color=charts.EDGE, linewidth=charts.line_width(2), zorder=0)
            charts.text(axes, _LEFT - 12, y, f"{minutes:g}", _SMALL, charts.QUIET, ha="right")
        old = total - fresh
        axes.bar(x, -old * unit, day_width * 1.02, _BOTTOM, align="edge", color=charts.STEADY, linewidth=0)
        axes.bar(x, -fresh * unit, day_width * 1.02, _BOTTOM - old * unit, align="edge", color=charts.WEAK, linewidth=0)
        _draw_marks(axes, course, day_width)
        _draw_legend(axes)
        return charts.png(figure)


def _draw_marks(axes: Axes, course: Course, day_width: float) -> None:
    """Draw a line where each lap was seen whole, and the days below."""
    marks = [(day, f"lap {number}") for number, day in enumerate(course.laps.values(), start=1) if day is not None]
    if course.all_seen is not None:
        marks = [*(mark for mark in marks if mark[0] != course.all_seen), (course.all_seen, "all seen")]
    for number, (day, words) in enumerate(marks):
        x = _LEFT + (day - 1) * day_width
        y = _TOP - 22 - _LABEL_STEP * (number % 2)
        axes.plot([x, x], [y + 12, _BOTTOM + 8], color=charts.INK, linewidth=charts.line_width(2))
        side = "right" if x > WIDTH * 0.75 else "left"
        charts.text(axes, x + (-6 if side == "right" else 6), y, words, _SMALL, ha=side)
        charts.text(axes, x, _BOTTOM + 24, f"{day}", _SMALL, charts.QUIET, ha="left" if number == 0 else "center")


def _draw_legend(axes: Axes) -> None:
    from matplotlib.patches import Rectangle

    y = _HEIGHT - 42
    charts.text(axes, WIDTH - _RIGHT, y + 11, "day", _SMALL, charts.QUIET, ha="right")
    for x, colour, words in ((_LEFT, charts.STEADY, "reviews"), (_LEFT + 180, charts.WEAK, "new cards")):
        axes.add_patch(Rectangle((x, y), 24, 22, facecolor=colour, edgecolor="none"))
        charts.text(axes, x + 36, y + 11, words, _SMALL, ha="left")
