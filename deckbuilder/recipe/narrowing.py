"""Narrowing: what the filters of the command line do to a recipe's blocks.

A filter takes the place of what the recipe says for all blocks; of what a block says for itself it leaves that which it
names, and a block of which nothing is left goes.
"""

from collections.abc import Mapping
from dataclasses import fields, replace

from deckbuilder.cards.choices import StudyBlock
from deckbuilder.cards.recipe import Recipe
from deckbuilder.recipe.toml import RecipeError


def narrowed(recipe: Recipe, overrides: Mapping[str, object], name: str) -> Recipe:
    """Return a recipe whose blocks hold no more than some filters leave.

    Args:
        recipe: the recipe, its own fields with the filters in their place.
        overrides: the filters among other things, by the names of fields.
        name: what errors call the recipe.

    Raises:
        RecipeError: of no block anything is left.
    """
    filters = [field.name for field in fields(StudyBlock) if field.name in overrides]
    if not filters or not recipe.study or "study" in overrides:
        return recipe
    blocks = (_narrowed(block, recipe, filters) for block in recipe.study)
    left = tuple(block for block in blocks if block is not None)
    if not left:
        options = ", ".join(f"--{field} {','.join(map(str, getattr(recipe, field)))}" for field in filters)
        raise RecipeError(f"{options}: no [[study]] block of {name} has that; leave an option out or widen it")
    return replace(recipe, study=left)


def _narrowed(block: StudyBlock, recipe: Recipe, filters: list[str]) -> StudyBlock | None:
    for field in filters:
        own, wanted = getattr(block, field), getattr(recipe, field)
        if own:
            kept = tuple(value for value in own if value in wanted)
            if not kept:
                return None
            block = replace(block, **{field: kept})
    return block
