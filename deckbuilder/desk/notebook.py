"""Notebook: the notes of the recipes that a page asks about, each made once, the newest first of all.

A page asks again with every touch. So notes are made in a thread of their own, and a recipe that a newer one has
overtaken is left at once; what was made until then is remembered and not lost.
"""

from collections import OrderedDict
from collections.abc import Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from threading import Lock

from deckbuilder.build import notes_of
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.desk.remembered import Memory, OvertakenError, remembering

_RECIPES = 8
"""Recipes whose notes are kept whole."""


class Notebook:
    """Notes of recipes."""

    def __init__(self) -> None:
        self._memory = Memory()
        self._made: OrderedDict[Recipe, Future[Sequence[Note]]] = OrderedDict()
        self._newest: Recipe | None = None
        self._lock = Lock()
        self._maker = ThreadPoolExecutor(1, "notes")

    def notes(self, recipe: Recipe) -> Future[Sequence[Note]]:
        """Return a recipe's notes, or the promise of them; every other recipe is overtaken by this one.

        Args:
            recipe: what they are of.

        Returns:
            What ends with the notes in the order of study, with `EmptySelectionError`, or with `OvertakenError`.
        """
        with self._lock:
            self._newest = recipe
            made = self._made.pop(recipe, None)
            if made is None or _was_left(made):
                made = self._maker.submit(self._notes, recipe)
            self._made[recipe] = made
            while len(self._made) > _RECIPES:
                self._made.popitem(last=False)
        return made

    def close(self) -> None:
        """Make no more notes."""
        with self._lock:
            self._newest = None
        self._maker.shutdown(cancel_futures=True)

    def _notes(self, recipe: Recipe) -> Sequence[Note]:
        def wanted() -> bool:
            return self._newest == recipe

        if not wanted():
            raise OvertakenError
        return notes_of(recipe, tuple(remembering(recipe, self._memory, wanted)))


def _was_left(made: Future[Sequence[Note]]) -> bool:
    return made.cancelled() or (made.done() and isinstance(made.exception(), OvertakenError))
