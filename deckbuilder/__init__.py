"""Compute, draw, sound and package flashcard decks that keep the guitar neck fresh in every key.

What a program that builds decks needs is here, loaded when it is asked for, and with it the extensions that are
installed; one that cannot be used is warned of and left out.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from deckbuilder.build import build as build_deck
    from deckbuilder.build import notes_of
    from deckbuilder.cards.recipe import Recipe
    from deckbuilder.deck.store import Store
    from deckbuilder.errors import UserError
    from deckbuilder.extensions import Extension
    from deckbuilder.recipe import parse_recipe, read_recipe

__all__ = [
    "Extension",
    "Recipe",
    "Store",
    "UserError",
    "build_deck",
    "load_extensions",
    "notes_of",
    "parse_recipe",
    "read_recipe",
]

_PLACES = {
    "Extension": "deckbuilder.extensions:Extension",
    "Recipe": "deckbuilder.cards.recipe:Recipe",
    "Store": "deckbuilder.deck.store:Store",
    "UserError": "deckbuilder.errors:UserError",
    "build_deck": "deckbuilder.build:build",
    "notes_of": "deckbuilder.build:notes_of",
    "parse_recipe": "deckbuilder.recipe:parse_recipe",
    "read_recipe": "deckbuilder.recipe:read_recipe",
}
_DOORS = ("build_deck", "notes_of", "parse_recipe", "read_recipe")
"""Names with which a program begins; an extension itself needs none of them."""

_loaded: list[tuple[str, ...]] = []


def load_extensions() -> tuple[str, ...]:
    """Load the extensions that are installed, once a process.

    Returns:
        A sentence for each that cannot be used.
    """
    if not _loaded:
        from importlib.metadata import entry_points

        _loaded.append(())  # an extension that imports this package is no reason to begin again
        if found := entry_points(group="deckbuilder.extensions"):
            from deckbuilder.extensions import install_all

            _loaded[0] = install_all(found)
    return _loaded[0]


def __getattr__(name: str) -> Any:
    if name not in _PLACES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    if name in _DOORS and not _loaded:
        import warnings

        for problem in load_extensions():
            warnings.warn(problem, stacklevel=2)
    module, _, attribute = _PLACES[name].partition(":")
    return getattr(import_module(module), attribute)


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
