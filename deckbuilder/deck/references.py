"""References: which media the fields of notes name.

A field is HTML with two forms that apps look for: `[sound:name]` and `<img src="name">`, the name in quotes of either
kind or in none. (The open format, from memory.) Every pattern here takes what it has seen and never goes back, so that
a field of megabytes that means to be slow is not.
"""

import html
import re
from collections.abc import Iterator

_SOUND, _END = "[sound:", "]"
_TAG = re.compile(r"""<img\b((?:[^>"']++|"[^"]*+"|'[^']*+')*+)""", re.IGNORECASE)
_ATTRIBUTE = re.compile(r"""([^\s"'=>/]++)(?:\s*+=\s*+(?:"([^"]*+)"|'([^']*+)'|([^\s"'>]++)))?+""")


def references(text: str) -> Iterator[str]:
    """Yield the names of the media that a field shows or plays.

    Args:
        text: the field's HTML.
    """
    yield from _sounds(text)
    for tag in _TAG.finditer(text):
        for attribute, *values in _ATTRIBUTE.findall(tag[1]):
            if attribute.lower() == "src" and any(values):
                yield html.unescape("".join(values))


def _sounds(text: str) -> Iterator[str]:
    start = text.find(_SOUND)
    while start >= 0:
        start += len(_SOUND)
        end = text.find(_END, start)
        if end < 0:
            return
        if end > start:
            yield text[start:end]
        start = text.find(_SOUND, end)
