"""Command line: the recipe and the options that choose what is built, the same for every command."""

import os
import re
import time
from collections.abc import Iterable, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from deckbuilder.cli.places import IN_CHECKOUT, cache, default_store
from deckbuilder.printable import printable
from deckbuilder.speech import Language, Names
from deckbuilder.suggestions import remedy

if TYPE_CHECKING:
    from deckbuilder.recipe import Recipe


_DIGITS = 2
"""Of a region's or a level's number, at most."""
_MOST = 1000
"""Names or numbers that an option may list, as many as a list of a recipe."""


_DIVIDERS = re.compile(r"[,;\s]+")
_LONGEST_SHOWN = 60
"""Characters of a value that errors repeat."""


def day(ctx: click.Context, param: click.Parameter, value: str | None) -> date | None:
    """Read a day, `2024-02-29`; one that no calendar has is told apart from what is no date."""
    if value is None:
        return None
    if _DAY.fullmatch(value) is None:
        raise click.BadParameter(f"{_shown(value)} is no day; write year, month and day as 2024-02-29", ctx, param)
    try:
        return date(*map(int, value.split("-")))
    except ValueError as error:
        raise click.BadParameter(
            f"there is no day {value} ({error}); write one of the calendar, such as 2024-02-29", ctx, param
        ) from None


_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


def _shown(value: str) -> str:
    return repr(printable(value, _LONGEST_SHOWN))


def _numbers(ctx: click.Context, param: click.Parameter, value: str | None) -> tuple[int, ...] | None:
    """Read whole numbers: `5`, `1,2` or `1-3`."""
    if value is None:
        return None
    numbers: list[int] = []
    for part in filter(None, _DIVIDERS.split(value)) if value.strip() else [value]:
        first, dash, last = part.partition("-")
        if not all(number.isdecimal() and len(number) <= _DIGITS for number in ((first, last) if dash else (first,))):
            raise click.BadParameter(f"{_shown(value)} is no choice of numbers; write 5, or 1,2, or 1-3", ctx, param)
        if dash and int(last) < int(first):
            raise click.BadParameter(f"{_shown(value)} runs backwards; write {last}-{first}", ctx, param)
        numbers += range(int(first), int(last or first) + 1)
        if len(numbers) > _MOST:
            raise click.BadParameter(f"over {_MOST:,} numbers are listed; name each once", ctx, param)
    return tuple(numbers)


def names(ctx: click.Context, param: click.Parameter, value: str | None) -> tuple[str, ...] | None:
    """Read names divided by commas or spaces: `F,Bb`."""
    if value is None:
        return None
    found = tuple(filter(None, _DIVIDERS.split(value)))
    if len(found) > _MOST:
        raise click.BadParameter(f"{len(found):,} names are listed; name each once", ctx, param)
    return found


def naming(ctx: click.Context, param: click.Parameter, value: str | None) -> Names | None:
    """Read how tones are named."""
    if value is not None and value not in set(Names):
        raise click.BadParameter(f"{_shown(value)} is none of them; {remedy(value, Names)}", ctx, param)
    return None if value is None else Names(value)


def tongue(ctx: click.Context, param: click.Parameter, value: str | None) -> Language | None:
    """Read a language."""
    if value is not None and value not in set(Language):
        raise click.BadParameter(f"{_shown(value)} is none of them; {remedy(value, Language)}", ctx, param)
    return None if value is None else Language(value)


spoken = click.option(
    "--language",
    metavar="LANGUAGE",
    callback=tongue,
    help=f"Language of what people read: {', '.join(Language)}.",
)
"""The language of everything that is said; None where the recipe says it."""

named = click.option(
    "--names", metavar="NAMES", callback=naming, help=f"Names of notes, read and shown: {', '.join(Names)}."
)
"""How tones are named; None where the recipe says it."""


def known_formats(names: Sequence[str], known: Iterable[str]) -> Sequence[str]:
    """Return names of formats, or tell the first that is none.

    Args:
        names: what `--format` gives.
        known: the formats that there are.

    Raises:
        UsageError: there is no such format.
    """
    known = tuple(known)
    for name in names:
        if name not in known:
            given = printable(name, _LONGEST_SHOWN)
            raise click.UsageError(f"--format {given}: there is no such format; {remedy(name, known)}")
    return names


def selection(command: Any) -> Any:
    """Add the recipe and the filters that commands share; `read_selection` takes what they give."""
    for option in (
        click.option("--hand", metavar="HAND", help="The plucking hand, right or left; left mirrors the pictures."),
        click.option("--capo", type=int, help="Fret the capo sits behind, 0 for none."),
        click.option("--tuning", metavar="TUNING", help="A tuning's name, or pitches from the lowest string up."),
        click.option("--kinds", metavar="NAMES", callback=names, help="Ways to ask, such as locate,identify."),
        click.option("--levels", metavar="NUMBERS", callback=_numbers, help="Levels, such as 1,2."),
        click.option("--regions", metavar="NUMBERS", callback=_numbers, help="Regions of the neck, such as 5 or 1-3."),
        click.option("--keys", metavar="NAMES", callback=names, help="Keys, such as F,Bb."),
        named,
        spoken,
        click.argument("recipe", required=False, type=click.Path(path_type=Path)),
    ):
        command = option(command)
    return command


def rendering(command: Any) -> Any:
    """Add what a command that renders is told: `store` and `workers`."""
    for option in (
        click.option(
            "--workers",
            type=click.IntRange(1, 256),
            default=None,
            help="Processes that render; all cores if not given.",
        ),
        click.option(
            "--store",
            type=click.Path(path_type=Path),
            default=default_store,
            show_default=f"{IN_CHECKOUT} in the project's own folder, elsewhere {cache()}",
            help="Folder where rendered pictures and clips are kept for the next build.",
        ),
    ):
        command = option(command)
    return command


def read_selection(
    recipe: Path | None,
    tuning: str | None,
    capo: int | None,
    hand: str | None,
    names: Names | None,
    language: Language | None,
    **filters: Sequence[object] | None,
) -> "Recipe":
    """Read the recipe, with what the options put in its place."""
    overrides: dict[str, Any] = {name: list(values) for name, values in filters.items() if values is not None}
    asked = {"tuning": tuning, "capo": capo, "hand": hand}
    instrument = {name: value for name, value in asked.items() if value is not None}
    if instrument:
        overrides["instrument"] = instrument
    overrides |= {name: value for name, value in (("names", names), ("language", language)) if value is not None}
    if recipe is None and not overrides:
        # What checks recipes takes a quarter of a second to load, and here is nothing to check.
        from deckbuilder.cards.recipe import Recipe

        return Recipe()
    from deckbuilder.cli.unknown import refuse_member
    from deckbuilder.recipe import read_recipe

    if recipe is not None:
        refuse_member(recipe, filters)
    return read_recipe(recipe, overrides)


def filter_words(chosen: dict[str, Any], recipe: "Recipe") -> list[str]:
    """Return what tells a part of a deck from the whole in its file name, keys by their English names.

    Args:
        chosen: what the options of `selection` gave.
        recipe: what was read with them.
    """
    words = []
    for name in ("keys", "regions", "levels", "kinds"):
        if chosen[name] is not None:
            words.append(f"{name} {' '.join(map(str, getattr(recipe, name)))}")
    # The tuning and the capo are in the deck's title.
    return [*words, chosen["hand"]] if chosen["hand"] is not None else words


def timestamp() -> float:
    """Return the build's time, s since 1970; SOURCE_DATE_EPOCH fixes it, as reproducible builds do."""
    fixed = os.environ.get("SOURCE_DATE_EPOCH")
    if fixed is None:
        return time.time()
    if not fixed.isdecimal() or len(fixed) > len(str(_LATEST)) or int(fixed) > _LATEST:
        given = printable(fixed, 60)
        raise click.UsageError(f"SOURCE_DATE_EPOCH={given!r} is no number of seconds since 1970, up to the year 9999")
    return float(fixed)


_LATEST = 253_402_300_799
"""s from 1970 to the end of the year 9999."""
