"""Previews: the page that shows every card of what was built, from memory and the store."""

from functools import lru_cache
from pathlib import PurePath

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from deckbuilder.build import media_of, notes_of
from deckbuilder.deck.store import Store
from deckbuilder.deck.writers import MEDIA
from deckbuilder.desk.building import State
from deckbuilder.desk.guard import FRAMED, POLICY
from deckbuilder.desk.media import MediaFiles, media_answer
from deckbuilder.desk.remembered import Memory, remembering
from deckbuilder.desk.state import desk_of
from deckbuilder.preview.page import INDEX, page_texts

_PLACE = "/preview/"
_TYPES = {".html": "text/html", ".css": "text/css", ".js": "text/javascript"}


class _Preview:
    """The page of what a build made."""

    def __init__(self, store: Store, memory: Memory, state: State) -> None:
        notes = [note for built in state.built for note in notes_of(built.recipe, remembering(built.recipe, memory))]
        recipe = state.built[0].recipe
        with recipe.in_force():
            self.texts = page_texts(recipe.deck_title, notes)
            media = {medium.name: medium for medium in media_of(notes)}
        self.media = MediaFiles(store, media)


@lru_cache(maxsize=1)
def _preview(store: Store, memory: Memory, state: State) -> _Preview:
    return _Preview(store, memory, state)


async def _show(request: Request) -> Response:
    return await run_in_threadpool(_answer, request, request.path_params["path"])


def _answer(request: Request, path: str) -> Response:
    desk = desk_of(request)
    last = desk.building.last
    if last is None:
        raise HTTPException(404, "nothing was built yet; build a deck first")
    if not path:
        return RedirectResponse(f"{_PLACE}{INDEX}")
    preview = _preview(desk.store, desk.notebook.memory, last)
    if path in preview.texts:
        media_type = _TYPES[PurePath(path).suffix]
        return Response(preview.texts[path], media_type=media_type, headers={POLICY: FRAMED})
    folder, _, name = path.rpartition("/")
    try:
        if folder != MEDIA:
            raise KeyError(path)
        return media_answer(preview.media.file(name), name)
    except KeyError:
        raise HTTPException(404, "there is no such file") from None


ROUTES = (Route(_PLACE + "{path:path}", _show),)
