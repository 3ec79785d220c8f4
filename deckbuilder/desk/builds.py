"""Builds: what the page asks of building, and the decks to take away."""

import asyncio
import json
from collections.abc import AsyncIterator, Sequence
from pathlib import Path
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, Response, StreamingResponse
from starlette.routing import Route

from deckbuilder.deck.marks import title_of
from deckbuilder.deck.writers import DEFAULT_FORMATS, WRITERS
from deckbuilder.desk.answers import body_of, refused
from deckbuilder.desk.building import Building, Built, BusyError, Job, State, Status, recipe_job
from deckbuilder.desk.phone import DECK_TYPE
from deckbuilder.desk.state import Desk, desk_of
from deckbuilder.recipe import Recipe, parse_recipe

_LOOK = 0.1
"""s between two looks at a build: a page is told ten times a second at most."""
_QUIET = 15.0
"""s after which a connection on which nothing is told shows that it lives."""
_DECK = ".apkg"


def recipe_in(body: dict[str, Any], desk: Desk) -> Recipe:
    """Return the recipe that a request brings.

    Args:
        body: of the request.
        desk: in whose folder the files lie that the recipe names.

    Raises:
        RecipeError: it cannot be built.
    """
    given = body.get("recipe")
    if not isinstance(given, dict):
        raise HTTPException(400, "“recipe” has to be a JSON object")
    return parse_recipe(given, "the recipe", folder=desk.folder)


def started(building: Building, job: Job) -> Response:
    """Start a build, and answer with its number."""
    try:
        return JSONResponse({"id": building.start(job)}, 202)
    except BusyError as error:
        return refused(str(error), 409)


def deck_in(folder: Path, name: str) -> Path:
    """Return a deck of the desk's folder that was built here.

    Args:
        folder: the desk's.
        name: of the file.

    Raises:
        HTTPException: there is none of this name.
    """
    if name in {path.name for path in _decks(folder)}:
        return folder / name
    raise HTTPException(404, "there is no such deck; build it first")


def _decks(folder: Path) -> list[Path]:
    """Return the decks in a folder that were built here, the newest first."""
    try:
        found = [path for path in folder.iterdir() if path.suffix == _DECK and not path.name.startswith(".")]
        ours = [path for path in found if path.is_file() and title_of(path) is not None]
        return sorted(ours, key=lambda path: path.stat().st_mtime, reverse=True)
    except OSError:
        return []


def _shown(state: State) -> dict[str, Any]:
    """Return what is told of a build."""
    more: dict[str, Any] = {}
    match state.status:
        case Status.PROGRESS:
            more = {"stage": state.stage, "done": state.done, "total": state.total, "ending": state.ending}
        case Status.DONE:
            more = {**_sums(state.built), "seconds": state.seconds, "decks": [_deck(built) for built in state.built]}
        case Status.FAILED:
            more = {"error": state.error}
    return {"status": state.status, "id": state.id, **more}


def _deck(built: Built) -> dict[str, Any]:
    summary = built.summary
    return {
        "deck": built.place.name,
        "title": built.recipe.deck_title,
        "notes": summary.notes,
        "cards": summary.cards,
        "pictures": summary.pictures,
        "clips": summary.clips,
        "size": summary.size,
    }


def _sums(made: Sequence[Built]) -> dict[str, Any]:
    return {
        "deck": made[0].place.name,
        "notes": sum(built.summary.notes for built in made),
        "cards": sum(built.summary.cards for built in made),
        "size": sum(built.summary.size for built in made),
    }


async def _start(request: Request) -> Response:
    desk, body = desk_of(request), await body_of(request)
    formats = body.get("formats", [])
    if not isinstance(formats, list) or not all(name in WRITERS for name in map(str, formats)):
        raise HTTPException(400, f"“formats” has to list some of {', '.join(WRITERS)}")
    recipe = await run_in_threadpool(recipe_in, body, desk)
    return started(desk.building, recipe_job(recipe, desk.folder, [*DEFAULT_FORMATS, *map(str, formats)]))


async def _current(request: Request) -> Response:
    return JSONResponse(_shown(desk_of(request).building.state))


async def _cancel(request: Request) -> Response:
    building = desk_of(request).building
    building.cancel()
    return JSONResponse(_shown(building.state))


async def _events(request: Request) -> Response:
    return StreamingResponse(_told(desk_of(request)), media_type="text/event-stream")


async def _told(desk: Desk) -> AsyncIterator[str]:
    """Tell how it stands, and again whenever it has changed: server-sent events as HTML has them (WHATWG, 9.2)."""
    last: State | None = None
    quiet = 0.0
    while not desk.closing.is_set():
        state = desk.building.state
        if state is not last:
            last, quiet = state, 0.0
            yield f"event: {state.status}\ndata: {json.dumps(_shown(state))}\n\n"
        elif quiet >= _QUIET:
            quiet = 0.0
            yield ":\n\n"
        await asyncio.sleep(_LOOK)
        quiet += _LOOK


async def _list(request: Request) -> Response:
    def found() -> list[dict[str, Any]]:
        decks = _decks(desk_of(request).folder)
        return [{"deck": path.name, "title": title_of(path), "size": path.stat().st_size} for path in decks]

    return JSONResponse({"decks": await run_in_threadpool(found)})


async def _download(request: Request) -> Response:
    path = await run_in_threadpool(deck_in, desk_of(request).folder, request.path_params["name"])
    return FileResponse(path, media_type=DECK_TYPE, filename=path.name)


ROUTES = (
    Route("/api/builds", _start, methods=["POST"]),
    Route("/api/builds/current", _current),
    Route("/api/builds/events", _events),
    Route("/api/builds/cancel", _cancel, methods=["POST"]),
    Route("/api/decks", _list),
    Route("/decks/{name}", _download),
)
