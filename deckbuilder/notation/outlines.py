"""Outlines: shapes as SVG path data in whole units, and letters as shapes.

Conventions: x to the right and y down; a shape's units are those of the drawing it goes into. Letters are DejaVu Sans
Bold, the font that matplotlib brings: written music looks the same wherever it is shown.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any

Box = tuple[float, float, float, float]
"""Left, top, right and bottom."""
Matrix = tuple[float, float, float, float, float, float]
"""Scales, shears and shifts as in SVG: x' = ax + cy + e, y' = bx + dy + f."""

_NARROWED = (1.0, 0.88, 0.76, 0.64, 0.52)
"""Widths that letters come in, as shares of the usual one: few, so that shapes are shared."""


@dataclass(frozen=True, slots=True)
class Shape:
    """A shape to be filled.

    Args:
        path: SVG path data.
        box: what it covers.
    """

    path: str
    box: Box


def of_path(path: str, matrix: Matrix) -> Shape:
    """Read SVG path data as a shape.

    Args:
        path: the data.
        matrix: what is done to its points.
    """
    from fontTools.svgLib.path import parse_path

    return _shape([(matrix, lambda pen: parse_path(path, pen))])


def of_polygon(corners: Sequence[tuple[float, float]]) -> Shape:
    """Make a shape of straight edges.

    Args:
        corners: its corners in order; what is between the last and the first is an edge, too.
    """
    from fontTools.misc.roundTools import otRound

    at, *others = [(otRound(x), otRound(y)) for x, y in corners]
    strokes = [("moveTo", (at,)), *(("lineTo", (corner,)) for corner in (*others, at)), ("closePath", ())]
    across, down = zip(at, *others, strict=True)
    return Shape(_path(strokes), (min(across), min(down), max(across), max(down)))


def of_text(text: str, size: float, widest: float = 0.0) -> Shape:
    """Write a text as a shape, from x = 0 on the line y = 0.

    Args:
        text: one line.
        size: of its letters: the em.
        widest: where it is wider, it is narrowed; 0 for no such limit.
    """
    width = _width(text) * size
    return _text(
        text, size, next((share for share in _NARROWED if not widest or share * width <= widest), _NARROWED[-1])
    )


@lru_cache(maxsize=4096)
def _width(text: str) -> float:
    """Return the width of a text, in ems."""
    glyphs, names, em = _font()
    return float(sum(glyphs[_glyph(names, sign)].width for sign in text) / em)


@lru_cache(maxsize=4096)
def _text(text: str, size: float, narrowed: float) -> Shape:
    """Write a text, its letters as wide as a share of what they are; kept, because texts recur."""
    glyphs, names, em = _font()
    pieces: list[tuple[Matrix, Callable[[Any], None]]] = []
    across = size / em * narrowed
    at = 0.0
    for sign in text:
        glyph = glyphs[_glyph(names, sign)]
        pieces.append(((across, 0.0, 0.0, -size / em, at, 0.0), glyph.draw))
        at += glyph.width * across
    return _shape(pieces)


def _glyph(names: dict[int, str], sign: str) -> str:
    return names.get(ord(sign), ".notdef")


@cache
def _font() -> tuple[Any, dict[int, str], int]:
    import matplotlib
    from fontTools.ttLib import TTFont

    font = TTFont(f"{matplotlib.get_data_path()}/fonts/ttf/DejaVuSans-Bold.ttf")
    return font.getGlyphSet(), font.getBestCmap(), font["head"].unitsPerEm


def _shape(pieces: Sequence[tuple[Matrix, Callable[[Any], None]]]) -> Shape:
    from fontTools.pens.boundsPen import BoundsPen
    from fontTools.pens.recordingPen import DecomposingRecordingPen
    from fontTools.pens.roundingPen import RoundingPen
    from fontTools.pens.transformPen import TransformPen

    recorded = DecomposingRecordingPen(_font()[0])
    for matrix, draw in pieces:
        draw(TransformPen(RoundingPen(recorded), matrix))
    bounds = BoundsPen(None)
    recorded.replay(bounds)
    return Shape(_path(recorded.value), bounds.bounds or (0.0, 0.0, 0.0, 0.0))


def _path(strokes: Sequence[tuple[str, tuple[Any, ...]]]) -> str:
    """Write a pen's strokes with coordinates counted from the point before: the shortest way."""
    parts: list[str] = []
    at = start = (0, 0)
    for name, points in strokes:
        match name:
            case "moveTo":
                at = start = points[0]
                parts.append(f"M{at[0]} {at[1]}")
            case "lineTo":
                parts.append(_relative("l", at, points))
                at = points[0]
            case "curveTo":
                parts.append(_relative("c", at, points))
                at = points[-1]
            case "qCurveTo":
                for control, end in _quadratics(points):
                    parts.append(_relative("q", at, (control, end)))
                    at = end
            case "closePath" | "endPath":
                parts.append("z")
                at = start
    return "".join(parts)


def _quadratics(points: Sequence[Any]) -> list[tuple[Any, Any]]:
    from fontTools.pens.basePen import decomposeQuadraticSegment

    # A point between two of a curve is implied by them and may be a half.
    return [(control, tuple(map(round, end))) for control, end in decomposeQuadraticSegment(points)]


def _relative(command: str, at: tuple[int, int], points: Sequence[tuple[int, int]]) -> str:
    numbers = [str(value) for x, y in points for value in (x - at[0], y - at[1])]
    return command + numbers[0] + "".join(each if each[0] == "-" else f" {each}" for each in numbers[1:])
