"""Wholeness of written music: whether an SVG is all that `deckbuilder.notation.render` draws, and nothing besides.

Source: XML 1.0 (W3C): a document is well-formed or it is none. What would make a reader fetch, run or unpack things –
a document type, a link to elsewhere, a script – is nothing that is drawn here.
"""

from typing import Final
from xml.parsers import expat

_ELEMENTS: Final = {
    "svg": {"xmlns", "width", "height", "viewBox", "fill"},
    "defs": set[str](),
    "g": {"transform", "class", "fill", "stroke"},
    "path": {"id", "d", "stroke-width"},
    "use": {"href", "x", "y"},
}
"""Elements that are drawn, and what they say."""


class _NotOursError(ValueError):
    """Something that is not drawn here."""


def svg_problem(data: bytes) -> str:
    """Say what is wrong with written music.

    Args:
        data: a file's bytes.

    Returns:
        A few words; none for a whole SVG of written music.
    """
    parser = expat.ParserCreate()
    parser.StartElementHandler = _checked
    parser.StartDoctypeDeclHandler = _refused
    try:
        parser.Parse(data, True)
    except (expat.ExpatError, _NotOursError, ValueError):
        return "not a whole SVG picture of written music"
    return "" if data.startswith(b"<svg ") else "not a whole SVG picture of written music"


def _checked(name: str, attributes: dict[str, str]) -> None:
    link = attributes.get("href", "#")
    if name not in _ELEMENTS or not attributes.keys() <= _ELEMENTS[name] or not link.startswith("#"):
        raise _NotOursError(name)


def _refused(*_: object) -> None:
    raise _NotOursError("a document type")
