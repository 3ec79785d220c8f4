"""Charts: what every picture of progress shares — a ground of its own, sizes in pixels, one ramp of colour.

Conventions: pixels, x to the right and y down from the upper left corner, at twice the size a picture is shown at on a
phone 360 CSS pixels wide; colours are those of the neck pictures. A picture is drawn from matplotlib's defaults and the
fonts it carries, not from the user's settings, so that the same figures give the same bytes.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from deckbuilder.picture.colours import rgb
from deckbuilder.picture.style import PALETTE, WIDTH

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

DPI = 100
_POINTS_PER_INCH = 72

INK = PALETTE.position_text
QUIET = PALETTE.quiet_text
GROUND = PALETTE.ground
EDGE = PALETTE.board
HATCH = PALETTE.capo
STEADY, WEAK = PALETTE.tone, PALETTE.guide

RAMP = ((0.50, "#ffc04d"), (0.65, "#e69f00"), (0.80, "#8d7038"), (0.90, "#3f5264"), (1.00, "#22323f"))
"""From a share of recalls to a colour: what needs work is bright and what is well known is dim. The lightness falls all
the way, so the ramp reads for every kind of colour blindness and in grey."""

_COLOURS = 224
"""Colours that a picture is stored with: fewer bytes, no difference to the eye."""

_BLACK, _WHITE = "#000000", "#ffffff"


def ramp_colour(share: float) -> str:
    """Return the ramp's colour for a share of recalls.

    Args:
        share: 0 to 1.
    """
    share = min(max(share, RAMP[0][0]), RAMP[-1][0])
    for (low, one), (high, other) in pairwise(RAMP):
        if share <= high:
            part = (share - low) / (high - low)
            mixed = (round(a + (b - a) * part) for a, b in zip(rgb(one), rgb(other), strict=True))
            return "#{:02x}{:02x}{:02x}".format(*mixed)
    return RAMP[-1][1]


def readable_on(ground: str) -> str:
    """Return black or white, whichever stands out more from a ground: at least 4.5 : 1 (WCAG 2.2, 1.4.3).

    Args:
        ground: sRGB hex.
    """
    return _BLACK if contrast(_BLACK, ground) >= contrast(_WHITE, ground) else _WHITE


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours (WCAG 2.2).

    Args:
        one: sRGB hex.
        other: sRGB hex.
    """
    low, high = sorted((_luminance(one), _luminance(other)))
    return (high + 0.05) / (low + 0.05)


def _luminance(colour: str) -> float:
    linear = [
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4
        for part in (value / 255 for value in rgb(colour))
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@contextmanager
def drawing(height: int, width: int = WIDTH) -> Iterator[tuple[Figure, Axes]]:
    """Give an empty picture and axes whose units are its pixels.

    Args:
        height: in pixels.
        width: in pixels.
    """
    import matplotlib as mpl
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    with mpl.rc_context():
        mpl.rcdefaults()
        figure = Figure(figsize=(width / DPI, height / DPI), dpi=DPI, facecolor=GROUND)
        FigureCanvasAgg(figure)
        axes = figure.add_axes((0, 0, 1, 1))
        axes.set(xlim=(0, width), ylim=(height, 0))
        axes.set_axis_off()
        yield figure, axes


def text(axes: Axes, x: float, y: float, words: str, size: float, colour: str = INK, **options: Any) -> None:
    """Write a line of text, centred on a point unless the options say otherwise.

    Args:
        axes: from `drawing`.
        x: in pixels.
        y: in pixels.
        words: the text.
        size: of the letters, in pixels.
        colour: sRGB hex.
        options: matplotlib's.
    """
    placed = {"ha": "center", "va": "center", **options}
    axes.text(x, y, words, fontsize=size * _POINTS_PER_INCH / DPI, color=colour, **placed)


def line_width(pixels: float) -> float:
    """Return matplotlib's measure of a line's thickness in pixels."""
    return pixels * _POINTS_PER_INCH / DPI


def png(figure: Figure) -> bytes:
    """Return a picture's PNG in a palette of its own, without a date in it."""
    from PIL import Image
    from PIL.PngImagePlugin import PngInfo

    drawn, stored = BytesIO(), BytesIO()
    figure.savefig(drawn, format="png", dpi=DPI, facecolor=GROUND)
    with Image.open(drawn) as image:
        few = image.convert("RGB").quantize(_COLOURS, method=Image.Quantize.MEDIANCUT, dither=Image.Dither.NONE)
    mark = PngInfo()
    mark.add_text("Software", "deckbuilder")
    few.save(stored, "PNG", compress_level=9, pnginfo=mark)
    return stored.getvalue()
