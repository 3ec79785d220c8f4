"""Media: what every description of a picture or a clip has in common, and its name.

A description is plain data; the same description always gives the same bytes. A medium's name follows from the
description and its renderer's version, so it is the same on every machine, and two notes that show the same thing share
one file. Names are flat, ASCII and lower case.
"""

import hashlib
import json
import re
import sys
from array import array
from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence, Set
from dataclasses import MISSING, dataclass, fields, is_dataclass
from enum import StrEnum
from functools import cache
from importlib import import_module
from operator import attrgetter
from typing import Any, ClassVar, cast

from deckbuilder.errors import failure_told

DESCRIPTIONS = ("deckbuilder.picture.description", "deckbuilder.sound.description", "deckbuilder.notation.description")
"""The modules that describe media: a further medium is one more line."""

_DIGITS = 24
_NAME = re.compile(rf"([a-z]+)-[0-9a-f]{{{_DIGITS}}}(\.[a-z0-9]+)")
"""What every name looks like."""
_NAMED = 1 << 15
"""Media whose names are remembered: a deck asks for each several times."""


_ASKED: dict[int, "Medium"] = {}
"""Descriptions that were named, by the object, which is kept so that its number stays its own."""


class MediaType(StrEnum):
    """How a medium reaches a player."""

    IMAGE = "image"
    SOUND = "sound"


class Description:
    """What a medium shows or plays: the base of every description, which is a frozen dataclass.

    A field with a default may be added without a new name for media that do not use it.
    """

    __slots__ = ()

    media_type: ClassVar[MediaType]
    prefix: ClassVar[str]
    """What the names of its media begin with."""
    ending: ClassVar[str]
    """What they end with, the dot included."""
    version: ClassVar[int]
    """Raised whenever the same description would give other bytes."""
    renderer: ClassVar[str]
    """The module whose `render` takes it; loaded only where something is rendered."""

    @property
    def affinity(self) -> tuple[float, ...]:
        """What media that share pieces have in common: they are rendered next to each other."""
        return ()

    @property
    def follows_page(self) -> bool:
        """Whether a light page has to turn its colours, so that one picture is for dark and light pages."""
        return False

    def render(self) -> bytes:
        """Return the medium's bytes.

        Raises:
            ExtensionError: its renderer is an extension's, and fails.
        """
        with failure_told(self.renderer, f"what renders {self.prefix}-…{self.ending}"):
            return cast(bytes, import_module(self.renderer).render(self))


@dataclass(frozen=True, slots=True)
class Medium:
    """A file to be rendered.

    Args:
        name: its file name in the deck.
        description: what it shows or plays.
    """

    name: str
    description: Description


def medium(description: Description) -> Medium:
    """Name a description. Equal descriptions have one name.

    Args:
        description: what the medium shows or plays.

    Raises:
        ExtensionError: it is an extension's, and holds what is no plain data.
    """
    # A description is asked for several times, and to compare it takes longer than to name it.
    known = _ASKED.get(id(description))
    if known and known.description is description:
        return known
    if len(_ASKED) >= _NAMED:
        _ASKED.clear()
    try:
        digest = _digest(description)
    except TypeError:
        with failure_told(type(description).__module__, f"what describes {description.prefix}-…{description.ending}"):
            raise
    named = Medium(medium_name(type(description), digest), description)
    _ASKED[id(description)] = named
    return named


def _digest(description: Description) -> str:
    return hashlib.sha256(_TEXT.encode([description.version, description]).encode()).hexdigest()


def renderers() -> tuple[str, ...]:
    """Return the modules that render; each takes a second or so to load where it was not asked for yet."""
    return tuple(dict.fromkeys(kind.renderer for kind in _descriptions(Description)))


def medium_name(kind: type[Description], digest: str) -> str:
    """Return the file name of a medium.

    Args:
        kind: what describes it.
        digest: hexadecimal digits of its digest, as many as there are.
    """
    return f"{kind.prefix}-{digest[:_DIGITS]}{kind.ending}"


def described_by(name: str) -> type[Description] | None:
    """Return what describes a medium of some name; None for a name that no medium of ours has.

    Args:
        name: a file's name.
    """
    found = _NAME.fullmatch(name)
    kinds = {(kind.prefix, kind.ending): kind for kind in _descriptions(Description)} if found else {}
    return kinds.get((found[1], found[2])) if found else None


def counted(names: Iterable[str]) -> Counter[MediaType]:
    """Count media by their types; a name that no medium of ours has counts for none.

    Args:
        names: names of files.
    """
    kinds = {(kind.prefix, kind.ending): kind for kind in _descriptions(Description)}
    matches = filter(None, map(_NAME.fullmatch, names))
    found = (kinds.get((match[1], match[2])) for match in matches)
    return Counter(kind.media_type for kind in found if kind)


def _descriptions(base: type[Description]) -> Iterator[type[Description]]:
    """Yield every kind of description, those of modules in `DESCRIPTIONS` loaded first."""
    for name in DESCRIPTIONS:
        import_module(name)
    for kind in base.__subclasses__():
        if hasattr(kind, "prefix"):
            yield kind
        yield from _descriptions(kind)


def _values(part: Any) -> dict[str, object]:
    """Give a part's kind, and its values by the names of its fields.

    Those are left out that hold their default, and those that are not compared: equal descriptions have one name.
    """
    names, usual, of = _fields(cast(Hashable, type(part)))
    held = zip(names, usual, of(part), strict=True)
    found = {name: _plain(value) for name, default, value in held if default is MISSING or value != default}
    return {_KIND: type(part).__name__, **found}


def _plain(value: object) -> object:
    """Return what is written for a value, the same for equal ones: 440 and 440.0."""
    if type(value) is float:
        return int(value) if value.is_integer() else value
    return _column(value) if type(value) is tuple and value else value


def _columns(parts: Sequence[object]) -> dict[str, object]:
    """Give what parts of one kind hold, field by field: the values of all where one has any, numbers under one name.

    A deck has a hundred thousand such parts, and this takes a tenth of the time that they would take one by one.
    """
    names, usual, of = _fields(cast(Hashable, type(parts[0])))
    found: dict[str, object] = {_KIND: type(parts[0]).__name__, _COUNT: len(parts)}
    numbers: list[float] = []
    for name, default, column in zip(names, usual, zip(*map(of, parts), strict=True), strict=True):
        if default is MISSING or column.count(default) < len(column):
            if _are_numbers(column, set(map(type, column))):
                numbers += column
                found[name] = _NUMBER
            else:
                found[name] = _column(column)
    found[_NUMBER] = _packed(numbers)
    return found


def _column(values: Sequence[Any]) -> object:
    """Return what is written for several values."""
    kinds = set(map(type, values))
    if _are_numbers(values, kinds):
        return {_NUMBER: _packed(values)}
    if len(kinds) == 1 and isinstance(values[0], str):
        return values
    return _columns(values) if len(kinds) == 1 and is_dataclass(values[0]) else [*map(_plain, values)]


def _are_numbers(values: Sequence[Any], kinds: Set[type]) -> bool:
    """Tell whether values of some types are numbers, each with a double of its own."""
    if not kinds <= _NUMBERS:
        return False
    return int not in kinds or (max(values) <= _WHOLE and min(values) >= -_WHOLE)


def _packed(numbers: Sequence[float]) -> str:
    """Return numbers as they lie in memory, lowest byte first, which is the quickest way to tell them apart."""
    packed = array("d", numbers)
    if sys.byteorder == "big":
        packed.byteswap()
    return packed.tobytes().hex()


@cache
def _fields(part: Any) -> tuple[tuple[str, ...], tuple[object, ...], Callable[[object], tuple[Any, ...]]]:
    """Return names and defaults of what is compared of a kind of part, and what gets their values."""
    if not is_dataclass(part):
        raise TypeError(f"{part.__name__} is no plain data; hold texts, numbers, frozen dataclasses and tuples of them")
    compared = [field for field in fields(part) if field.compare]
    names = tuple(field.name for field in compared)
    # Of a single name the getter would give the value alone.
    of = attrgetter(*names) if len(names) > 1 else lambda part: tuple(getattr(part, name) for name in names)
    return names, tuple(field.default for field in compared), of


_NUMBERS = frozenset({int, float, bool})
_WHOLE = 1 << 53
"""Whole numbers up to here have each a double of their own."""
_KIND, _COUNT, _NUMBER = "@", "#", "%"
"""Under these, which are no names of fields, stand what kind of part it is, how many there are, and their numbers."""
_TEXT = json.JSONEncoder(default=_values, separators=(",", ":"), check_circular=False)
