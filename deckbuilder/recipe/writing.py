"""Writing a recipe as TOML."""

from dataclasses import Field, fields, is_dataclass, replace
from enum import Enum
from typing import Any

import tomli_w

from deckbuilder.cards.choices import InstrumentChoice
from deckbuilder.cards.recipe import Recipe
from deckbuilder.neck.tuning import parse_tuning
from deckbuilder.recipe.naming import renamed_tables
from deckbuilder.sound.description import OwnSound
from deckbuilder.speech import Names


def recipe_toml(recipe: Recipe) -> str:
    """Write a recipe as TOML; fields that would be the same without are left out.

    Args:
        recipe: the recipe.
    """
    return tomli_w.dumps(tables_of(recipe))


def tables_of(recipe: Recipe) -> dict[str, Any]:
    """Return a recipe's tables and fields as TOML has them, without those that hold what they would hold anyway.

    Tones have the recipe's own names.

    Args:
        recipe: the recipe.
    """
    with recipe.in_force():
        instrument = replace(InstrumentChoice(), frets=parse_tuning(recipe.instrument.tuning).usual_frets)
    regions = tuple(range(1, recipe.instrument.regions + 1))
    tables = _changed(recipe, Recipe(instrument=instrument, regions=regions))
    return renamed_tables(tables, Names.ENGLISH, recipe.names)


def _changed(table: Any, usual: Any) -> dict[str, Any]:
    """Return the fields of a table that differ from those of another, or from their defaults where there is none."""
    return {
        field.name: _plain(value, former)
        for field in fields(table)
        for value in [getattr(table, field.name)]
        for former in [_usual(field, usual)]
        if value != former
    }


def _usual(field: Field[Any], usual: Any) -> Any:
    return field.default if usual is None else getattr(usual, field.name)


def _plain(value: Any, usual: Any) -> Any:
    if isinstance(value, OwnSound):
        return value.path
    if is_dataclass(value):
        return _changed(value, usual)
    if isinstance(value, tuple):
        return [_plain(one, None) for one in value]
    return value.value if isinstance(value, Enum) else value
