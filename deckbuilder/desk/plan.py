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
from deckbuilder.progress.simulation import KNOWN_AT_FIRST, Course, planned_cards, simulated

MINUTES = (1.0, 600.0)
"""Fewest and most minutes a day."""
USUAL_MINUTES = 15.0
_SEED = 1
"""Of the simulated player's chance, as the command has it."""


class PlanError(UserError, ValueError):
    """A course of study that nobody can take."""


def plan(course: Course, notes: tuple[Note, ...]) -> dict[str, Any]:
    """Return what a simulated course comes to.

    Args:
        course: the course.
        notes: the notes of its cards.

    Returns:
        `cards`, `minutes`; `days` until every card was seen, None if that is not within `within` days; `levels` with
        the day on which each is first met, `laps` with the day on which each was seen whole; `reviews_a_day`, those of
        a typical day until then.
    """
    titles = {note.level: level_title(note) for note in notes}
    return {
        "cards": course.cards,
        "minutes": course.minutes,
        "days": course.all_seen,
        "within": len(course.days),
        "levels": [{"level": level, "title": titles[level], "day": day} for level, day in course.levels.items()],
        "laps": [{"name": name, "day": day} for name, day in course.laps.items()],
        "reviews_a_day": median(day.reviews for day in course.days[: course.all_seen]),
    }


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
