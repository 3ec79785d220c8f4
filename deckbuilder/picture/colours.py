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

_UNKNOWN: Final = 255
"""No row of the palette."""

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
    # Neighbours are mostly alike, so that each run of them is looked up once.
    paint = np.ascontiguousarray(pixels).view(np.uint32).reshape(-1)
    starts = np.flatnonzero(np.append(True, paint[1:] != paint[:-1])[: len(paint)])
    rows = _indexed(paint[starts].view(np.uint8).reshape(-1, 4))
    return np.repeat(rows, np.diff(starts, append=len(paint))).reshape(pixels.shape[:-1])


def _indexed(pixels: Pixels) -> NDArray[np.uint8]:
    opacity = pixels[:, 3]
    rows = np.zeros(opacity.shape, dtype=np.uint8)
    opaque, soft = opacity == _OPAQUE, (opacity > 0) & (opacity < _OPAQUE)
    solid = pixels[opaque][:, :3]
    found = _nearest(_cells(solid), on_ground=False)
    packed = solid.astype(np.uint32) @ np.array([1 << 16, 1 << 8, 1], dtype=np.uint32)
    for row, colour in enumerate(_packed_solids()):
        found[packed == colour] = row
    rows[opaque] = found
    rows[soft] = mixed(pixels[soft], rows[soft])
    return rows


def mixed(pixels: Pixels, below: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Find the index of each half-clear pixel over a picture.

    Args:
        pixels: red, green, blue, opacity, shape (…, 4).
        below: indices of what lies below, of a shape that goes with (…).
    """
    opacity = pixels[..., 3:].astype(np.uint16)
    sums = pixels[..., :3] * opacity + np.uint16(_OPAQUE // 2) + _shades()[below] * (np.uint16(_OPAQUE) - opacity)
    cells = _cells(sums // np.uint16(_OPAQUE))
    return np.where(_on_ground()[below], _nearest(cells, on_ground=True), _nearest(cells, on_ground=False))


@dataclass(frozen=True, eq=False, slots=True)
class Soft:
    """Half-clear pixels, made ready to be laid over others many times.

    Args:
        rows: the index of each colour among them over each row of the palette, end to end.
        starts: where in `rows` those of each pixel's colour begin.
    """

    rows: NDArray[np.uint8]
    starts: NDArray[np.intp]

    @classmethod
    def of(cls, pixels: Pixels) -> "Soft":
        """Make pixels ready.

        Args:
            pixels: red, green, blue, opacity, shape (number, 4).
        """
        count = len(palette())
        different, which = np.unique(np.ascontiguousarray(pixels).view(np.uint32), return_inverse=True)
        colours = different.view(np.uint8).reshape(-1, 1, 4)
        return cls(mixed(colours, np.arange(count, dtype=np.uint8)).reshape(-1), which.reshape(-1) * count)

    def over(self, below: NDArray[np.uint8]) -> NDArray[np.uint8]:
        """Find the index of each pixel over a picture.

        Args:
            below: indices of what lies below.
        """
        over: NDArray[np.uint8] = self.rows[self.starts + below]
        return over


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


def _nearest(cells: NDArray[np.integer], *, on_ground: bool) -> NDArray[np.uint8]:
    """Find the nearest row for the middle of each cell of the coarse colour cube.

    Args:
        cells: the cells.
        on_ground: whether to choose among rows that have the ground in them, or among the others.
    """
    known = _known(on_ground=on_ground)
    rows: NDArray[np.uint8] = known[cells]
    if (unknown := rows == _UNKNOWN).any():
        missing = np.unique(cells[unknown])
        known[missing] = _measured(missing, on_ground=on_ground)
        rows = known[cells]
    return rows


@lru_cache(maxsize=2)
def _known(*, on_ground: bool) -> NDArray[np.uint8]:
    """Keep the nearest row of each cell that was asked for."""
    return np.full(1 << sum(_BITS), _UNKNOWN, dtype=np.uint8)


def _measured(cells: NDArray[np.integer], *, on_ground: bool) -> NDArray[np.uint8]:
    channels = np.unravel_index(cells, [1 << bits for bits in _BITS])
    middles = [(at << (8 - bits)) + (1 << (7 - bits)) for at, bits in zip(channels, _BITS, strict=True)]
    choice = np.flatnonzero(_on_ground() == on_ground)
    rows = palette()[choice, :3].astype(np.float32)
    # |c - p|² is |c|² - 2 c·p + |p|², of which |c|² does not decide; whole numbers this small are exact.
    distance = (rows**2).sum(axis=1) - 2 * np.stack(middles, axis=-1).astype(np.float32) @ rows.T
    nearest: NDArray[np.uint8] = choice[distance.argmin(axis=1)].astype(np.uint8)
    return nearest
