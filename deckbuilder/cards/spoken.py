"""What a screen reader says: signs and chord symbols in words.

A screen reader skips ♭ or calls it a music symbol. Players say “flat 7”, “B flat”, “B flat minor 7 flat 5” (common
practice, no source).
"""

import re
from collections.abc import Callable
from functools import cache, lru_cache
from typing import Final

from deckbuilder.speech import Language, Names, current, marked, translate
from deckbuilder.theory.naming import stems

_SIGNS: Final = {
    "♭": marked("flat"),
    "♯": marked("sharp"),
    "♭♭": marked("double flat"),
    "♯♯": marked("double sharp"),
    "ø": marked("half-diminished"),
    "°": marked("diminished"),
}
_SUFFIXES: Final = {
    "": "",
    "mMaj": marked("minor major"),
    "maj": marked("major"),
    "m": marked("minor"),
    "dim": marked("diminished"),
    "aug": marked("augmented"),
    "sus4": marked("suspended 4"),
    "alt": marked("altered"),
}
_SIGN: Final = re.compile(r"♭+|♯+|ø|°")
_SPACES: Final = re.compile(r" +")
_BEFORE_A_STOP: Final = re.compile(r" (?=[,.;:!?)/])")


def spoken(text: str) -> str:
    """Write out the signs and chord symbols of a text.

    >>> spoken("B♭m7♭5 over C7alt: fret 10 is ♭7.")
    'B flat minor 7 flat 5 over C 7 altered: fret 10 is flat 7.'

    Args:
        text: what is shown.
    """
    # What lies between two semicolons recurs: the strings of a picture.
    speech = current()
    return "; ".join([_row_spoken(row, speech.language, speech.names) for row in text.split("; ")])


@lru_cache(maxsize=8192)
def _row_spoken(text: str, language: Language, names: Names) -> str:
    """Write out a part of a text, word by word: signs and symbols have no spaces in them."""
    return _BEFORE_A_STOP.sub("", " ".join(filter(None, map(_sayer(language, names), text.split(" ")))))


@cache
def _sayer(_language: Language, names: Names) -> Callable[[str], str]:
    """Return what writes out a word in the speech that is current; it keeps the few hundred words that there are."""

    @lru_cache(maxsize=8192)
    def said(word: str) -> str:
        named = _chords(names).sub(_chord, word)
        words = _SIGN.sub(lambda sign: f" {translate(_SIGNS.get(sign[0], sign[0]))} ", named)
        return _BEFORE_A_STOP.sub("", _SPACES.sub(" ", words)).strip()

    return said


@cache
def _chords(names: Names) -> re.Pattern[str]:
    """Return the pattern of a chord symbol: root, its sign, and the parts of its type."""
    return re.compile(rf"(?<!\w)({'|'.join(stems(names))})([♭♯]*)(mMaj|maj|m|dim|aug)?(\d*)(sus4|alt)?(?![A-Za-zé])")


def _chord(symbol: re.Match[str]) -> str:
    root, sign, kind, number, added = symbol.groups(default="")
    return " ".join(filter(None, (root, sign, translate(_SUFFIXES[kind]), number, translate(_SUFFIXES[added]))))
