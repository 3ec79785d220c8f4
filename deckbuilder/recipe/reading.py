"""Reading a recipe's file, and telling every mistake in it with file, key, value and remedy."""

import tomllib
from collections.abc import Mapping, Sequence
from itertools import pairwise
from pathlib import Path
from typing import Any, get_args

from pydantic import BaseModel, ValidationError

from deckbuilder.errors import ToldError
from deckbuilder.recipe.checks import nearest, shown
from deckbuilder.recipe.recipe import Recipe

DEFAULT_NAME = "the default recipe"
"""What errors call the recipe when no file is named."""

_DESCRIBED = {
    "extra_forbidden": "there is no such field",
    "int_type": "this has to be a whole number",
    "int_from_float": "this has to be a whole number",
    "bool_type": "this has to be true or false",
    "float_type": "this has to be a number",
    "string_type": "this has to be a text in quotes",
    "tuple_type": "this has to be a list in square brackets",
    "model_type": "this has to be a table of its own",
    "model_attributes_type": "this has to be a table of its own",
}


_SEVERAL = ("changes", "sections")
"""Fields that hold several tables."""


class RecipeError(ToldError, ValueError):
    """A recipe that cannot be built; each line names file, key, value and remedy."""


def read_recipe(path: Path | None, overrides: Mapping[str, object] | None = None) -> Recipe:
    """Read a recipe.

    Args:
        path: a TOML file; None for the default recipe.
        overrides: fields that take the place of the file's.

    Raises:
        RecipeError: the file is missing, is not TOML, or asks for something that is not there.
    """
    name = str(path) if path else DEFAULT_NAME
    fields = _toml(path) if path else {}
    return parse_recipe(_overridden(fields, overrides or {}), name)


def parse_recipe(fields: Mapping[str, object], name: str) -> Recipe:
    """Check a recipe's fields.

    Args:
        fields: the fields as TOML gives them.
        name: what errors call the recipe.

    Raises:
        RecipeError: a field is unknown or has no sense; all mistakes are told at once.
    """
    try:
        return Recipe.model_validate(fields)
    except ValidationError as error:
        raise RecipeError("\n".join(_told(name, dict(details)) for details in error.errors())) from None


def _overridden(fields: Mapping[str, object], overrides: Mapping[str, object]) -> dict[str, object]:
    """Put overrides in the place of fields, table by table."""
    merged = dict(fields)
    for name, value in overrides.items():
        table = merged.get(name)
        merged[name] = _overridden(table, value) if isinstance(table, dict) and isinstance(value, Mapping) else value
    return merged


def _toml(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        raise RecipeError(f"{path}: there is no such file; name a recipe, or none for the default deck") from None
    except OSError as error:
        raise RecipeError(f"{path}: the recipe cannot be read ({error.strerror})") from None
    except UnicodeDecodeError:
        raise RecipeError(f"{path}: this is not a text file; a recipe is TOML in UTF-8") from None
    except tomllib.TOMLDecodeError as error:
        raise RecipeError(f"{path}: this is not TOML: {error}") from None


def _told(name: str, details: Mapping[str, Any]) -> str:
    """Tell one mistake: file, key, value, remedy."""
    location: Sequence[int | str] = details["loc"]
    key = _key(location)
    if details["type"] == "extra_forbidden":
        return f"{name}: {key}: there is no such field{nearest(str(location[-1]), _fields_beside(location))}"
    value = details["input"]
    described = _DESCRIBED.get(details["type"]) or details["msg"].removeprefix("Value error, ")
    return f"{name}: {key} = {shown(value)}: {described}"


def _fields_beside(location: Sequence[int | str]) -> list[str]:
    table: type[BaseModel] = Recipe
    for part in location[:-1]:
        if isinstance(part, str):
            annotation = table.model_fields[part].annotation
            tables = (one for one in (annotation, *get_args(annotation)) if isinstance(one, type))
            table = next((one for one in tables if issubclass(one, BaseModel)), table)
    return list(table.model_fields)


def _key(location: Sequence[int | str]) -> str:
    """Name a field as TOML does, a table of several by its number from 1: `changes 2.bars`."""
    key = ""
    for before, part in pairwise((None, *location)):
        if isinstance(part, str):
            key += ("." if key else "") + part
        elif before in _SEVERAL and part is not None:
            key += f" {part + 1}"
    return key or "recipe"
