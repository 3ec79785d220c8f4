"""Suggestions: the nearest right word for one that is unknown, as errors name it."""

import difflib
from collections.abc import Iterable

from deckbuilder.errors import comma_separated

_LIKE = 0.5
"""How much alike two words have to be, 0 to 1 (share of matching letters)."""
_LONGEST = 100
"""Characters; no name is longer, and comparing takes the product of two lengths."""


def nearest(word: str, known: Iterable[str]) -> str | None:
    """Return the known word that is most like another one, capitals apart; None if none is.

    Args:
        word: the unknown word.
        known: the known ones.
    """
    by_small = {name.casefold(): str(name) for name in reversed(tuple(known))}
    small = word.strip().casefold()
    if len(small) > _LONGEST:
        return None
    close = [small] if small in by_small else difflib.get_close_matches(small, by_small, n=1, cutoff=_LIKE)
    return by_small[close[0]] if close else None


def remedy(word: str, known: Iterable[str]) -> str:
    """Return what to do about an unknown word: `did you mean 'altered'?`, or the known words to choose from.

    Args:
        word: the unknown word.
        known: the known ones.
    """
    words = tuple(known)
    close = nearest(word, words)
    return f"did you mean {close!r}?" if close else f"choose from {comma_separated(words)}"
