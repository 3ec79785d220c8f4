"""Shared notes: those of a class, made once for all students who study the same."""

from dataclasses import replace

from deckbuilder.build import notes_of
from deckbuilder.cards.facts import AnyKind, Kind
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe

_OVER_LOOPS = frozenset({Kind.IMPROVISE, Kind.FOLLOW})
"""Kinds whose notes take longest to make, and show no neck of their own."""


class SharedNotes:
    """Notes of recipes; what does not change notes, as a title, does not count."""

    def __init__(self) -> None:
        self._made: dict[Recipe, tuple[Note, ...]] = {}

    def of(self, recipe: Recipe) -> tuple[Note, ...]:
        """Return a recipe's notes in the order of study.

        Args:
            recipe: what a student studies.

        Raises:
            EmptySelectionError: it asks for nothing.
        """
        plain = replace(recipe, title=Recipe.title, new_limit=None)
        if plain not in self._made:
            self._made[plain] = notes_of(plain)
        return self._made[plain]

    def on_the_neck(self, recipe: Recipe) -> tuple[Note, ...]:
        """Return a recipe's notes that are asked on the neck or apart from it; all where there are no others.

        Args:
            recipe: what a student studies.
        """
        kinds = _on_the_neck(recipe.kinds)
        blocks = tuple(replace(block, kinds=_on_the_neck(block.kinds)) for block in recipe.study)
        return self.of(replace(recipe, kinds=kinds, study=blocks) if kinds else recipe)


def _on_the_neck(kinds: tuple[AnyKind, ...]) -> tuple[AnyKind, ...]:
    return tuple(kind for kind in kinds if kind not in _OVER_LOOPS)
