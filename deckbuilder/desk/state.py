"""State: what one desk holds while it is open."""

import gc
import secrets
from concurrent.futures import CancelledError
from contextlib import suppress
from dataclasses import dataclass, field
from importlib import import_module
from pathlib import Path
from threading import Event

from starlette.requests import Request

from deckbuilder.cards.recipe import Recipe
from deckbuilder.deck.store import Store
from deckbuilder.desk.building import Building
from deckbuilder.desk.gallery import Gallery
from deckbuilder.desk.histories import Histories
from deckbuilder.desk.notebook import Notebook
from deckbuilder.desk.phone import Phone
from deckbuilder.desk.sizes import Scales
from deckbuilder.desk.turns import Turns
from deckbuilder.medium import renderers


@dataclass(slots=True)
class Desk:
    """One desk: where its files lie, its secret, and what it is at.

    Args:
        folder: where decks and recipes go; made when something is first written.
        store: where rendered media are kept.
        workers: processes that render; None for one a core.
        port: on which it listens.
        token: the secret of its first address and its cookie.
        tickets: secrets that let in once in the token's place.
        closing: set when it is to end; whatever answers without end stops then.
        building: where its decks are built.
        phone: the deck on offer to phones.
        histories: the study histories that were brought.
        notebook: the notes of the recipes that are asked about.
        gallery: the media of cards that are shown.
        scales: what weighs their media.
        plans: whose question about a course of study is the newest.
    """

    folder: Path
    store: Store
    workers: int | None
    port: int
    token: str = field(default_factory=secrets.token_urlsafe)
    tickets: set[str] = field(default_factory=set)
    closing: Event = field(default_factory=Event)
    notebook: Notebook = field(default_factory=Notebook)
    building: Building = field(init=False)
    phone: Phone = field(default_factory=Phone)
    histories: Histories = field(default_factory=Histories)
    gallery: Gallery = field(init=False)
    scales: Scales = field(default_factory=Scales)
    plans: Turns = field(default_factory=Turns)

    def __post_init__(self) -> None:
        self.building = Building(self.store, self.workers, self.notebook.memory)
        self.gallery = Gallery(self.store)

    @property
    def url(self) -> str:
        """The first address."""
        return self._entry(self.token)

    def ticket(self) -> str:
        """Return an address that lets in once: others on this computer may see what a browser is started with."""
        ticket = secrets.token_urlsafe()
        self.tickets.add(ticket)
        return self._entry(ticket)

    def _entry(self, secret: str) -> str:
        return f"http://127.0.0.1:{self.port}/enter/{secret}"

    def warm(self) -> None:
        """Make ready what is asked for first: the default recipe's notes, and what draws and sounds."""
        made = self.notebook.book(Recipe())
        for name in renderers():
            if self.closing.is_set():
                return
            import_module(name)
        with suppress(CancelledError):
            made.exception()
        # All this stays: nobody is to wait while the collector of garbage walks through it again and again.
        gc.freeze()

    def leave(self) -> None:
        """Have what is at work end; for the event loop in which requests are answered."""
        self.closing.set()
        self.notebook.leave()
        self.plans.end()
        self.building.cancel()
        self.phone.stop()

    def close(self) -> None:
        """End what is at work, and wait until it has ended."""
        self.closing.set()
        self.notebook.close()
        self.building.close()


def desk_of(request: Request) -> Desk:
    """Return the desk that a request was made to."""
    desk: Desk = request.app.state.desk
    return desk
