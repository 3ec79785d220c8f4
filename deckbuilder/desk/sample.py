"""Sample: one card of a deck as the app will show it, made for this look alone, and the media on it.

Cards are shuffled by a digest of what they ask, so that a card keeps its neighbours when others come or go.
"""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from deckbuilder.cards.cardtypes import front_text, shown
from deckbuilder.cards.facts import AnyKind
from deckbuilder.cards.note import Note
from deckbuilder.deck.notetypes import style
from deckbuilder.desk.asked import Asked, answered
from deckbuilder.desk.media import media_answer
from deckbuilder.desk.state import desk_of
from deckbuilder.preview.cards import cards_of, values_of

STYLE = "/card.css"


@dataclass(frozen=True, slots=True)
class Sample:
    """A card.

    Args:
        note: the note.
        kind: how it asks for the note.
    """

    note: Note
    kind: AnyKind

    @property
    def name(self) -> str:
        """The card's lasting name."""
        return f"{self.note.id}/{self.kind}"


def shuffled(notes: Sequence[Note]) -> tuple[Sample, ...]:
    """Return every card of some notes, shuffled always in the same way.

    Args:
        notes: the notes.
    """
    cards = [Sample(note, kind) for note in notes for kind in note.kinds]
    return tuple(sorted(cards, key=lambda card: hashlib.sha256(card.name.encode()).digest()))


def place_of(cards: Sequence[Sample], number: object, name: object) -> int:
    """Return which of some cards is meant: that of a name if it is there, else the one of a number, round and round.

    Args:
        cards: the cards.
        number: from 0; what is no whole number counts as 0.
        name: a card's name, or something else.
    """
    for place, card in enumerate(cards):
        if card.name == name:
            return place
    return number % len(cards) if isinstance(number, int) else 0


async def _sample(request: Request) -> Response:
    return await answered(request, _card)


def _card(asked: Asked) -> Response:
    cards = asked.book.once("shuffled", lambda: shuffled(asked.book.notes))
    kind = asked.body.get("kind")
    if kind is not None:
        cards = tuple(card for card in cards if card.kind.value == kind)
    if not cards:
        raise HTTPException(404, "no card of this deck asks in this way; choose another way to ask")
    place = place_of(cards, asked.body.get("number"), asked.body.get("name"))
    card = cards[place]
    (sides,) = cards_of([replace(card.note, kinds=(card.kind,))])
    asked.desk.gallery.show(made.description for made in shown(card.note).values())
    return JSONResponse(
        {
            "number": place,
            "of": len(cards),
            "name": card.name,
            "kind": card.kind.value,
            "asks": front_text(card.note, card.kind),
            "values": values_of(card.note, card.kind),
            "front": sides.front,
            "back": sides.back,
            "style": STYLE,
        }
    )


async def _style(_request: Request) -> Response:
    return Response(style(), media_type="text/css")


async def _medium(request: Request) -> Response:
    name = request.path_params["name"]
    found = await run_in_threadpool(desk_of(request).gallery.get, name)
    if found is None:
        raise HTTPException(404, "no card that is shown has such a picture or sound")
    return media_answer(found, name)


ROUTES = (
    Route("/api/sample", _sample, methods=["POST"]),
    Route("/media/{name}", _medium),
    Route(STYLE, _style),
)
