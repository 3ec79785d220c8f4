"""Checks that fields of every table share, and the words that name a remedy."""

import difflib
from collections.abc import Iterable, Sequence

from pydantic import BaseModel, BeforeValidator, ConfigDict


class Table(BaseModel):
    """A table of a recipe: no field but those named, no value of another type."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)


def unbroken(values: object) -> object:
    """Refuse repeated and empty lists before their members are looked at."""
    if isinstance(values, list | tuple):
        if not values:
            raise ValueError("nothing is selected; name at least one")
        doubled = [value for number, value in enumerate(values) if value in values[:number]]
        if doubled:
            raise ValueError(f"{doubled[0]!r} is there twice; name each once")
    return values


def list_of(values: object) -> object:
    """Take TOML's list for the tuple that a table keeps."""
    return tuple(values) if isinstance(values, list) else values


SELECTION = BeforeValidator(lambda values: list_of(unbroken(values)))
"""A list of which something is selected, nothing twice."""


def choice(value: str, known: Sequence[str]) -> str:
    """Refuse a value that is not one of those known; the nearest is suggested."""
    if value not in known:
        raise ValueError(f"{value!r} is not one of them{nearest(value, known)}")
    return value


def nearest(value: str, known: Sequence[str]) -> str:
    """Return the remedy for an unknown name, to follow what is wrong with it."""
    close = difflib.get_close_matches(value, known, n=1, cutoff=0.5)
    return f"; did you mean {close[0]!r}?" if close else f"; choose from {listed(known)}"


def listed(values: Iterable[object]) -> str:
    """List values in a sentence."""
    return ", ".join(str(value) for value in values)


_LONGEST = 60
"""Characters of a text that errors repeat."""


def shown(value: object) -> str:
    """Return a value as an error repeats it, long ones cut."""
    if isinstance(value, list | tuple):
        return f"[{listed(map(shown, value))}]"
    text = str(value) if len(str(value)) <= _LONGEST else f"{str(value)[:_LONGEST]}…"
    return f'"{text}"' if isinstance(value, str) else text
