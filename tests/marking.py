"""A language that marks every message, so that a test sees what is said past the catalogue."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from enum import StrEnum
from gettext import NullTranslations
from typing import cast

import pytest

from deckbuilder import speech
from tests.catalogue import forms, gathered

BEGIN, END = "⟦", "⟧"
_MARKED = re.compile(rf"{BEGIN}[^{BEGIN}{END}]*{END}")


def _marks(message: str) -> str:
    """Put marks round a message's own words, none round what goes into it."""
    words = re.split(r"(\{\w+\})", message)
    return "".join(
        part if number % 2 or not part.strip() else f"{BEGIN}{part}{END}" for number, part in enumerate(words)
    )


class Marking(NullTranslations):
    """Messages that the catalogues have, marked; all other texts as they are."""

    def __init__(self) -> None:
        super().__init__()
        self._known = {(each.context, form) for each in gathered() for form in forms(each.id)}

    def gettext(self, message: str) -> str:
        return _marks(message) if (None, message) in self._known else message

    def ngettext(self, one: str, many: str, count: int) -> str:
        return self.gettext(one if count == 1 else many)

    def pgettext(self, context: str, message: str) -> str:
        return _marks(message) if (context, message) in self._known else message


class _Made(StrEnum):
    MARKED = "marked"


MARKED = cast(speech.Language, _Made.MARKED)
"""The language that marks; what keeps words by their language keeps these apart too."""


@contextmanager
def marking() -> Iterator[None]:
    """Speak the language that marks for the time of a block."""
    made, others = Marking(), speech.catalogue
    with pytest.MonkeyPatch.context() as patch, speech.speaking(speech.Speech(MARKED)):
        patch.setattr(speech, "catalogue", lambda language: made if language is MARKED else others(language))
        patch.setitem(speech.CODES, MARKED, "qq")
        yield


def unmarked(text: str) -> str:
    """Return what of a text no message has said; a word that was changed afterwards may stand marked in another."""
    while (rest := _MARKED.sub(" · ", text)) != text:
        text = rest
    return text
