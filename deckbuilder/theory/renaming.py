"""Renaming: the same bars with other names of tones, all else as it was written.

Roots, basses and the tonics of keys get other names; types of chords, numerals, bar lines and spaces stay.
"""

from deckbuilder.speech import Names, Speech, speaking
from deckbuilder.theory.changes import BAR_LINES, TOKEN
from deckbuilder.theory.keys import tonic_and_mode
from deckbuilder.theory.numerals import looks_like_numeral
from deckbuilder.theory.symbols import split
from deckbuilder.theory.tones import TheoryError

_KEPT = {*BAR_LINES, "%", "/", ":"}


def renamed(bars: str, given: Names, wanted: Names) -> str:
    """Write bars anew with other names of tones.

    Args:
        bars: bars as `deckbuilder.theory.changes` reads them.
        given: the names that they have.
        wanted: the names that they get; what is no chord and no key keeps its own.
    """
    return bars if given is wanted else TOKEN.sub(lambda found: _token(found[0], given, wanted), bars)


def _token(token: str, given: Names, wanted: Names) -> str:
    if token in _KEPT or token.startswith((":", "[", "{")) or looks_like_numeral(token):
        return token
    try:
        return _key(token[:-1], given, wanted) + ":" if token.endswith(":") else _chord(token, given, wanted)
    except TheoryError:
        return token


def _key(text: str, given: Names, wanted: Names) -> str:
    with speaking(Speech(names=given)):
        tonic, mode = tonic_and_mode(text)
    with speaking(Speech(names=wanted)):
        return tonic.written + mode


def _chord(text: str, given: Names, wanted: Names) -> str:
    with speaking(Speech(names=given)):
        root, suffix, bass = split(text)
    with speaking(Speech(names=wanted)):
        # An accidental at the beginning of a type would be taken for one of the root.
        kind = f"({suffix})" if suffix[:1] in ("b", "#") else suffix
        return root.written + kind + (f"/{bass.written}" if bass else "")
