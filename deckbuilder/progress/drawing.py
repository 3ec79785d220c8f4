"""Drawing: a sheet of paper in ink, with lines of text that keep to their room, and necks.

Conventions: millimetres of the page, x to the right and y down from the upper left corner. The size of letters is the
distance from one baseline to the next.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from enum import Enum
from io import BytesIO
from typing import TYPE_CHECKING

from deckbuilder.picture.description import NeckPicture
from deckbuilder.progress.paper import printed

if TYPE_CHECKING:
    from matplotlib.axes import Axes

MM_PER_INCH = 25.4
_POINTS_PER_MM = 72 / MM_PER_INCH

INK, QUIET, EDGE, MARK = "#15171a", "#565e68", "#c9c3b8", "#e69f00"


class Paper(Enum):
    """Sizes of paper, width and height (ISO 216; ANSI/ASME Y14.1)."""

    A4 = (210.0, 297.0)
    LETTER = (215.9, 279.4)


@dataclass(frozen=True, eq=False, slots=True)
class Sheet:
    """A page that is being drawn.

    Args:
        axes: what is drawn on.
        paper: its size.
    """

    axes: Axes
    paper: Paper

    @property
    def width(self) -> float:
        """Width of the page."""
        return self.paper.value[0]

    @property
    def height(self) -> float:
        """Height of the page."""
        return self.paper.value[1]

    def text(
        self,
        x: float,
        y: float,
        line: str,
        size: float,
        colour: str = INK,
        *,
        ha: str = "left",
        weight: str = "normal",
    ) -> None:
        """Write a line, centred down on `y`."""
        options = {"ha": ha, "va": "center_baseline", "weight": weight, "parse_math": False}
        self.axes.text(x, y, line, fontsize=size * _POINTS_PER_MM, color=colour, **options)  # type: ignore[arg-type]

    def paragraph(self, x: float, y: float, words: str, size: float, width: float, colour: str = INK) -> float:
        """Write words in as many lines as they need.

        Args:
            x: where lines begin.
            y: middle of the first line.
            words: what is written.
            size: of the letters.
            width: how long a line may be.
            colour: of the letters.

        Returns:
            Where the next line would have its middle.
        """
        for line in wrapped(words, size, width):
            self.text(x, y, line, size, colour)
            y += size * _LEADING
        return y

    def rule(self, y: float, margin: float) -> None:
        """Draw a line across the page."""
        self.line(margin, y, self.width - margin, y)

    def line(self, x: float, y: float, to_x: float, to_y: float) -> None:
        """Draw a line from one place to another."""
        self.axes.plot([x, to_x], [y, to_y], color=EDGE, linewidth=0.8)

    def badge(self, x: float, y: float, word: str) -> None:
        """Draw a number in a disc."""
        from matplotlib.patches import Circle

        self.axes.add_patch(Circle((x, y), 3.6, facecolor=MARK, edgecolor="none"))
        self.text(x, y, word, 4.2, ha="center", weight="bold")

    def box(self, x: float, y: float, width: float, height: float, colour: str) -> None:
        """Draw a framed box."""
        from matplotlib.patches import Rectangle

        self.axes.add_patch(Rectangle((x, y), width, height, facecolor=colour, edgecolor=EDGE, linewidth=0.6))

    def neck(self, picture: NeckPicture, x: float, y: float, width: float, height: float) -> None:
        """Draw a neck into a room, as large as it fits."""
        pixels = printed(picture)
        scale = min(width / pixels.shape[1], height / pixels.shape[0])
        extent = (x, x + pixels.shape[1] * scale, y + pixels.shape[0] * scale, y)
        self.axes.imshow(pixels, extent=extent, aspect="auto", interpolation="none", zorder=1)
        self.axes.set(xlim=(0, self.width), ylim=(self.height, 0))


_LEADING = 1.25
"""Of a paragraph's lines."""


@contextmanager
def drawn(paper: Paper, title: str, into: BytesIO) -> Iterator[Sheet]:
    """Draw a page as a PDF for the time of a block; the same page is the same bytes.

    Args:
        paper: its size.
        title: what the document is called.
        into: where the bytes go when the block ends.
    """
    import matplotlib as mpl
    from matplotlib.figure import Figure

    width, height = paper.value
    with mpl.rc_context():
        mpl.rcdefaults()
        mpl.rcParams["pdf.fonttype"] = 42
        figure = Figure(figsize=(width / MM_PER_INCH, height / MM_PER_INCH))
        axes = figure.add_axes((0, 0, 1, 1))
        axes.set(xlim=(0, width), ylim=(height, 0))
        axes.set_axis_off()
        yield Sheet(axes, paper)
        figure.savefig(into, format="pdf", metadata={"Title": title, "Creator": "deckbuilder", "CreationDate": None})


def measured(line: str, size: float, weight: str = "normal") -> float:
    """Return how long a line is.

    Args:
        line: the text.
        size: of its letters.
        weight: of its letters.
    """
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import text_to_path

    font = FontProperties(size=size * _POINTS_PER_MM, weight=weight)
    width, _, _ = text_to_path.get_text_width_height_descent(line, font, ismath=False)
    return float(width) / _POINTS_PER_MM


def wrapped(words: str, size: float, width: float) -> list[str]:
    """Return words as lines that are no longer than their room; a word that is longer by itself is divided.

    Args:
        words: what is written.
        size: of its letters.
        width: of the room.
    """
    lines: list[str] = []
    line = ""
    for word in words.split():
        longer = f"{line} {word}".lstrip()
        if measured(longer, size) <= width:
            line = longer
            continue
        if line:
            lines.append(line)
        while measured(word, size) > width:
            kept = next(
                count for count in range(len(word), 0, -1) if count == 1 or measured(word[:count], size) <= width
            )
            lines.append(word[:kept])
            word = word[kept:]
        line = word
    return [*lines, line] if line else lines


def fitting(line: str, size: float, width: float, weight: str = "normal") -> float:
    """Return the size in which a line keeps to its room, at most the one that is wished.

    Args:
        line: the text.
        size: of its letters.
        width: of the room.
        weight: of its letters.
    """
    return size * min(1.0, width / max(measured(line, size, weight), 1e-9))
