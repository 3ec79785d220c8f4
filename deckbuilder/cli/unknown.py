"""Command line: commands, options and words that are out of place, told with what would be right."""

import os
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any

import click

from deckbuilder.cards.cardtypes import known_kinds
from deckbuilder.cards.recipe import Recipe
from deckbuilder.speech import Names
from deckbuilder.suggestions import nearest, remedy
from deckbuilder.theory.naming import whose

_EXTRA = "unexpected extra argument"
"""How the library tells of a word too many."""


def remedied(error: click.UsageError) -> click.UsageError:
    """Return a usage error with a remedy, where the library names none that is good enough.

    Args:
        error: the error.
    """
    if isinstance(error, click.NoSuchOption) and error.ctx is not None:
        return click.UsageError(_no_such_option(error.option_name, error.ctx), error.ctx)
    if _EXTRA in error.message and error.ctx is not None and "--keys" in _options(error.ctx.command):
        return click.UsageError(f"{error.message}; names in a list are divided by commas: --keys F,Bb", error.ctx)
    return error


def no_such_command(name: str, known: Sequence[str]) -> str:
    """Say that there is no such command.

    Args:
        name: what was asked for.
        known: the commands there are.
    """
    if name.endswith(".toml"):
        return f"{name!r} is no command; a recipe comes after one: deckbuilder build {name}"
    return f"there is no command {name!r}; {remedy(name, known)}"


def _no_such_option(name: str, ctx: click.Context) -> str:
    said = f"{ctx.info_name} has no option {name}"
    group, field = ctx.find_root().command, name.lstrip("-").replace("-", "_")
    others = group.commands if isinstance(group, click.Group) else {}
    having = [other for other, command in others.items() if name in _options(command)]
    path = next((path for path in recipe_fields() if path.rpartition(".")[2] == field), None)
    remedies = [f"it belongs to {', '.join(having)}"] if having else []
    if path is not None:
        remedies.append(f"a recipe says it: write {path} = … there")
    own = _options(ctx.command)
    return f"{said}; {'; '.join(remedies) or remedy(name, own)}"


def _options(command: click.Command) -> list[str]:
    """Return a command's options in their long forms."""
    found = [name for each in command.params if isinstance(each, click.Option) for name in each.opts]
    return [*(name for name in found if name.startswith("--")), "--help"]


def recipe_fields() -> Iterator[str]:
    """Yield the fields of a recipe as TOML names them, those of its tables after a dot."""
    recipe = Recipe()
    for field in fields(Recipe):
        value = getattr(recipe, field.name)
        if is_dataclass(value):
            yield from (f"{field.name}.{inner.name}" for inner in fields(value))
        else:
            yield field.name


def refuse_member(recipe: Path, chosen: Mapping[str, Any]) -> None:
    """Refuse a word in the place of the recipe that looks like one more member of an option's list.

    Args:
        recipe: what is named as the recipe.
        chosen: what the options that are lists gave, by their names.

    Raises:
        UsageError: it is no file and looks like one more key, number or kind.
    """
    word = str(recipe)
    if os.path.lexists(recipe):
        return
    for option, like in (
        ("keys", any(whose(word, names) for names in Names)),
        ("regions", word.isdecimal()),
        ("levels", word.isdecimal()),
        ("kinds", nearest(word, (kind.value for kind in known_kinds())) is not None),
    ):
        if like and chosen.get(option) is not None:
            several = ",".join(map(str, (*chosen[option], word)))
            raise click.UsageError(f"{word}: there is no such recipe; for several {option} write --{option} {several}")
