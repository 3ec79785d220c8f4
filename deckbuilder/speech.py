"""Speech: the language in which everything is said, and the names that notes have in it.

Every sentence that people read is a message: a whole sentence in English, with named places for what goes into it,
that is looked up in the catalogue of the current language (GNU gettext). A message is looked up when it is said, never
when a module is loaded, so that one process may speak several languages one after the other. `languages/` holds the
catalogues; `python -m tests.catalogue` gathers the messages.

Conventions: `_`, `plural` and `in_context` take a message as a literal, for it to be gathered; `marked` gathers one
that stands in a table, and `translate` says it. Values go in by `str.format`, by name alone.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from gettext import GNUTranslations, NullTranslations
from importlib.resources import files
from typing import Final

DOMAIN: Final = "deckbuilder"
"""Name of the catalogues."""


class Language(StrEnum):
    """A language that everything can be said in."""

    ENGLISH = "english"
    GERMAN = "german"


class Names(StrEnum):
    """How notes are named."""

    ENGLISH = "english"
    """C D E F G A B, ♭ and ♯."""
    GERMAN = "german"
    """H for B, B for B♭, Fis for F♯, Es for E♭."""
    SOLFEGE = "solfege"
    """Fixed do: do ré mi fa sol la si."""


@dataclass(frozen=True, slots=True)
class Speech:
    """How everything is said.

    Args:
        language: the language of all sentences.
        names: how notes are named.
    """

    language: Language = Language.ENGLISH
    names: Names = Names.ENGLISH


CODES: Final = {Language.ENGLISH: "en", Language.GERMAN: "de"}
"""The languages by their codes (ISO 639-1), as pages and folders of catalogues name them."""

OWN_NAMES: Final[dict[str, tuple[str, str]]] = {
    Language.ENGLISH: ("English", "Everything is said in English."),
    Language.GERMAN: ("Deutsch", "Alles wird auf Deutsch gesagt."),
}
"""Each language's name and a sentence about it, in its own words, whatever is spoken at the moment."""

DEFAULT: Final = Speech()

_CURRENT: ContextVar[Speech] = ContextVar("speech", default=DEFAULT)


def current() -> Speech:
    """Return how everything is said at the moment."""
    return _CURRENT.get()


def code() -> str:
    """Return the code of the current language (ISO 639-1), for a page's `lang`."""
    return CODES[current().language]


@contextmanager
def speaking(speech: Speech) -> Iterator[None]:
    """Say everything in a certain way for the time of a block.

    Args:
        speech: the way.
    """
    token = _CURRENT.set(speech)
    try:
        yield
    finally:
        _CURRENT.reset(token)


@lru_cache(maxsize=len(Language))
def catalogue(language: Language) -> NullTranslations:
    """Return the messages of a language; those of English are the messages themselves.

    Args:
        language: the language.
    """
    if language is Language.ENGLISH:
        return NullTranslations()
    compiled = files("deckbuilder").joinpath("languages", CODES[language], "LC_MESSAGES", f"{DOMAIN}.mo")
    with compiled.open("rb") as stream:
        return GNUTranslations(stream)


def _(message: str, **values: object) -> str:
    """Say a message in the current language.

    Args:
        message: the message in English, a literal.
        values: what goes into it, by name.
    """
    return translate(message).format(**values)


def plural(one: str, many: str, count: int, **values: object) -> str:
    """Say a message that depends on a number; `{count}` in it is that number.

    Args:
        one: the message in English for one, a literal.
        many: the message in English for any other number, a literal.
        count: the number.
        values: what else goes into it, by name.
    """
    return catalogue(current().language).ngettext(one, many, count).format(count=count, **values)


def in_context(context: str, message: str, **values: object) -> str:
    """Say a message whose English has several meanings.

    Args:
        context: which of them is meant, a literal.
        message: the message in English, a literal.
        values: what goes into it, by name.
    """
    return catalogue(current().language).pgettext(context, message).format(**values)


def marked(message: str) -> str:
    """Mark a message that stands in a table, so that it is gathered; `translate` says it.

    Args:
        message: the message in English, a literal.
    """
    return message


def translate(message: str) -> str:
    """Say a message of a table in the current language; one that no catalogue has, as a row of an extension, as it is.

    Args:
        message: the message in English.
    """
    language = _CURRENT.get().language
    if language is Language.ENGLISH:
        return message
    # The empty message is the catalogue's own head.
    return catalogue(language).gettext(message) if message else ""


def number(value: float, digits: int = 0) -> str:
    """Write a number with the signs of the current language: `1,234.5`, in German `1.234,5`.

    Args:
        value: the number.
        digits: how many stand behind the decimal sign.
    """
    signs = {",": in_context("between thousands", ","), ".": in_context("decimal sign", ".")}
    return "".join(signs.get(sign, sign) for sign in f"{value:,.{digits}f}")


def percent(share: float, digits: int = 0) -> str:
    """Write a share in per cent: `52%`, in German `52 %`.

    Args:
        share: 0 to 1.
        digits: how many stand behind the decimal sign.
    """
    return _("{number}%", number=number(100 * share, digits))
