"""Notebook: the notes of the recipes that a page asks about, each made once, the newest first of all.

A page asks again with every touch. So notes are made in a thread of their own, and a recipe that a newer one has
overtaken is left at once; what was made until then is remembered and not lost.
"""

from collections import OrderedDict
from collections.abc import Callable, Hashable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from threading import Lock
from typing import Any, TypeVar, cast

from deckbuilder.build import notes_of
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.desk.remembered import Memory, OvertakenError, remembering

_RECIPES = 8
"""Recipes whose notes are kept whole."""

_Found = TypeVar("_Found")


class Book:
    """A recipe's notes, and what was found out about them.

    Args:
        notes: the notes in the order of study.
    """

    def __init__(self, notes: Sequence[Note]) -> None:
        self.notes = notes
        self._found: dict[Hashable, Any] = {}

    def once(self, what: Hashable, find: Callable[[], _Found]) -> _Found:
        """Return what is found out about the notes, the first time by finding it out.

        Args:
            what: what it is called.
            find: finds it out.
        """
        if what not in self._found:
            self._found[what] = find()
        return cast(_Found, self._found[what])


class Notebook:
    """Notes of recipes. Requests of several threads may share it."""

    def __init__(self) -> None:
        self.memory = Memory()
        self._books: OrderedDict[Recipe, Future[Book]] = OrderedDict()
        self._newest: Recipe | None = None
        self._closed = False
        self._lock = Lock()
        self._maker = ThreadPoolExecutor(1, "notes")

    def book(self, recipe: Recipe) -> "Future[Book]":
        """Return a recipe's notes, or the promise of them; every other recipe is overtaken by this one.

        Args:
            recipe: what they are of.

        Returns:
            What ends with the notes, with `EmptySelectionError`, or with `OvertakenError`; cancelled where no more
            notes are made.
        """
        with self._lock:
            if self._closed:
                return _cancelled()
            self._newest = recipe
            book = self._books.pop(recipe, None)
            if book is None or _was_left(book):
                book = self._maker.submit(self._made, recipe)
            self._books[recipe] = book
            while len(self._books) > _RECIPES:
                self._books.popitem(last=False)
        return book

    def leave(self) -> None:
        """Leave the notes that are being made."""
        self._newest = None

    def close(self) -> None:
        """Make no more notes."""
        with self._lock:
            self._closed = True
        self.leave()
        self._maker.shutdown(cancel_futures=True)

    def _made(self, recipe: Recipe) -> Book:
        def wanted() -> bool:
            return self._newest == recipe

        if not wanted():
            raise OvertakenError
        return Book(notes_of(recipe, tuple(remembering(recipe, self.memory, wanted))))


def _cancelled() -> "Future[Book]":
    future: Future[Book] = Future()
    future.cancel()
    return future


def _was_left(book: "Future[Book]") -> bool:
    return book.done() and (book.cancelled() or isinstance(book.exception(), OvertakenError))
