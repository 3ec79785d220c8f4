"""Engraver: MusicXML laid out by verovio, and read back as shapes, lines and labels row by row.

Conventions: a row is a system of staves; lengths are tenths of a CSS pixel, x from the left edge and y from the top of
what verovio laid out.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cache
from itertools import pairwise
from typing import Any, Final
from xml.etree import ElementTree

from deckbuilder.notation.description import NotationError
from deckbuilder.notation.outlines import Matrix, Shape, of_path

WIDTH: Final = 3600
"""Of a drawing: 360 CSS pixels, ten units each."""
MARGIN: Final = 60
"""Bare ground at its left and right."""
SCALE: Final = 33
"""verovio's per cent: four spaces of the staff are 24 CSS pixels."""

_SVG: Final = "{http://www.w3.org/2000/svg}"
_LEFT_OUT: Final = frozenset({"grpSym", "mNum", "placeholder"})
"""What a card has no room or no use for: braces, numbers of bars, and marks of the library's own."""
_NUMBER: Final = re.compile(r"-?[0-9.]+")
_MOVED: Final = re.compile(r"translate\(([-0-9.]+),\s*([-0-9.]+)\)(?:\s*scale\(([-0-9.]+),\s*([-0-9.]+)\))?")


class Role(StrEnum):
    """What a label is."""

    FRET = "fret"
    CHORD = "chord"
    LYRIC = "lyric"


@dataclass(frozen=True, slots=True)
class Label:
    """A text in its place.

    Args:
        role: what it is.
        text: as the engraver has it.
        x: its middle; of a chord symbol its left edge.
        y: the line it stands on.
    """

    role: Role
    text: str
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line of some width."""

    x1: float
    y1: float
    x2: float
    y2: float
    width: float


@dataclass(slots=True)
class Row:
    """A system of staves.

    Args:
        shapes: glyphs, beams and ties, each with the place it is moved to.
        staves: lines of staves and tablatures, in pieces where numbers stand on them.
        lines: stems, ledger lines, bar lines and brackets.
        labels: texts.
    """

    shapes: list[tuple[Shape, float, float]] = field(default_factory=list)
    staves: list[Line] = field(default_factory=list)
    lines: list[Line] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)


def engrave(document: bytes) -> list[Row]:
    """Lay out a document, in rows as wide as a phone held upright.

    Args:
        document: MusicXML.

    Raises:
        NotationError: the engraver refuses it.
    """
    toolkit = _toolkit()
    if not toolkit.loadData(document.decode()):
        raise NotationError("music that the engraver does not read")
    return _Reader(ElementTree.fromstring(toolkit.renderToSVG(1))).rows


@cache
def _toolkit() -> Any:
    import verovio

    verovio.enableLog(verovio.LOG_OFF)
    toolkit = verovio.toolkit()
    # In millimetres it writes no style sheet, whose making took four tenths of the drawing's time.
    toolkit.setOptions(
        {
            "adjustPageHeight": True,
            "breaks": "encoded",
            "footer": "none",
            "header": "none",
            "inputFrom": "musicxml",
            "minLastJustification": 0.0,
            "mmOutput": True,
            "pageHeight": 60000,
            "pageWidth": round((WIDTH - 2 * MARGIN) / SCALE * 10),
            "pageMarginBottom": 0,
            "pageMarginLeft": 0,
            "pageMarginRight": 0,
            "pageMarginTop": 0,
            "removeIds": True,
            "scale": SCALE,
            "smuflTextFont": "none",
            "spacingStaff": 3,
            "staffLineWidth": 0.2,
            "svgFormatRaw": True,
            "svgRemoveXlink": True,
            "xmlIdSeed": 1,
        }
    )
    return toolkit


class _Reader:
    """Reads an SVG of verovio's.

    Args:
        root: its root.
    """

    def __init__(self, root: ElementTree.Element) -> None:
        self.rows: list[Row] = []
        self._glyphs = {
            glyph.get("id", ""): "".join(path.get("d", "") for path in glyph.iter(f"{_SVG}path"))
            for glyph in root.iterfind(f"{_SVG}defs/{_SVG}g")
        }
        page = root.find(f"{_SVG}svg")
        assert page is not None
        self._unit = SCALE / 100
        self._read(page, ())

    def _read(self, element: ElementTree.Element, within: tuple[str, ...]) -> None:
        for child in element:
            classes = tuple(child.get("class", "").split())
            if _LEFT_OUT.intersection(classes):
                continue
            if "system" in classes:
                self.rows.append(Row())
            tag = child.tag.removeprefix(_SVG)
            if tag == "g":
                self._read(child, (*within, *classes))
            else:
                self._draw(tag, child, within)

    def _draw(self, tag: str, element: ElementTree.Element, within: tuple[str, ...]) -> None:
        row, unit = self.rows[-1], self._unit
        if "tabGrp" in within and "rest" in within:
            return
        match tag:
            case "title" | "desc":
                pass
            case "use":
                x, y, across, down = self._moved(element)
                glyph = self._glyphs[element.get("href", "")[1:]]
                row.shapes.append((_glyph(glyph, across * unit, down * unit), x, y))
            case "text":
                x, y = float(element.get("x", 0)) * unit, float(element.get("y", 0)) * unit
                text = "".join(part.strip() for part in element.itertext())
                row.labels.append(Label(_role(within), text, x + MARGIN, y))
            case "path" if "C" not in element.get("d", ""):
                self._line(element.get("d", ""), element, within)
            case "polyline":
                self._line(element.get("points", ""), element, within)
            case "path":
                row.shapes.append((of_path(element.get("d", ""), (unit, 0, 0, unit, MARGIN, 0)), 0, 0))
            case "polygon":
                path = f"M{element.get('points', '').strip()}z"
                row.shapes.append((of_path(path, (unit, 0, 0, unit, MARGIN, 0)), 0, 0))
            case "ellipse":
                self._dot(element)
            case "rect":
                box = [float(element.get(name, 0)) for name in ("x", "y", "width", "height")]
                path = "M{} {}h{}v{}h-{}z".format(*box, box[2])
                row.shapes.append((of_path(path, (unit, 0, 0, unit, MARGIN, 0)), 0, 0))
            case _:
                raise NotationError(f"the engraver draws a {tag!r}, which is not read")

    def _moved(self, element: ElementTree.Element) -> Iterator[float]:
        found = _MOVED.fullmatch(element.get("transform", ""))
        assert found is not None, element.attrib
        yield float(found[1]) * self._unit + MARGIN
        yield float(found[2]) * self._unit
        yield float(found[3] or 1)
        yield float(found[4] or 1)

    def _line(self, points: str, element: ElementTree.Element, within: tuple[str, ...]) -> None:
        numbers = [float(number) * self._unit for number in _NUMBER.findall(points)]
        width = float(element.get("stroke-width", 1)) * self._unit
        places = list(zip([x + MARGIN for x in numbers[::2]], numbers[1::2], strict=True))
        row = self.rows[-1]
        lines = row.staves if within[-1] == "staff" else row.lines
        lines += [Line(*one, *other, width) for one, other in pairwise(places)]

    def _dot(self, element: ElementTree.Element) -> None:
        x, y, across, down = (float(element.get(name, 0)) * self._unit for name in ("cx", "cy", "rx", "ry"))
        path = f"M{-across} 0A{across} {down} 0 1 0 {across} 0A{across} {down} 0 1 0 {-across} 0z"
        self.rows[-1].shapes.append((of_path(path, (1, 0, 0, 1, 0, 0)), x + MARGIN, y))


@cache
def _glyph(path: str, across: float, down: float) -> Shape:
    matrix: Matrix = (across, 0, 0, -down, 0, 0)
    return of_path(path, matrix)


def _role(within: tuple[str, ...]) -> Role:
    if "tabGrp" in within:
        return Role.FRET
    if "harm" in within:
        return Role.CHORD
    return Role.LYRIC
