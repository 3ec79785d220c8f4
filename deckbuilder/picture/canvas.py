"""Filled outlines and letters painted into pixel arrays with matplotlib's Agg renderer.

Conventions: pixels, x to the right and y down; an array of pixels has the shape (height, width, 4), red,
green, blue and (not premultiplied) opacity from 0 to 255. Agg draws by matplotlib's defaults rather than the
user's settings, and letters come from the font files that matplotlib carries, so that the same paint gives the
same pixels on every machine with the same matplotlib, which is imported when it is first needed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from pathlib import Path as FilePath
from threading import Lock
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from deckbuilder.picture.outlines import Outline

if TYPE_CHECKING:
    from matplotlib.font_manager import FontProperties
    from matplotlib.path import Path

Pixels = NDArray[np.uint8]

CAP_HEIGHT = 0.729
"""Height of DejaVu Sans's capitals and digits, as a share of the letter size."""

_ACCIDENTAL_SCALE = {"♭": 1.12, "♯": 1.0}
"""How much accidentals are enlarged: the font draws ♭ smaller than a player expects beside a digit."""

_RUN_GAP = 0.06
"""Space between an accidental's ink and its neighbour's, as a share of the letter size."""

_POINTS_PER_INCH = 72
"""matplotlib measures lines in points, of which an inch has 72; here a point is a pixel."""

_painting = Lock()


class Face(StrEnum):
    """A font file that matplotlib carries."""

    REGULAR = "DejaVuSans.ttf"
    BOLD = "DejaVuSans-Bold.ttf"


_SPACE = {Face.REGULAR: 0.318, Face.BOLD: 0.348}
"""The font's width of a space, which has no ink to be measured, as a share of the letter size."""

_ACCIDENTAL_LINE = {Face.REGULAR: 0.0, Face.BOLD: 0.055}
"""Line around ♭ and ♯, as a share of the letter size: the bold face has them as thin as the regular one."""


@dataclass(frozen=True, eq=False, slots=True)
class Shape:
    """A filled outline.

    Args:
        outline: its edge.
        colour: sRGB hex.
    """

    outline: Outline
    colour: str


@dataclass(frozen=True, slots=True)
class Letters:
    """A line of text, its ink centred across and its capitals centred down.

    Args:
        text: the text.
        x: middle of the ink.
        y: middle of the capitals.
        size: letter size in pixels.
        colour: sRGB hex.
        face: the font.
        widest: ink wider than this is narrowed to it; None for no limit.
    """

    text: str
    x: float
    y: float
    size: float
    colour: str
    face: Face = Face.REGULAR
    widest: float | None = None


def paint(width: int, height: int, layers: Sequence[Shape | Letters]) -> Pixels:
    """Paint layers one over the other on nothing.

    Args:
        width: of the array, in pixels.
        height: of the array.
        layers: the lowest first.
    """
    from matplotlib.backends.backend_agg import RendererAgg
    from matplotlib.colors import to_rgba
    from matplotlib.transforms import Affine2D

    with _painting, _defaults():
        # The renderer alone: a figure with its artists would take longer to load and to set up than to draw.
        renderer = RendererAgg(width, height, _POINTS_PER_INCH)  # type: ignore[no-untyped-call]
        upside_down = Affine2D().scale(1, -1).translate(0, height)
        context = renderer.new_gc()
        context.set_joinstyle("round")
        context.set_snap(False)
        for layer in layers:
            colour = to_rgba(layer.colour)
            context.set_foreground(colour, isRGBA=True)
            for path, line in _letter_paths(layer) if isinstance(layer, Letters) else [_closed(layer.outline)]:
                context.set_linewidth(line)
                renderer.draw_path(context, path, upside_down, colour)  # type: ignore[no-untyped-call]
        pixels = np.array(renderer.buffer_rgba(), dtype=np.uint8)  # type: ignore[no-untyped-call]
    return pixels


def ink_width(text: str, size: float, face: Face) -> float:
    """Measure the width of a text's ink.

    Args:
        text: the text.
        size: letter size in pixels.
        face: the font.
    """
    return size * max(float(run.outline[:, 0].max()) + run.line / 2 for run in _runs(text, face))


@dataclass(frozen=True, eq=False, slots=True)
class _Run:
    """Glyphs in place: outline at letter size 1, y up from the baseline, path codes and line around them."""

    outline: Outline
    codes: NDArray[np.uint8]
    line: float


@contextmanager
def _defaults() -> Iterator[None]:
    """Take matplotlib's defaults for the user's settings; only where these differ, for it takes as long as painting."""
    import matplotlib as mpl

    if dict.__eq__(mpl.rcParams, mpl.rcParamsDefault):
        yield
        return
    with mpl.rc_context():
        mpl.rcdefaults()
        yield


@lru_cache(maxsize=len(Face))
def _font(face: Face) -> FontProperties:
    import matplotlib as mpl
    from matplotlib.font_manager import FontProperties

    return FontProperties(fname=FilePath(mpl.get_data_path(), "fonts", "ttf", face.value))


@lru_cache(maxsize=512)
def _runs(text: str, face: Face) -> tuple[_Run, ...]:
    """Set a text from x = 0, accidentals apart from letters: spaced by their ink and as heavy as the rest."""
    from matplotlib.textpath import text_to_path

    runs: list[_Run] = []
    x = 0.0
    for piece in re.findall(r"[♭♯]|[^♭♯]+", text):
        vertices, codes = text_to_path.get_text_path(_font(face), piece, ismath=False)
        outline = np.asarray(vertices, dtype=float).reshape(-1, 2) / text_to_path.FONT_SCALE
        bare = piece.lstrip(" ")
        x += _SPACE[face] * (len(piece) - len(bare))
        if not bare:
            continue
        line = 0.0
        if piece in _ACCIDENTAL_SCALE:
            outline *= _ACCIDENTAL_SCALE[piece]
            line = _ACCIDENTAL_LINE[face]
        outline[:, 0] += x + line / 2 - outline[:, 0].min()
        runs.append(_Run(outline, np.asarray(codes, dtype=np.uint8), line))
        x = float(outline[:, 0].max()) + line / 2 + _RUN_GAP
        x += _SPACE[face] * (len(piece) - len(piece.rstrip(" ")))
    return tuple(runs)


def _closed(outline: Outline) -> tuple[Path, float]:
    from matplotlib.path import Path

    return Path(np.vstack([outline, outline[:1]]), closed=True), 0.0


def _letter_paths(letters: Letters) -> list[tuple[Path, float]]:
    """Place a text's runs; each with the line to draw around it, in pixels."""
    from matplotlib.path import Path

    width = ink_width(letters.text, 1.0, letters.face)
    across = letters.size if letters.widest is None else min(letters.size, letters.widest / width)
    paths = []
    for run in _runs(letters.text, letters.face):
        x = letters.x + (run.outline[:, 0] - width / 2) * across
        y = letters.y + (CAP_HEIGHT / 2 - run.outline[:, 1]) * letters.size
        paths.append((Path(np.column_stack([x, y]), run.codes), run.line * letters.size))
    return paths
