"""Drawing: a small SVG of shapes that are defined once and strokes that are grouped by their width.

Conventions: lengths are tenths of a CSS pixel, y down; a row is drawn from its own top.
"""

from collections.abc import Callable, Iterable
from itertools import groupby
from string import ascii_letters, digits
from typing import Final

from deckbuilder.notation.engraver import Line
from deckbuilder.notation.outlines import Box, Shape

_SIGNS: Final = ascii_letters + digits
UNITS: Final = 10
"""In a CSS pixel."""


class Drawing:
    """An SVG that grows row by row.

    Args:
        width: of it, in units.
        ink: colour of everything.
    """

    def __init__(self, width: int, ink: str) -> None:
        self._width, self._ink = width, ink
        self._shapes: dict[str, str] = {}
        self._rows: list[str] = []
        self._bottom = 0

    def add(self, layer: "Layer", gap: int) -> None:
        """Put a row under what is there.

        Args:
            layer: the row.
            gap: room above it.
        """
        _, top, _, bottom = map(round, layer.box)
        shift = self._bottom + gap - top
        self._rows.append(f'<g transform="translate(0 {shift})">{layer.content(self._name, self._ink)}</g>')
        self._bottom += gap + bottom - top

    def svg(self, margin: int) -> bytes:
        """Return the SVG.

        Args:
            margin: room below the last row.
        """
        height = self._bottom + margin
        shapes = "".join(f'<path id="{name}" d="{path}"/>' for path, name in self._shapes.items())
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{self._width / UNITS:g}" height="{height / UNITS:g}" '
            f'viewBox="0 0 {self._width} {height}" fill="{self._ink}"><defs>{shapes}</defs>'
            f"{''.join(self._rows)}</svg>"
        ).encode()

    def _name(self, shape: Shape) -> str:
        return self._shapes.setdefault(shape.path, _numeral(len(self._shapes)))


class Layer:
    """A row: groups of shapes, and strokes."""

    def __init__(self) -> None:
        self._groups: dict[str, list[tuple[Shape, int, int]]] = {}
        self._lines: list[Line] = []
        self._boxes: list[Box] = []

    def place(self, shape: Shape, x: float, y: float, group: str = "") -> None:
        """Put a shape somewhere.

        Args:
            shape: the shape.
            x: where its own x = 0 comes.
            y: where its own y = 0 comes.
            group: what it is one of; empty for the engraver's own signs.
        """
        self._groups.setdefault(group, []).append((shape, round(x), round(y)))
        left, top, right, bottom = shape.box
        self._boxes.append((left + x, top + y, right + x, bottom + y))

    def stroke(self, line: Line) -> None:
        """Draw a line."""
        self._lines.append(line)
        x1, y1, x2, y2, width = line
        half = width / 2
        self._boxes.append((min(x1, x2) - half, min(y1, y2) - half, max(x1, x2) + half, max(y1, y2) + half))

    @property
    def box(self) -> Box:
        """What it covers."""
        lefts, tops, rights, bottoms = zip(*self._boxes, strict=True)
        return min(lefts), min(tops), max(rights), max(bottoms)

    def content(self, name: Callable[[Shape], str], ink: str) -> str:
        """Return it as SVG elements.

        Args:
            name: gives a shape its name.
            ink: colour of strokes.
        """
        parts = [f'<g fill="none" stroke="{ink}">{"".join(_strokes(self._lines))}</g>']
        for group, placed in self._groups.items():
            fixed = "".join(shape.path for shape, x, y in placed if x == y == 0)
            uses = "".join(f'<use href="#{name(shape)}" x="{x}" y="{y}"/>' for shape, x, y in placed if x or y)
            own = f'<path d="{fixed}"/>' if fixed else ""
            parts.append(f'<g class="{group}">{own}{uses}</g>' if group else own + uses)
        return "".join(parts)


def _strokes(lines: Iterable[Line]) -> Iterable[str]:
    by_width = sorted(lines, key=lambda line: (line.width, line.y1, line.x1))
    for width, group in groupby(by_width, key=lambda line: max(1, round(line.width))):
        path = "".join(_stroke(line) for line in group)
        yield f'<path stroke-width="{width}" d="{path}"/>'


def _stroke(line: Line) -> str:
    x, y = round(line.x1), round(line.y1)
    across, down = round(line.x2) - x, round(line.y2) - y
    if not down:
        return f"M{x} {y}h{across}"
    return f"M{x} {y}v{down}" if not across else f"M{x} {y}l{across} {down}"


def _numeral(number: int) -> str:
    """Return the shortest name of a number that is none of the others'."""
    number, first = divmod(number, len(ascii_letters))
    name = ascii_letters[first]
    while number:
        number, sign = divmod(number, len(_SIGNS))
        name += _SIGNS[sign]
    return name
