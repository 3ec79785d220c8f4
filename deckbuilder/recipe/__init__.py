"""Recipes as files: read from TOML and checked, written as TOML.

What a recipe is and every default stand in `deckbuilder.cards.recipe`. A mistake is told with file, key, value and
remedy.
"""

from deckbuilder.cards.recipe import Recipe
from deckbuilder.recipe.reading import DEFAULT_NAME, parse_recipe, read_recipe
from deckbuilder.recipe.toml import RecipeError

__all__ = ["DEFAULT_NAME", "Recipe", "RecipeError", "parse_recipe", "read_recipe"]
