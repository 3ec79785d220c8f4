"""Answers: JSON in and out, and the program's own errors as answers."""

import json
import re
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect, Request
from starlette.responses import JSONResponse, Response

from deckbuilder.errors import UserError
from deckbuilder.recipe.toml import RecipeError

LARGEST_BODY = 1 << 20
"""Bytes of JSON that a request may bring."""
_HALF = re.compile(rb"\\u[dD][89a-fA-F]")
"""Half of a character, as JSON may write those that take two; a half without the other can be written nowhere."""
_OPTIONS = {"--out": "--folder", " with --recipe": "", " (--recipe)": ""}
"""How errors name options of other commands, and what that is at the desk."""


async def body_of(request: Request) -> dict[str, Any]:
    """Return the JSON object that a request brings.

    Args:
        request: the request.

    Raises:
        HTTPException: it is too large, or no such object.
    """
    data = bytearray()
    async for chunk in request.stream():
        data += chunk
        if len(data) > LARGEST_BODY:
            raise HTTPException(413, f"a request may bring {LARGEST_BODY:,} bytes of JSON")
    try:
        found = json.loads(data or b"{}")
        if _HALF.search(data):
            json.dumps(found, ensure_ascii=False).encode()
    except (ValueError, RecursionError):
        found = None
    if not isinstance(found, dict):
        raise HTTPException(400, "this request has to bring a JSON object")
    return found


def refused(sentence: str, status: int = 422, where: list[str | int] | None = None) -> Response:
    """Return an answer that tells what is wrong.

    Args:
        sentence: what is wrong and what would be right.
        status: of HTTP; 422 for what the program cannot do with what it was given.
        where: the keys of the field in the recipe that it is about, None where it is about none.
    """
    return JSONResponse({"error": sentence, "where": where}, status)


def told(error: UserError) -> str:
    """Return what an error says, without options that the desk does not have.

    Args:
        error: one of the program's own.
    """
    sentence = str(error)
    for named, here in _OPTIONS.items():
        sentence = sentence.replace(named, here)
    return sentence


async def _told(_request: Request, error: Exception) -> Response:
    assert isinstance(error, UserError)
    if not isinstance(error, RecipeError) or not error.mistakes:
        return refused(told(error))
    mistakes = [{"error": mistake.text, "where": list(mistake.where)} for mistake in error.mistakes]
    return JSONResponse({"error": told(error), "where": mistakes[0]["where"], "mistakes": mistakes}, 422)


async def _left(_request: Request, _error: Exception) -> Response:
    return refused("this request did not come whole; send it again", 400)


async def _http(_request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    response = refused(error.detail, error.status_code)
    response.headers.update(error.headers or {})
    return response


HANDLERS: dict[Any, Any] = {UserError: _told, HTTPException: _http, ClientDisconnect: _left}
"""How errors are answered, for Starlette."""
