"""The stored palette: every solid colour of the style, and steps between those that meet at a soft edge.

Conventions: colours are rows of red, green, blue from 0 to 255; an index is a row's number. Solid colours
come first and are stored exactly; a blended pixel takes the nearest row, so that nothing is dithered.
"""

from dataclasses import astuple
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from deckbuilder.picture import style
from deckbuilder.picture.canvas import Pixels

_STEPS = 4
"""Parts into which the way from one colour to another is cut."""

_BITS = (5, 6, 5)
"""Bits of red, green and blue by which a blended colour is looked up."""


def rgb(colour: str) -> tuple[int, int, int]:
    """Split an sRGB hex colour into red, green and blue.

    Args:
        colour: such as ``#56b4e9``.

    >>> rgb("#56b4e9")
    (86, 180, 233)
    """
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def _solids() -> list[tuple[int, int, int]]:
    return [rgb(colour) for colour in astuple(style.PALETTE)]


@lru_cache(maxsize=1)
def palette() -> NDArray[np.uint8]:
    """Give the stored palette, at most 256 rows of red, green, blue."""
    steps = []
    for one, other in style.BLENDS:
        a, b = np.array(rgb(one)), np.array(rgb(other))
        steps += [tuple(np.rint(a + (b - a) * n / _STEPS).astype(int)) for n in range(1, _STEPS)]
    return np.array(list(dict.fromkeys([*_solids(), *steps])), dtype=np.uint8)


def near(pixels: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Find the index of a stored colour next to each pixel; near enough for soft edges.

    Args:
        pixels: colours, shape (…, 3).
    """
    red, green, blue = (pixels[..., n].astype(np.intp) >> (8 - bits) for n, bits in enumerate(_BITS))
    rows: NDArray[np.uint8] = _table()[(red << _BITS[1] + _BITS[2]) | (green << _BITS[2]) | blue]
    return rows


def in_palette(pixels: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Find the index of a stored colour next to each pixel, and exactly its own for a solid colour.

    Args:
        pixels: colours, shape (…, 3).
    """
    rows = near(pixels)
    packed = pixels.astype(np.uint32) @ np.array([1 << 16, 1 << 8, 1], dtype=np.uint32)
    for row, (red, green, blue) in enumerate(_solids()):
        rows[packed == (red << 16 | green << 8 | blue)] = row
    return rows


def over(top: Pixels, below: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Mix half-clear pixels laid over opaque ones.

    Args:
        top: red, green, blue, opacity, shape (…, 4).
        below: red, green, blue, shape (…, 3).
    """
    opacity = top[..., 3:].astype(np.uint32)
    mixed = top[..., :3] * opacity + below * (255 - opacity)
    return ((mixed + 127) // 255).astype(np.uint8)


@lru_cache(maxsize=1)
def _table() -> NDArray[np.uint8]:
    """Find the nearest row for the middle of every cell of the coarse colour cube."""
    axes = [(np.arange(1 << bits) << (8 - bits)) + (1 << (7 - bits)) for bits in _BITS]
    cells = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3)
    rows = palette().astype(np.float32)
    # |c - p|² is |c|² - 2 c·p + |p|², of which |c|² does not decide; whole numbers this small are exact.
    distance = (rows**2).sum(axis=1) - 2 * cells.astype(np.float32) @ rows.T
    chosen: NDArray[np.intp] = distance.argmin(axis=1)
    return chosen.astype(np.uint8)
