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
from deckbuilder.speech import _, number, plural

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
    minutes = f"{course.minutes:g}"
    yield _("{cards} cards, {minutes} minutes a day, simulated", cards=number(course.cards), minutes=minutes)
    if course.all_seen is None:
        yield _(
            "Every card seen: not within {days} days; study longer a day, or choose fewer keys or regions.",
            days=number(LONGEST),
        )
    else:
        yield _("Every card seen: day {day}.", day=number(course.all_seen))
    if len(course.levels) > 1:
        met = (
            _("{level}, on day {day}", level=level_name(level), day=number(day)) for level, day in course.levels.items()
        )
        yield _("First met: {levels}.", levels="; ".join(met))
    if len(course.laps) > 1:
        yield _("Seen whole: {laps}.", laps="; ".join(_on_day(lap, day) for lap, day in course.laps.items()))
    learning = course.days[: course.all_seen]
    yield _(
        "Until then, on a typical day: {cards}, {reviews}; on the fullest, {most}.",
        cards=_new_cards(_typical(day.new for day in learning)),
        reviews=_reviews(_typical(day.reviews for day in learning)),
        most=_reviews(max(day.reviews for day in learning)),
    )
    if course.all_seen is not None and course.days[course.all_seen :]:
        after = course.days[course.all_seen :]
        yield _(
            "In the {days} days after, on a typical day: {reviews}, {minutes}.",
            days=AFTERWARDS,
            reviews=_reviews(_typical(day.reviews for day in after)),
            minutes=_minutes(_typical(day.minutes for day in after)),
        )


def _on_day(name: str, day: int | None) -> str:
    return _("{name} not yet", name=name) if not day else _("{name} on day {day}", name=name, day=number(day))


def _new_cards(count: int) -> str:
    return plural("{count} new card", "{count} new cards", count)


def _reviews(count: int) -> str:
    return plural("{count} review", "{count} reviews", count)


def _minutes(count: int) -> str:
    return plural("{count} minute", "{count} minutes", count)


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


def _typical(values: Iterable[float]) -> int:
    return round(median(values))


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
        charts.text(
            axes,
            24,
            42,
            _("{cards} cards, minutes a day", cards=number(course.cards)),
            _TITLE,
            ha="left",
            weight="bold",
        )
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
    laps = enumerate(course.laps.values(), start=1)
    marks = [(day, _("lap {number}", number=lap)) for lap, day in laps if day is not None]
    if course.all_seen is not None:
        marks = [*(mark for mark in marks if mark[0] != course.all_seen), (course.all_seen, _("all seen"))]
    for place, (day, words) in enumerate(marks):
        x = _LEFT + (day - 1) * day_width
        y = _TOP - 22 - _LABEL_STEP * (place % 2)
        axes.plot([x, x], [y + 12, _BOTTOM + 8], color=charts.INK, linewidth=charts.line_width(2))
        side = "right" if x > WIDTH * 0.75 else "left"
        charts.text(axes, x + (-6 if side == "right" else 6), y, words, _SMALL, ha=side)
        charts.text(axes, x, _BOTTOM + 24, f"{day}", _SMALL, charts.QUIET, ha="left" if place == 0 else "center")


def _draw_legend(axes: Axes) -> None:
    from matplotlib.patches import Rectangle

    y = _HEIGHT - 42
    charts.text(axes, WIDTH - _RIGHT, y + 11, _("day"), _SMALL, charts.QUIET, ha="right")
    for x, colour, words in ((_LEFT, charts.STEADY, _("reviews")), (_LEFT + 240, charts.WEAK, _("new cards"))):
        axes.add_patch(Rectangle((x, y), 24, 22, facecolor=colour, edgecolor="none"))
        charts.text(axes, x + 36, y + 11, words, _SMALL, ha="left")
