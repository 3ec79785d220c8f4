"""Reading a recipe's file, and telling every mistake in it with file, key, value and remedy."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields
from functools import partial
from itertools import pairwise
from pathlib import Path
from typing import Any, get_args, get_type_hints

from pydantic import ValidationError

from deckbuilder.cards.recipe import Recipe
from deckbuilder.neck.tuning import TUNINGS
from deckbuilder.recipe.checks import LONGEST_SHOWN, cut, shown, shown_key, suggestion
from deckbuilder.recipe.extending import EXTENDS, Layer, extended, layers, merged, said_in, without_other_frets
from deckbuilder.recipe.included import found, other_file
from deckbuilder.recipe.naming import in_names, names_of
from deckbuilder.recipe.narrowing import narrowed
from deckbuilder.recipe.ownrows import TAGS
from deckbuilder.recipe.table import CheckedTable
from deckbuilder.recipe.toml import NOT_THAT_DEEP, Mistake, RecipeError, read_toml, refuse_endless
from deckbuilder.recipe.validation import CHECKED, CheckedRecipe
from deckbuilder.speech import Speech, speaking
from deckbuilder.theory.colours import COLOURS

DEFAULT_NAME = "the default recipe"
"""What errors call the recipe when no file is named."""

_DESCRIBED = {
    "int_type": "this has to be a whole number",
    "int_from_float": "this has to be a whole number",
    "bool_type": "this has to be true or false",
    "greater_than_equal": "this number is far too small",
    "less_than_equal": "this number is far too large",
    "float_type": "this has to be a number",
    "string_type": "this has to be a text in quotes",
    "tuple_type": "this has to be a list in square brackets",
    "enum": "this has to be a text in quotes",
    "is_instance_of": "this has to be a text in quotes",
    "dataclass_type": "this has to be a table of its own",
}


_DIVIDERS = re.compile(r"[,;\s]+")
_SEVERAL = ("changes", "sections", "tunings", "colours", "study")
"""Fields that hold several tables."""


def read_recipe(path: Path | None, overrides: Mapping[str, object] | None = None) -> Recipe:
    """Read a recipe.

    Args:
        path: a TOML file, which may build on others (`extends`), or the name of an included recipe; None for the
            default recipe.
        overrides: fields that take the place of the file's; errors call them by the options that are named after
            them, such as `--tuning` for `instrument.tuning`.

    Raises:
        RecipeError: the file is missing, is not TOML, or asks for something that is not there.
    """
    path = found(path) if path else None
    name = str(path) if path else DEFAULT_NAME
    given = read_toml(path, other_file(path)) if path else {}
    return parse_recipe(given, name, overrides or {}, path.parent if path else Path(), path)


def parse_recipe(
    given: Mapping[str, object],
    name: str,
    overrides: Mapping[str, object] = {},
    folder: Path = Path(),
    path: Path | None = None,
    under: Sequence[Layer] = (),
) -> Recipe:
    """Check a recipe's fields.

    Args:
        given: the fields as TOML gives them.
        name: what errors call the recipe.
        overrides: fields that take the place of others, see `read_recipe`.
        folder: where the files lie that it names.
        path: its file, if it is one.
        under: what it builds on where it names nothing.

    Raises:
        RecipeError: a field is unknown or has no sense; all mistakes are told at once.
    """
    read: tuple[Layer, ...] = ()
    try:
        refuse_endless(given, name)
        read = layers(given, name, folder, path, under)
        names = names_of(read, overrides)
        with speaking(Speech(names=names)), TUNINGS.own_rows(), COLOURS.own_rows():
            said = extended(in_names(read, names))
            fields_given = merged(without_other_frets(said, overrides), overrides)
            return narrowed(CHECKED.validate_python(fields_given, context=folder), overrides, name)
    except ValidationError as error:
        refused = [dict(details) for details in error.errors(include_url=False)]
        mistakes = [_mistake(details) for details in refused]
        told = map(partial(_told, read, overrides), refused, mistakes)
        raise RecipeError(*told, mistakes=mistakes) from None
    except RecursionError:
        raise RecipeError(f"{name}: its tables lie too deep in each other; {NOT_THAT_DEEP}") from None


def _mistake(details: Mapping[str, Any]) -> Mistake:
    """Say what is wrong with a field, and the remedy."""
    location = tuple(part for part in details["loc"] if part not in TAGS)
    if details["type"] == "unexpected_keyword_argument":
        known = [field.name for field in fields(_table(location))] + [EXTENDS] * (len(location) == 1)
        return Mistake(location, f"there is no such field{suggestion(str(location[-1]), known)}")
    if details["type"] == "missing":
        example = _table(location).EXAMPLES[str(location[-1])]
        return Mistake(location, f"write {location[-1]} = {shown(example)}")
    described = _DESCRIBED.get(details["type"]) or details["msg"].removeprefix("Value error, ")
    if details["type"] == "tuple_type" and isinstance(details["input"], str | int):
        described += f": {shown(_as_list(details['input']))}"
    elif details["type"] == "tuple_type" and isinstance(details["input"], Mapping) and location[-1] in _SEVERAL:
        table = ".".join(part for part in location if isinstance(part, str))
        described = f"there may be several of these: write [[{table}]], in double brackets"
    for text in _texts(details["input"]):
        described = described.replace(repr(text), repr(cut(text)))
    return Mistake(location, described)


def _as_list(value: str | int) -> list[object]:
    """Return the list that somebody means who writes its members as one text, or its only one without brackets."""
    if isinstance(value, int):
        return [value]
    return [int(part) if part.isdecimal() else part for part in _DIVIDERS.split(value) if part]


def _told(read: Sequence[Layer], overrides: Mapping[str, object], details: Mapping[str, Any], mistake: Mistake) -> str:
    """Tell one mistake: file and key, or option; value, remedy."""
    key, name = _key(mistake.where), said_in(read, mistake.where)
    if details["type"] == "unexpected_keyword_argument":
        return f"{name}: {key}: {mistake.text}"
    if details["type"] == "missing":
        return f"{name}: {key} is missing; {mistake.text}"
    option, field = _option(mistake.where, overrides), f"{name}: {key} = {shown(details['input'])}"
    return f"{option or field}: {mistake.text}"


def _option(location: Sequence[int | str], overrides: Mapping[str, object]) -> str:
    """Return the option that gave a field, as it was written; empty for a field of the file."""
    given: object = overrides
    for part in location:
        if not isinstance(given, Mapping) or part not in given:
            return ""
        given = given[part]
        if not isinstance(given, Mapping):
            words = ",".join(map(str, given)) if isinstance(given, list | tuple) else str(given)
            return f"--{part} {words if words.isprintable() and 0 < len(words) <= LONGEST_SHOWN else shown(words)}"
    return ""


def _texts(value: object) -> Iterator[str]:
    """Yield the long texts of a value, which a message may repeat."""
    inner = value.values() if isinstance(value, Mapping) else value if isinstance(value, list | tuple) else (value,)
    for text in inner:
        if isinstance(text, str) and len(text) > LONGEST_SHOWN:
            yield text


def _table(location: Sequence[int | str]) -> type[CheckedTable]:
    """Return the table that a field lies in, or would."""
    table: type[CheckedTable] = CheckedRecipe
    for part in location[:-1]:
        if isinstance(part, str):
            annotation = get_type_hints(table)[part]
            table = next((one for one in _parts_of(annotation) if issubclass(one, CheckedTable)), table)
    return table


def _parts_of(annotation: Any) -> Iterator[type]:
    if isinstance(annotation, type):
        yield annotation
    for part in get_args(annotation):
        yield from _parts_of(part)


def _key(location: Sequence[int | str]) -> str:
    """Name a field as TOML does, a table of several by its number from 1: `changes 2.bars`."""
    key = ""
    for before, part in pairwise((None, *location)):
        if isinstance(part, str):
            key += ("." if key else "") + shown_key(part)
        elif before in _SEVERAL and part is not None:
            key += f" {part + 1}"
    return key or "recipe"
