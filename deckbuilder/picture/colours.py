"""The stored palette: every solid colour of the style, and steps between those that meet at a soft edge.

Conventions: colours are rows of red, green, blue and opacity from 0 to 255; an index is a row's number. Solid colours
come first, the ground before all others, and are stored exactly; a blended pixel takes the nearest row, so that nothing
is dithered. A picture is the same indices on every ground: only the rows differ.

A light ground's colours are those of the dark one, inverted and their hue turned back by half a circle, as the filter
`invert(1) hue-rotate(180deg)` of a page does it (W3C, *Filter Effects Module Level 1*, sections on `invert` and
`hue-rotate`). So a picture that is drawn once follows its page: where that is light it is shown through this filter.
For that its ground is clear, and so are, in part, the steps between the ground and what lies on it.
"""

from dataclasses import asdict, dataclass
from functools import lru_cache
from itertools import product
from typing import Final

import numpy as np
from numpy.typing import NDArray

from deckbuilder.picture import style
from deckbuilder.picture.canvas import Pixels
from deckbuilder.picture.description import Ground

_STEPS: Final = 4
"""Parts into which the way from one colour to another is cut."""

_BITS: Final = (5, 6, 5)
"""Bits of red, green and blue by which a blended colour is looked up."""

_LUMINANCE: Final = np.array([0.213, 0.715, 0.072])
_TURN: Final = 2 * np.tile(_LUMINANCE, (3, 1)) - np.eye(3)
"""Turns a hue by half a circle: the matrix of `hue-rotate`, whose cosine is then -1 and whose sine is 0."""

_OPAQUE: Final = 255

_GROUND: Final = "ground"
"""The palette's colour that lies below all others."""


def rgb(colour: str) -> tuple[int, int, int]:
    """Split an sRGB hex colour into red, green and blue.

    Args:
        colour: such as ``#56b4e9``.

    >>> rgb("#56b4e9")
    (86, 180, 233)
    """
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def turned(colours: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return colours as the filter shows them on a light page.

    Args:
        colours: red, green, blue, shape (…, 3).

    >>> turned(np.array([230.0, 159.0, 0.0])).round()
    array([160.,  89.,   0.])
    """
    return np.clip((_OPAQUE - colours) @ _TURN.T, 0, _OPAQUE)


@lru_cache(maxsize=len(Ground))
def palette(ground: Ground = Ground.DARK) -> NDArray[np.uint8]:
    """Give the stored palette of a ground, at most 256 rows of red, green, blue and opacity.

    Args:
        ground: the ground.
    """
    solid = {name: np.array(rgb(colour), dtype=float) for name, colour in asdict(style.PALETTE).items()}
    seen = turned if ground is Ground.LIGHT else np.asarray
    page = np.array(rgb(style.LIGHT_PAGE if ground is Ground.LIGHT else style.PALETTE.ground), dtype=float)
    rows = [(*page, 0 if ground is Ground.FOLLOW else _OPAQUE)]
    rows += [(*seen(colour), _OPAQUE) for name, colour in solid.items() if name != _GROUND]
    for (one, other), share in product(style.BLENDS, np.arange(1, _STEPS) / _STEPS):
        if one != _GROUND:
            rows.append((*seen(solid[one] + (solid[other] - solid[one]) * share), _OPAQUE))
        elif ground is Ground.FOLLOW:
            rows.append((*solid[other], share * _OPAQUE))
        else:
            rows.append((*(page + (seen(solid[other]) - page) * share), _OPAQUE))
    return np.rint(rows).astype(np.uint8)


@lru_cache(maxsize=1)
def _on_ground() -> NDArray[np.bool_]:
    """Tell of each row whether the ground is in it."""
    blends = [one == _GROUND for one, _ in style.BLENDS for _ in range(1, _STEPS)]
    rest = len(palette()) - len(blends) - 1
    return np.array([True, *[False] * rest, *blends])


def indexed(pixels: Pixels) -> NDArray[np.uint8]:
    """Find the index of each pixel of paint on the ground: exactly its own for a solid colour.

    Args:
        pixels: red, green, blue, opacity, shape (…, 4); the ground shows where they are clear.
    """
    opacity = pixels[..., 3]
    rows = np.zeros(opacity.shape, dtype=np.uint8)
    opaque, soft = opacity == _OPAQUE, (opacity > 0) & (opacity < _OPAQUE)
    solid = pixels[opaque][:, :3]
    found = _table(on_ground=False)[_cells(solid)]
    packed = solid.astype(np.uint32) @ np.array([1 << 16, 1 << 8, 1], dtype=np.uint32)
    for row, colour in enumerate(_packed_solids()):
        found[packed == colour] = row
    rows[opaque] = found
    rows[soft] = Soft.of(pixels[soft]).over(rows[soft])
    return rows


@dataclass(frozen=True, eq=False, slots=True)
class Soft:
    """Half-clear pixels, made ready to be laid over others.

    Args:
        weighted: their red, green and blue times their opacity, and what rounds the mean.
        rest: what their opacity leaves of others.
    """

    weighted: NDArray[np.uint16]
    rest: NDArray[np.uint16]

    @classmethod
    def of(cls, pixels: Pixels) -> "Soft":
        """Make pixels ready.

        Args:
            pixels: red, green, blue, opacity, shape (…, 4).
        """
        opacity = pixels[..., 3:].astype(np.uint16)
        return cls(pixels[..., :3] * opacity + np.uint16(_OPAQUE // 2), np.uint16(_OPAQUE) - opacity)

    def over(self, below: NDArray[np.uint8]) -> NDArray[np.uint8]:
        """Find the index of each pixel over a picture.

        Args:
            below: indices of what lies below, shape (…).
        """
        cells = _cells((self.weighted + _shades()[below] * self.rest) // np.uint16(_OPAQUE))
        rows: NDArray[np.uint8] = _table(on_ground=False)[cells]
        grounded = _on_ground()[below]
        if grounded.any():
            rows[grounded] = _table(on_ground=True)[cells[grounded]]
        return rows


@lru_cache(maxsize=1)
def _shades() -> NDArray[np.uint16]:
    """Return the colours in which pictures are mixed."""
    return palette()[:, :3].astype(np.uint16)


@lru_cache(maxsize=1)
def _packed_solids() -> tuple[int, ...]:
    return tuple(int(colour[1:], 16) for colour in asdict(style.PALETTE).values())


def _cells(pixels: NDArray[np.unsignedinteger]) -> NDArray[np.integer]:
    """Return in which cell of the coarse colour cube each pixel lies: five bits of red and blue, six of green."""
    red, green, blue = (pixels[..., channel].astype(np.uint16) for channel in range(3))
    cells: NDArray[np.integer] = (red & 0xF8) << 8 | (green & 0xFC) << 3 | blue >> 3
    return cells


@lru_cache(maxsize=2)
def _table(*, on_ground: bool) -> NDArray[np.uint8]:
    """Find the nearest row for the middle of every cell of the coarse colour cube.

    Args:
        on_ground: whether to choose among rows that have the ground in them, or among the others.
    """
    axes = [(np.arange(1 << bits) << (8 - bits)) + (1 << (7 - bits)) for bits in _BITS]
    cells = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3)
    choice = np.flatnonzero(_on_ground() == on_ground)
    rows = palette()[choice, :3].astype(np.float32)
    # |c - p|² is |c|² - 2 c·p + |p|², of which |c|² does not decide; whole numbers this small are exact.
    distance = (rows**2).sum(axis=1) - 2 * cells.astype(np.float32) @ rows.T
    nearest: NDArray[np.uint8] = choice[distance.argmin(axis=1)].astype(np.uint8)
    return nearest
