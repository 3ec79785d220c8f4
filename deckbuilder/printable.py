"""Printable: text of others made fit for a terminal.

A name in an archive, a title in a recipe or a path may hold what a terminal obeys or what deceives the eye: control
sequences, line breaks, marks that turn the direction of writing, characters that show nothing. All of these are written
as JSON escapes them, so that they are seen and a line of JSON stays the same JSON. Every other script, accents and
emoji stay as they are.
"""

import json
import unicodedata

_HIDDEN = frozenset({"Cc", "Cf", "Cs", "Co", "Zl", "Zp"})
"""Unicode's categories of controls, format characters, halves of characters, private use, line and paragraph ends."""
_JOINERS = "\u200c\u200d"
"""Format characters without which some scripts and emoji cannot be written; they turn no direction."""
_GAP = " … "
_TAIL = 3
"""The end of a text that is cut gets one part in so many: remedies stand there, and the suffixes of names."""


def printable(text: str, longest: int | None = None) -> str:
    r"""Return a text with what cannot be seen written out: `\n`, `\u001b`, `\u202e`.

    Args:
        text: any text; lone surrogates, as paths have them, are taken too.
        longest: characters that may come out; what is more is cut from the middle. None for all.
    """
    if longest is not None and len(text) > longest:
        # What is cut anyway need not be escaped first.
        text = _cut(text, longest)
    if not text.isprintable():
        text = "".join(_visible(sign) for sign in text)
    return text if longest is None or len(text) <= longest else _cut(text, longest)


def _visible(sign: str) -> str:
    if unicodedata.category(sign) in _HIDDEN and sign not in _JOINERS:
        return json.dumps(sign)[1:-1]
    return sign


def _cut(text: str, longest: int) -> str:
    kept = longest - len(_GAP)
    tail = kept // _TAIL
    return f"{text[: kept - tail]}{_GAP}{text[len(text) - tail :]}"
