"""Checks that fields of several tables share, and the words that name a remedy."""

import re
import unicodedata
from collections.abc import Callable, Iterable, Mapping, Sequence
from enum import StrEnum
from itertools import islice
from typing import Annotated, Any, TypeVar

from pydantic import AfterValidator, BeforeValidator, Field

from deckbuilder.cards.cardtypes import known_kinds
from deckbuilder.cards.slug import slug
from deckbuilder.errors import comma_separated
from deckbuilder.suggestions import remedy
from deckbuilder.theory.keys import KEY_NAMES, Key

_Value = TypeVar("_Value")


Count = Annotated[int, Field(strict=True, ge=-(10**9), le=10**9)]
"""A whole number that messages can repeat: Python does not even write the digits of very large ones."""


def one_of(options: type[StrEnum]) -> BeforeValidator:
    """Take a text for the member of an enumeration; for one that is none the nearest is suggested."""

    def member(value: object) -> object:
        known = [option.value for option in options]
        if isinstance(value, str) and value not in known:
            raise ValueError(f"{value!r} is not one of them{suggestion(value, known)}")
        return value

    return BeforeValidator(member)


def passes(check: Callable[[Any], None]) -> AfterValidator:
    """Take a value as it is if a check lets it pass.

    Args:
        check: raises a ValueError that says what is wrong.
    """

    def passed(value: _Value) -> _Value:
        check(value)
        return value

    return AfterValidator(passed)


def known_kind(value: object) -> object:
    """Take a text for the kind that some card type asks; for one that is none the nearest is suggested."""
    known = {kind.value: kind for kind in known_kinds()}
    if isinstance(value, str) and value not in known:
        raise ValueError(f"{value!r} is not one of them{suggestion(value, list(known))}")
    return known[value] if isinstance(value, str) else value


def check_selection(values: _Value) -> _Value:
    """Refuse repeated and empty lists before their members are looked at."""
    if isinstance(values, list | tuple):
        if not values:
            raise ValueError("nothing is selected; name at least one")
        repeated = [value for number, value in enumerate(values) if value in values[:number]]
        if repeated:
            one = repr(_as_written(repeated[0])) if isinstance(repeated[0], str) else shown(repeated[0])
            raise ValueError(f"{one} is there twice; name each once")
    return values


def _as_written(name: str) -> str:
    """Return a key as it is written by the recipe's names of notes, any other name as it is."""
    return Key.parse(name).written if name in KEY_NAMES else name


SELECTION = BeforeValidator(check_selection)
"""A list of which something is selected, nothing twice."""


def check_distinct(names: Iterable[str], two: str) -> None:
    """Refuse names that are the same, or the same in ids.

    Args:
        names: what the parts of something are called.
        two: what a pair of them is called in an error.

    Raises:
        ValueError: two names make one; the message says which.
    """
    found: dict[str, str] = {}
    for name in names:
        other = found.get(slug(name))
        if other == name:
            raise ValueError(f"{two} have the same name; give each its own")
        if other is not None:
            raise ValueError(f"{two} have names that differ in no letter or digit, {other!r} and {name!r}; add one")
        found[slug(name)] = name


_CONTROLS = ("Cc", "Cs", "Zl", "Zp")
"""Unicode's categories of control characters, halves of characters, line and paragraph separators."""


def one_line(value: str, what: str) -> str:
    """Refuse control characters and line breaks; any script, emoji and space is taken."""
    if any(unicodedata.category(sign) in _CONTROLS for sign in value):
        raise ValueError(f"{what} is one line of text, without line breaks, tabs and other control characters")
    return value.strip()


def deck_word(value: str, what: str) -> str:
    """Refuse what no deck can be called; spaces around it are left out."""
    if all(unicodedata.category(sign)[0] in "CZ" for sign in one_line(value, what)):
        raise ValueError(f"{what} is one line of text, and this one is empty")
    if "::" in value:
        raise ValueError(f"{what} is one line of text without '::', which divides decks from subdecks")
    return value.strip()


def suggestion(value: str, known: Sequence[str]) -> str:
    """Return the remedy for an unknown name, to follow what is wrong with it."""
    return f"; {remedy(value, known)}"


LONGEST_SHOWN = 60
"""Characters of a value that errors repeat."""
_DEEPEST_SHOWN = 4
"""Lists and tables in each other that errors repeat."""
_LARGEST_SHOWN = 10**LONGEST_SHOWN
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")


def shown(value: object) -> str:
    """Return a value as TOML has it, on one line and cut to what an error can repeat."""
    text = _spelled(value, _DEEPEST_SHOWN)
    if isinstance(value, str) or len(text) <= LONGEST_SHOWN:
        return text
    return f"{text[:LONGEST_SHOWN]}…{text[-1] if isinstance(value, list | tuple | Mapping) else ''}"


def shown_key(name: str) -> str:
    """Return a field's name as TOML has it."""
    return cut(name) if _BARE_KEY.fullmatch(name) else _quoted(name)


def cut(text: str) -> str:
    """Return a text without its end if it is long."""
    return text if len(text) <= LONGEST_SHOWN else f"{text[:LONGEST_SHOWN]}…"


def _spelled(value: object, depth: int) -> str:
    if isinstance(value, str):
        return _quoted(value)
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list | tuple | Mapping) and not depth:
        return "…"
    if isinstance(value, Mapping):
        fields = islice(value.items(), LONGEST_SHOWN)
        return (
            f"{{{comma_separated(f'{shown_key(str(name))} = {_spelled(inner, depth - 1)}' for name, inner in fields)}}}"
        )
    if isinstance(value, list | tuple):
        return f"[{comma_separated(_spelled(inner, depth - 1) for inner in islice(value, LONGEST_SHOWN))}]"
    # Python refuses to write the digits of very large numbers.
    return hex(value) if isinstance(value, int) and abs(value) > _LARGEST_SHOWN else str(value)


def _quoted(text: str) -> str:
    return f'"{"".join(map(_escaped, cut(text)))}"'


def _escaped(sign: str) -> str:
    if sign in _ESCAPES:
        return _ESCAPES[sign]
    if sign.isprintable():
        return sign
    return f"\\u{ord(sign):04X}" if ord(sign) <= 0xFFFF else f"\\U{ord(sign):08X}"


_ESCAPES = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\t": "\\t", "\r": "\\r"}
