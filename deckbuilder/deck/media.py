"""Media: names of rendered pictures and clips.

A name follows from the description and the renderer's version, so it is the same on every machine, and two notes that
show the same thing share one file. Names are flat, ASCII and lower case.
"""

import hashlib
import json
import re
from collections.abc import Callable, Hashable
from dataclasses import dataclass, fields
from functools import cache, lru_cache
from operator import attrgetter
from typing import Any, cast

from deckbuilder.picture.description import RENDERER_VERSION as PICTURE_VERSION
from deckbuilder.picture.description import NeckPicture, NeckSheet
from deckbuilder.sound.description import RENDERER_VERSION as CLIP_VERSION
from deckbuilder.sound.description import Clip

Description = NeckPicture | NeckSheet | Clip
"""What a medium shows or plays."""

_DIGITS = 24
NAME = re.compile(rf"neck-[0-9a-f]{{{_DIGITS}}}\.png|clip-[0-9a-f]{{{_DIGITS}}}\.mp3")
"""What every name of ours looks like."""

_NAMED = 1 << 15
"""Media whose names are remembered: a deck asks for each several times."""


@dataclass(frozen=True, slots=True)
class Medium:
    """A file to be rendered.

    Args:
        name: its file name in the deck.
        description: what it shows or plays.
    """

    name: str
    description: Description


@lru_cache(maxsize=_NAMED)
def medium(description: Description) -> Medium:
    """Name a description.

    Args:
        description: what the medium shows or plays.
    """
    return Medium(name_of(description), description)


def name_of(description: Description) -> str:
    """Return a description's file name, `neck-….png` or `clip-….mp3`. Equal descriptions have one name.

    Args:
        description: what the medium shows or plays.
    """
    if isinstance(description, Clip):
        return f"clip-{_digest(description, CLIP_VERSION)}.mp3"
    return f"neck-{_digest(description, PICTURE_VERSION)}.png"


def _digest(description: Description, version: int) -> str:
    return hashlib.sha256(_TEXT.encode([version, description]).encode()).hexdigest()[:_DIGITS]


def _values(part: Any) -> object:
    """Give a part's values in the order of its fields."""
    return _getter(cast(Hashable, type(part)))(part)


@cache
def _getter(part: Any) -> Callable[[object], object]:
    values = attrgetter(*(field.name for field in fields(part)))
    if not any(field.type is float for field in fields(part)):
        return values
    # 440 and 440.0 are equal, so they are written alike.
    return lambda part: [int(value) if type(value) is float and value.is_integer() else value for value in values(part)]


_TEXT = json.JSONEncoder(default=_values, separators=(",", ":"), check_circular=False)
