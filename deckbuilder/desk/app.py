"""App: the desk's routes put together, behind its guard."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from starlette.applications import Starlette
from starlette.middleware import Middleware

from deckbuilder.desk import (
    builds,
    choices,
    necks,
    pages,
    phones,
    plan,
    previews,
    reading,
    recipes,
    sample,
    study,
    summary,
)
from deckbuilder.desk.answers import HANDLERS
from deckbuilder.desk.guard import HOME, Guard
from deckbuilder.desk.pages import page
from deckbuilder.desk.state import Desk

_ROUTES = (
    *pages.ROUTES,
    *builds.ROUTES,
    *previews.ROUTES,
    *phones.ROUTES,
    *choices.ROUTES,
    *summary.ROUTES,
    *sample.ROUTES,
    *plan.ROUTES,
    *necks.ROUTES,
    *reading.ROUTES,
    *recipes.ROUTES,
    *study.ROUTES,
)
"""Every module's; a further one is named here."""


def make_app(desk: Desk) -> Starlette:
    """Return what answers requests to a desk.

    Args:
        desk: what the requests are about.
    """
    pages_of_guard = {"closed": page("closed.html"), "entering": page("entering.html", home=HOME)}
    guard = Middleware(Guard, port=desk.port, token=desk.token, tickets=desk.tickets, **pages_of_guard)

    @asynccontextmanager
    async def life(_app: Starlette) -> AsyncIterator[None]:
        yield
        await desk.phone.close()

    app = Starlette(routes=_ROUTES, middleware=[guard], exception_handlers=HANDLERS, lifespan=life)
    app.state.desk = desk
    return app
