"""Plan: what studying a recipe's deck some minutes a day comes to, by the same simulation as the command.

A simulation may take two seconds. A newer one overtakes it.
"""

from statistics import median
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from deckbuilder.cards.note import Note
from deckbuilder.desk.asked import Asked, answered
from deckbuilder.desk.remembered import OvertakenError
from deckbuilder.desk.summary import level_title
from deckbuilder.errors import UserError
from deckbuilder.progress.simulation import KNOWN_AT_FIRST, Course, Day, planned_cards, simulated

MINUTES = (1.0, 600.0)
"""Fewest and most minutes a day."""
USUAL_MINUTES = 15.0
_SEED = 1
"""Of the simulated player's chance, as the command has it."""
_WEEK = 7


class PlanError(UserError, ValueError):
    """A course of study that nobody can take."""


def plan(course: Course, notes: tuple[Note, ...]) -> dict[str, Any]:
    """Return what a simulated course comes to.

    Args:
        course: the course.
        notes: the notes of its cards.

    Returns:
        `cards`, `minutes`; `days` until every card was seen, None if that is not within `within` days; `levels` with
        the day on which each is first met, `laps` with the day on which each was seen whole; `new_a_day`,
        `reviews_a_day` and `most_reviews` until then; `afterwards`, the reviews and minutes of a typical day later,
        None where there was none; `weeks`, the minutes of a typical day of each week, those on new cards apart.
    """
    titles = {note.level: level_title(note) for note in notes}
    learning, later = course.days[: course.all_seen], course.days[course.all_seen or len(course.days) :]
    return {
        "cards": course.cards,
        "minutes": course.minutes,
        "days": course.all_seen,
        "within": len(course.days),
        "levels": [{"level": level, "title": titles[level], "day": day} for level, day in course.levels.items()],
        "laps": [{"name": name, "day": day} for name, day in course.laps.items()],
        "new_a_day": _typical(learning, "new"),
        "reviews_a_day": _typical(learning, "reviews"),
        "most_reviews": max((day.reviews for day in learning), default=0),
        "afterwards": {"reviews": _typical(later, "reviews"), "minutes": _typical(later, "minutes")} if later else None,
        "weeks": [
            {"minutes": _typical(week, "minutes"), "new": _typical(week, "minutes_new")}
            for week in (course.days[first : first + _WEEK] for first in range(0, len(course.days), _WEEK))
        ],
    }


def _typical(days: tuple[Day, ...], what: str) -> float:
    return round(median(getattr(day, what) for day in days), 1) if days else 0.0


async def _plan(request: Request) -> Response:
    return await answered(request, _planned)


def _planned(asked: Asked) -> Response:
    minutes = _number(asked.body, "minutes", USUAL_MINUTES, *MINUTES)
    known = _number(asked.body, "known", KNOWN_AT_FIRST, 0.0, 1.0)
    turn = asked.desk.plans.turn()

    def go_on() -> None:
        if not turn():
            raise OvertakenError

    def found() -> dict[str, Any]:
        notes = tuple(asked.book.notes)
        return plan(simulated(planned_cards(notes), minutes, _SEED, known, go_on), notes)

    return JSONResponse(asked.book.once(("plan", minutes, known), found))


def _number(body: dict[str, Any], name: str, usual: float, lowest: float, highest: float) -> float:
    value = body.get(name, usual)
    if isinstance(value, bool) or not isinstance(value, int | float) or not lowest <= value <= highest:
        raise PlanError(f"{name}: give a number from {lowest:g} to {highest:g}")
    return float(value)


ROUTES = (Route("/api/plan", _plan, methods=["POST"]),)
