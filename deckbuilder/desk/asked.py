"""Asked: what every question about a recipe's notes has in common.

A question is answered at once where its notes are at hand or quickly made. Else the answer is 202 and
`{"counting": true}`: the page says that it counts and asks again with `"wait": true`, which is answered when they are
there. A question that a newer one about another recipe has overtaken is answered 409 and `{"overtaken": true}`.
"""

import asyncio
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from deckbuilder.desk.answers import body_of
from deckbuilder.desk.builds import recipe_in
from deckbuilder.desk.notebook import Book
from deckbuilder.desk.remembered import OvertakenError
from deckbuilder.desk.state import Desk, desk_of
from deckbuilder.recipe import Recipe

_AT_ONCE = 0.05
"""s that an answer is waited for where nobody says to wait."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A question about a recipe's notes.

    Args:
        desk: the desk that is asked.
        body: what the request brought.
        recipe: the recipe in it.
        book: the recipe's notes.
    """

    desk: Desk
    body: dict[str, Any]
    recipe: Recipe
    book: Book


async def answered(request: Request, answer: Callable[[Asked], Response]) -> Response:
    """Answer a question about a recipe's notes.

    Args:
        request: the request.
        answer: makes the answer, in a thread, the recipe in force.
    """
    desk, body = desk_of(request), await body_of(request)
    recipe = await run_in_threadpool(recipe_in, body, desk)
    made = asyncio.wrap_future(desk.notebook.book(recipe))
    # Where nobody waits for it any more, an error is nobody's.
    made.add_done_callback(lambda made: made.cancelled() or made.exception())
    await asyncio.wait({made}, timeout=None if body.get("wait") is True else _AT_ONCE)
    if not made.done():
        return JSONResponse({"counting": True}, 202)
    if made.cancelled():
        return _overtaken()
    try:
        asked = Asked(desk, body, recipe, made.result())
        return await run_in_threadpool(_in_force, answer, asked)
    except OvertakenError:
        return _overtaken()


def _in_force(answer: Callable[[Asked], Response], asked: Asked) -> Response:
    with asked.recipe.in_force():
        return answer(asked)


def _overtaken() -> Response:
    return JSONResponse({"overtaken": True}, 409)
