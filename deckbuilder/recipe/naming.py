"""Names of tones in a recipe's tables: people write them as they speak, inside they are English.

Keys, pitches of open strings and bars of own changes are what a recipe names tones in. Tables are taken as they are
given, checked or not: what names no tone stays, and is refused where it is read.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from deckbuilder.neck.tuning import NeckError, read_tuning, write_tuning
from deckbuilder.recipe.extending import Layer
from deckbuilder.speech import Names, Speech, speaking
from deckbuilder.theory.keys import tonic_and_mode
from deckbuilder.theory.renaming import renamed
from deckbuilder.theory.tones import TheoryError


def names_of(read: Sequence[Layer], overrides: Mapping[str, object] = {}) -> Names:
    """Return how a recipe names tones: the first word on it counts, one that is unknown is refused later.

    Args:
        read: the recipe, what it builds on, and so on.
        overrides: fields that take the place of the recipe's.
    """
    said = (tables["names"] for tables in (overrides, *(layer.tables for layer in read)) if "names" in tables)
    name = next(said, None)
    return Names(name) if isinstance(name, str) and name in set(Names) else Names.ENGLISH


def in_names(read: Sequence[Layer], names: Names) -> tuple[Layer, ...]:
    """Return what the files of a recipe say with other names of tones.

    Args:
        read: the recipe, what it builds on, and so on.
        names: how tones are to be named.
    """
    return tuple(
        replace(layer, tables=renamed_tables(layer.tables, names_of(read[number:]), names))
        for number, layer in enumerate(read)
    )


def renamed_tables(tables: Mapping[str, object], given: Names, wanted: Names) -> dict[str, Any]:
    """Return the tables of a recipe with other names of tones.

    Args:
        tables: the tables.
        given: the names that tones have in them.
        wanted: the names that they get.
    """
    if given is wanted:
        return dict(tables)
    return {field: _renamed(field, value, given, wanted) for field, value in tables.items()}


def _renamed(field: str, value: object, given: Names, wanted: Names) -> object:
    if isinstance(value, Mapping):
        return renamed_tables(value, given, wanted)
    if isinstance(value, list | tuple):
        return [_renamed(field, one, given, wanted) for one in value]
    return _TEXTS[field](value, given, wanted) if field in _TEXTS and isinstance(value, str) else value


def _key(text: str, given: Names, wanted: Names) -> str:
    try:
        with speaking(Speech(names=given)):
            tonic, mode = tonic_and_mode(text)
    except TheoryError:
        return text
    with speaking(Speech(names=wanted)):
        return tonic.written + mode


def _tuning(text: str, given: Names, wanted: Names) -> str:
    try:
        with speaking(Speech(names=given)):
            english = read_tuning(text)
    except NeckError:
        return text
    with speaking(Speech(names=wanted)):
        return write_tuning(english)


def _pitches(text: str, given: Names, wanted: Names) -> str:
    return _tuning(text, given, wanted).replace(",", " ")


_TEXTS: dict[str, Callable[[str, Names, Names], str]] = {
    "keys": _key,
    "key": _key,
    "tuning": _tuning,
    "pitches": _pitches,
    "bars": renamed,
}
"""Fields that name tones, in whatever table."""
