"""Recipe: what to build, read from TOML and checked.

Every field has a default, and the defaults together are the whole standard-guitar deck. A mistake is told with file,
key, value and remedy.
"""

from deckbuilder.recipe.reading import DEFAULT_NAME, RecipeError, parse_recipe, read_recipe
from deckbuilder.recipe.recipe import DEFAULT_TITLE, Recipe
from deckbuilder.recipe.tables import HANDS, LEFT, RIGHT, InstrumentTable, Sound

__all__ = [
    "DEFAULT_NAME",
    "DEFAULT_TITLE",
    "HANDS",
    "LEFT",
    "RIGHT",
    "InstrumentTable",
    "Recipe",
    "RecipeError",
    "Sound",
    "parse_recipe",
    "read_recipe",
]
