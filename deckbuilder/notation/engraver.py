"""Engraver: MusicXML laid out by verovio, and read back as shapes, lines and labels row by row.

Conventions: a row is a system of staves; lengths are tenths of a CSS pixel, x from the left edge and y from the top of
what verovio laid out.
"""

import re
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cache, lru_cache
from itertools import pairwise
from typing import Any, Final, NamedTuple
from xml.parsers import expat

from deckbuilder.notation.description import NotationError
from deckbuilder.notation.outlines import Shape, of_path, of_polygon

WIDTH: Final = 3600
"""Of a drawing: 360 CSS pixels, ten units each."""
MARGIN: Final = 60
"""Bare ground at its left and right."""
SCALE: Final = 33
"""verovio's per cent: four spaces of the staff are 24 CSS pixels."""


class Role(StrEnum):
    """What a label is."""

    FRET = "fret"
    CHORD = "chord"
    LYRIC = "lyric"


_UNIT: Final = SCALE / 100
"""A unit of verovio's drawing in ours."""
_LEFT_OUT: Final = frozenset({"grpSym", "mNum", "placeholder"})
"""What a card has no room or no use for: braces, numbers of bars, and marks of the library's own."""
_ROLES: Final = {"tabGrp": Role.FRET, "harm": Role.CHORD}
"""Of the texts in groups of some class; what is in none of them is a lyric."""
_UNDRAWN: Final = frozenset({"svg", "desc", "title", "tspan"})
_NUMBER: Final = re.compile(r"-?[0-9.]+")
_MOVED: Final = re.compile(r"translate\(([-0-9.]+),\s*([-0-9.]+)\)(?:\s*scale\(([-0-9.]+),\s*([-0-9.]+)\))?")


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


class Line(NamedTuple):
    """A straight line of some width."""

    x1: float
    y1: float
    x2: float
    y2: float
    width: float

    def on_from(self, other: "Line") -> "Line":
        """Join a level line to another one of its height, as wide as that."""
        return Line(min(self.x1, other.x1), self.y1, max(self.x2, other.x2), self.y1, other.width)


@dataclass(slots=True)
class Row:
    """A system of staves.

    Args:
        shapes: glyphs, beams and ties, each with the place it is moved to.
        staves: lines of staves and tablatures by their height, each from end to end.
        lines: stems, ledger lines, bar lines and brackets.
        labels: texts.
    """

    shapes: list[tuple[Shape, float, float]] = field(default_factory=list)
    staves: dict[float, Line] = field(default_factory=dict)
    lines: list[Line] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)


def engrave(document: bytes) -> list[Row]:
    """Lay out a document, in rows as wide as a phone held upright.

    Args:
        document: MusicXML.

    Raises:
        NotationError: the engraver refuses it.
    """
    return _Reader(lay_out(document)).rows


def lay_out(document: bytes) -> str:
    """Return what verovio makes of a document: an SVG, all on one page.

    Args:
        document: MusicXML.

    Raises:
        NotationError: the engraver refuses it.
    """
    toolkit = _toolkit()
    if not toolkit.loadData(document.decode()):
        raise NotationError("music that the engraver does not read")
    return str(toolkit.renderToSVG(1))


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
        self._groups = [_Group("", Role.LYRIC)]
        self._skipped = 0
        self._place = 0.0, 0.0
        self._words: list[str] = []
        self._parser = expat.ParserCreate()
        self._parser.buffer_text = True
        self._parser.StartElementHandler = self._open
        self._parser.EndElementHandler = self._close
        self._parser.Parse(svg, True)

    def _open(self, tag: str, told: dict[str, str]) -> None:
        if self._skipped:
            self._skipped += 1
        elif tag == "g":
            group = _group(told.get("class", ""), self._groups[-1].role)
            if not group:
                self._skipped = 1
                return
            self._groups.append(group)
            if group.kind == "system":
                self.rows.append(Row())
        elif tag == "defs":
            self._parser.StartElementHandler = self._define
        elif tag not in _UNDRAWN:
            self._draw(tag, told, self._groups[-1])

    def _define(self, tag: str, told: dict[str, str]) -> None:
        """Note the path of a glyph, which is the only one of its group."""
        if tag == "g":
            self._groups.append(_Group(f"#{told['id']}", Role.LYRIC))
        else:
            self._glyphs[self._groups[-1].kind] = told["d"]

    def _close(self, tag: str) -> None:
        if self._skipped:
            self._skipped -= 1
        elif tag == "g":
            self._groups.pop()
        elif tag == "defs":
            self._parser.StartElementHandler = self._open
        elif tag == "text":
            self._parser.CharacterDataHandler = None
            self.rows[-1].labels.append(Label(self._groups[-1].role, "".join(self._words), *self._place))

    def _hear(self, words: str) -> None:
        self._words.append(words.strip())

    def _draw(self, tag: str, told: dict[str, str], group: "_Group") -> None:
        row = self.rows[-1]
        match tag:
            case "path" if "C" in told["d"]:
                row.shapes.append((of_path(told["d"], (_UNIT, 0, 0, _UNIT, MARGIN, 0)), 0, 0))
            case "path":
                line = _line(told["d"], told["stroke-width"])
                if group.kind == "staff":
                    row.staves[line.y1] = line.on_from(row.staves.get(line.y1, line))
                else:
                    row.lines.append(line)
            case "polyline":
                width = float(told["stroke-width"]) * _UNIT
                row.lines += [Line(*one, *other, width) for one, other in pairwise(_places(told["points"]))]
            case "use":
                found = _MOVED.fullmatch(told["transform"])
                assert found is not None, told
                x, y, across, down = (float(number or 1) for number in found.groups())
                glyph = _glyph(self._glyphs[told["href"]], across * _UNIT, down * _UNIT)
                row.shapes.append((glyph, x * _UNIT + MARGIN, y * _UNIT))
            case "text":
                self._place = float(told["x"]) * _UNIT + MARGIN, float(told["y"]) * _UNIT
                self._words = []
                self._parser.CharacterDataHandler = self._hear
            case "polygon":
                row.shapes.append((of_polygon(_places(told["points"])), 0, 0))
            case "ellipse":
                x, y, across, down = (float(told[name]) * _UNIT for name in ("cx", "cy", "rx", "ry"))
                row.shapes.append((_dot(across, down), x + MARGIN, y))
            case _:
                raise NotationError(f"the engraver draws a {tag!r}, which is not read")


class _Group(NamedTuple):
    """A group of an SVG.

    Args:
        kind: its class, the first of them.
        role: what the texts in it are.
    """

    kind: str
    role: Role


@lru_cache(maxsize=1024)
def _group(classes: str, within: Role) -> _Group | None:
    """Return the group of some classes that is within another one; None for one that is left out."""
    kind, *others = classes.split() or [""]
    if not _LEFT_OUT.isdisjoint((kind, *others)) or (kind == "rest" and within is Role.FRET):
        return None
    return _Group(kind, _ROLES.get(kind, within))


def _line(path: str, width: str) -> Line:
    """Read the path of one straight line, which most of a drawing are."""
    x1, y1, x2, y2 = path[1:].replace("L", "").split()
    return Line(
        float(x1) * _UNIT + MARGIN,
        float(y1) * _UNIT,
        float(x2) * _UNIT + MARGIN,
        float(y2) * _UNIT,
        float(width) * _UNIT,
    )


def _places(numbers: str) -> list[tuple[float, float]]:
    found = [float(number) * _UNIT for number in _NUMBER.findall(numbers)]
    return list(zip([x + MARGIN for x in found[::2]], found[1::2], strict=True))


@cache
def _glyph(path: str, across: float, down: float) -> Shape:
    return of_path(path, (across, 0, 0, -down, 0, 0))


@cache
def _dot(across: float, down: float) -> Shape:
    path = f"M{-across} 0A{across} {down} 0 1 0 {across} 0A{across} {down} 0 1 0 {-across} 0z"
    return of_path(path, (1, 0, 0, 1, 0, 0))
