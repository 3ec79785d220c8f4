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

_STEPS = 8
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


@lru_cache(maxsize=1)
def palette() -> NDArray[np.uint8]:
    """Give the stored palette, at most 256 rows of red, green, blue."""
    solids = [rgb(colour) for colour in astuple(style.PALETTE)]
    steps = []
    for one, other in style.BLENDS:
        a, b = np.array(rgb(one)), np.array(rgb(other))
        steps += [tuple(np.rint(a + (b - a) * n / _STEPS).astype(int)) for n in range(1, _STEPS)]
    return np.array(list(dict.fromkeys([*solids, *steps])), dtype=np.uint8)


def nearest(pixels: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Find the index of the nearest stored colour for each pixel, exactly.

    Args:
        pixels: colours, shape (…, 3).
    """
    flat = pixels.reshape(-1, 3).astype(np.int32)
    keys, inverse = np.unique(flat @ np.array([65536, 256, 1]), return_inverse=True)
    colours = np.column_stack([keys >> 16, keys >> 8 & 255, keys & 255])
    rows: NDArray[np.uint8] = _nearest_rows(colours)[inverse]
    return rows.reshape(pixels.shape[:-1])


def near(pixels: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Find the index of a near stored colour for each pixel, by a table: for the soft edges of marks.

    Args:
        pixels: colours, shape (…, 3).
    """
    red, green, blue = (pixels[..., n].astype(np.intp) >> (8 - bits) for n, bits in enumerate(_BITS))
    rows: NDArray[np.uint8] = _table()[(red << _BITS[1] + _BITS[2]) | (green << _BITS[2]) | blue]
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


def _nearest_rows(colours: NDArray[np.int64]) -> NDArray[np.uint8]:
    """Find rows by least squared distance, which |c|² - 2 c·p + |p|² gives up to a constant per colour."""
    rows = palette().astype(np.float32)
    distance = (rows**2).sum(axis=1) - 2 * colours.astype(np.float32) @ rows.T
    chosen: NDArray[np.intp] = distance.argmin(axis=1)
    return chosen.astype(np.uint8)


@lru_cache(maxsize=1)
def _table() -> NDArray[np.uint8]:
    """Find the nearest row for the middle of every cell of the coarse colour cube."""
    axes = [(np.arange(1 << bits) << (8 - bits)) + (1 << (7 - bits)) for bits in _BITS]
    cells = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3)
    return _nearest_rows(cells)
