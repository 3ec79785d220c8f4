"""Summary: what a recipe comes to, counted exactly; only bytes are estimated."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from deckbuilder.cards.cardtypes import shown
from deckbuilder.cards.levels import LEVELS
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.desk.asked import Asked, answered
from deckbuilder.desk.sizes import NOTE, Scales
from deckbuilder.medium import MediaType
from deckbuilder.speech import translate


def summary(recipe: Recipe, notes: Sequence[Note], scales: Scales) -> dict[str, Any]:
    """Count what a deck will hold.

    Args:
        recipe: what is built.
        notes: its notes.
        scales: what weighs their media.

    Returns:
        `title`; `notes`, `cards`, `pictures` (written music among them), `clips`; `size` in bytes, estimated;
        `by_level`: notes and cards of each level, then of each of the recipe's own changes.
    """
    weighed = (scales.weighed(attachment) for note in notes for attachment in shown(note).values())
    media = {made.name: made for made in weighed}.values()
    types = Counter(made.media_type for made in media)
    size = sum(made.size for made in media) + NOTE * len(notes)
    return {
        "title": recipe.deck_title,
        "notes": len(notes),
        "cards": sum(len(note.kinds) for note in notes),
        "pictures": types[MediaType.IMAGE],
        "clips": types[MediaType.SOUND],
        "size": round(size),
        "by_level": list(_by_level(notes)),
    }


def level_title(note: Note) -> str:
    """Return the title of the level that brings a note, or the name of the changes of one's own that do."""
    level = LEVELS.get(note.level)
    return translate(level.title) if level else note.changes[0]


def _by_level(notes: Iterable[Note]) -> Iterator[dict[str, Any]]:
    found: dict[int, list[Note]] = {}
    for note in notes:
        found.setdefault(note.level, []).append(note)
    for number, brought in sorted(found.items()):
        yield {
            "level": number,
            "title": level_title(brought[0]),
            "notes": len(brought),
            "cards": sum(len(note.kinds) for note in brought),
        }


async def _summary(request: Request) -> Response:
    return await answered(request, _counted)


def _counted(asked: Asked) -> Response:
    return JSONResponse(asked.book.once("summary", lambda: summary(asked.recipe, asked.book.notes, asked.desk.scales)))


ROUTES = (Route("/api/summary", _summary, methods=["POST"]),)
