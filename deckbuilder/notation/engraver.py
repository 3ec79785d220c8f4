"""Engraver: MusicXML laid out by verovio, and read back as shapes, lines and labels row by row.

Conventions: a row is a system of staves; lengths are tenths of a CSS pixel, x from the left edge and y from the top of
what verovio laid out.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cache
from itertools import pairwise
from typing import Any, Final
from xml.parsers import expat

from deckbuilder.notation.description import NotationError
from deckbuilder.notation.outlines import Shape, of_path, of_polygon

WIDTH: Final = 3600
"""Of a drawing: 360 CSS pixels, ten units each."""
MARGIN: Final = 60
"""Bare ground at its left and right."""
SCALE: Final = 33
"""verovio's per cent: four spaces of the staff are 24 CSS pixels."""

_UNIT: Final = SCALE / 100
"""A unit of verovio's drawing in ours."""
_LEFT_OUT: Final = frozenset({"grpSym", "mNum", "placeholder"})
"""What a card has no room or no use for: braces, numbers of bars, and marks of the library's own."""
_UNDRAWN: Final = frozenset({"svg", "desc", "title", "tspan"})
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
    return _Reader(toolkit.renderToSVG(1)).rows


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
    """Reads an SVG of verovio's, element by element.

    Args:
        svg: the SVG.
    """

    def __init__(self, svg: str) -> None:
        self.rows: list[Row] = []
        self._glyphs: dict[str, str] = {}
        self._within: list[tuple[str, ...]] = [()]
        self._skipped = 0
        self._words: list[str] = []
        self._place = (Role.LYRIC, 0.0, 0.0)
        self._parser = expat.ParserCreate()
        self._parser.buffer_text = True
        self._parser.StartElementHandler = self._open
        self._parser.EndElementHandler = self._close
        self._parser.Parse(svg, True)

    def _open(self, tag: str, told: dict[str, str]) -> None:
        if self._skipped:
            self._skipped += 1
        elif tag == "g":
            classes = told.get("class", "").split()
            within = (*self._within[-1], *classes)
            if not _LEFT_OUT.isdisjoint(classes) or ("rest" in classes and "tabGrp" in within):
                self._skipped = 1
                return
            self._within.append(within)
            if "system" in classes:
                self.rows.append(Row())
        elif tag == "defs":
            self._parser.StartElementHandler = self._define
        elif tag not in _UNDRAWN:
            self._draw(tag, told, self._within[-1])

    def _define(self, tag: str, told: dict[str, str]) -> None:
        """Note the path of a glyph, which is the only one of its group."""
        if tag == "g":
            self._within.append((f"#{told['id']}",))
        else:
            self._glyphs[self._within[-1][0]] = told["d"]

    def _close(self, tag: str) -> None:
        if self._skipped:
            self._skipped -= 1
        elif tag == "g":
            self._within.pop()
        elif tag == "defs":
            self._parser.StartElementHandler = self._open
        elif tag == "text":
            self._parser.CharacterDataHandler = None
            role, x, y = self._place
            self.rows[-1].labels.append(Label(role, "".join(self._words), x, y))

    def _draw(self, tag: str, told: dict[str, str], within: tuple[str, ...]) -> None:
        row = self.rows[-1]
        match tag:
            case "use":
                found = _MOVED.fullmatch(told["transform"])
                assert found is not None, told
                x, y, across, down = (float(number or 1) for number in found.groups())
                glyph = _glyph(self._glyphs[told["href"]], across * _UNIT, down * _UNIT)
                row.shapes.append((glyph, x * _UNIT + MARGIN, y * _UNIT))
            case "text":
                self._place = _role(within), float(told["x"]) * _UNIT + MARGIN, float(told["y"]) * _UNIT
                self._words = []
                self._parser.CharacterDataHandler = self._hear
            case "path" if "C" in told["d"]:
                row.shapes.append((of_path(told["d"], (_UNIT, 0, 0, _UNIT, MARGIN, 0)), 0, 0))
            case "path" | "polyline":
                lines = row.staves if within[-1] == "staff" else row.lines
                width = float(told["stroke-width"]) * _UNIT
                places = _places(_NUMBER.findall(told["d"] if tag == "path" else told["points"]))
                lines += [Line(*one, *other, width) for one, other in pairwise(places)]
            case "polygon":
                row.shapes.append((of_polygon(_places(_NUMBER.findall(told["points"]))), 0, 0))
            case "rect":
                x, y, width, height = (float(told[name]) for name in ("x", "y", "width", "height"))
                corners = (x, y, x + width, y, x + width, y + height, x, y + height)
                row.shapes.append((of_polygon(_places(corners)), 0, 0))
            case "ellipse":
                x, y, across, down = (float(told[name]) * _UNIT for name in ("cx", "cy", "rx", "ry"))
                row.shapes.append((_dot(across, down), x + MARGIN, y))
            case _:
                raise NotationError(f"the engraver draws a {tag!r}, which is not read")

    def _hear(self, words: str) -> None:
        self._words.append(words.strip())


def _places(numbers: Sequence[str | float]) -> list[tuple[float, float]]:
    return [(float(x) * _UNIT + MARGIN, float(y) * _UNIT) for x, y in zip(numbers[::2], numbers[1::2], strict=True)]


@cache
def _glyph(path: str, across: float, down: float) -> Shape:
    return of_path(path, (across, 0, 0, -down, 0, 0))


@cache
def _dot(across: float, down: float) -> Shape:
    path = f"M{-across} 0A{across} {down} 0 1 0 {across} 0A{across} {down} 0 1 0 {-across} 0z"
    return of_path(path, (1, 0, 0, 1, 0, 0))


def _role(within: tuple[str, ...]) -> Role:
    if "tabGrp" in within:
        return Role.FRET
    if "harm" in within:
        return Role.CHORD
    return Role.LYRIC
