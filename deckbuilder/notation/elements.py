"""Elements: what MusicXML is put together of, as text.

Elements are written straight away: a tree of them, and its serialising, took more than twice as long.
"""

import re
from functools import lru_cache
from typing import Final, NewType
from xml.sax.saxutils import escape

Markup = NewType("Markup", str)
"""Elements as they stand in a file."""

_IN_ATTRIBUTES: Final = {'"': "&quot;", "\r": "&#13;", "\n": "&#10;", "\t": "&#09;"}
"""What is escaped there besides."""
_NO_XML: Final = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""Characters that no document may hold (XML 1.0, production 2); U+FFFD stands in for them."""


def element(name: str, *inside: Markup, **attributes: object) -> Markup:
    """Write an element that holds other ones.

    Args:
        name: of the element.
        inside: the other ones, in their order.
        attributes: its attributes.
    """
    told = "".join([f' {key}="{_escaped(value, _IN_ATTRIBUTES)}"' for key, value in attributes.items()])
    content = "".join(inside)
    return Markup(f"<{name}{told}>{content}</{name}>" if content else f"<{name}{told} />")


@lru_cache(maxsize=4096, typed=True)
def leaf(name: str, content: object, **attributes: object) -> Markup:
    """Write an element that holds a text; kept, because most recur.

    Args:
        name: of the element.
        content: its text.
        attributes: its attributes.
    """
    return element(name, Markup(_escaped(content, {})), **attributes)


def _escaped(content: object, besides: dict[str, str]) -> str:
    return escape(_NO_XML.sub("\ufffd", str(content)), besides)
