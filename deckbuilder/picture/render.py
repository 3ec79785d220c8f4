"""A neck picture's description made into the bytes of a PNG.

A window of the neck and each kind of mark are painted once and kept; a picture is those pieces laid over
one another, in a fixed palette. What is kept saves time only: the same description gives the same bytes
whatever was drawn before. The PNG is 720 pixels wide (shown at 360 CSS pixels), opaque, with a ground of its
own, so that it looks the same on a light and on a dark page.
"""

from dataclasses import dataclass, replace
from functools import lru_cache
from io import BytesIO

import numpy as np
from numpy.typing import NDArray

from deckbuilder.picture import colours
from deckbuilder.picture.canvas import Pixels, paint
from deckbuilder.picture.description import Mark, NeckPicture, Role
from deckbuilder.picture.geometry import lay_out
from deckbuilder.picture.marks import mark_layers
from deckbuilder.picture.neck import neck_layers
from deckbuilder.picture.style import MarkSize
from deckbuilder.picture.validation import validate

RENDERER_VERSION = 1
"""Raised whenever the same description would give other bytes; part of a picture's file name."""

_COMPRESSION = 7
"""zlib's level; higher ones take several times as long for a few per cent of the bytes."""


def render(picture: NeckPicture) -> bytes:
    """Draw a neck picture.

    Args:
        picture: what it shows.

    Returns:
        The bytes of an opaque PNG, 720 pixels wide.

    Raises:
        PictureError: the description cannot be drawn; the message says what would be right.
    """
    validate(picture)
    window = replace(picture, marks=())
    layout = lay_out(window)
    background = _background(window)
    indices = background.indices.copy()
    for mark in picture.marks:
        x, y = layout.centre(mark.string, mark.fret)
        _stamp(indices, background.colours, _sprite(mark.role, mark.label, mark.root, layout.size), x, y)
    return _png(indices)


@dataclass(frozen=True, eq=False, slots=True)
class _Background:
    """A window without marks: its colours, shape (height, width, 3), and their indices in the palette."""

    colours: NDArray[np.uint8]
    indices: NDArray[np.uint8]


@dataclass(frozen=True, eq=False, slots=True)
class _Sprite:
    """One kind of mark: its pixels, where they are opaque, and the palette's indices there."""

    pixels: Pixels
    clear: NDArray[np.bool_]
    solid: NDArray[np.bool_]
    indices: NDArray[np.uint8]


@lru_cache(maxsize=96)
def _background(window: NeckPicture) -> _Background:
    layout = lay_out(window)
    painted = paint(layout.width, layout.height, neck_layers(window, layout))[..., :3]
    return _Background(painted, colours.nearest(painted))


@lru_cache(maxsize=1024)
def _sprite(role: Role, label: str, root: bool, size: MarkSize) -> _Sprite:
    # An even side puts the mark's middle on a corner between pixels, where _stamp places it.
    side = 2 * (max(size.pick_width, size.pick_height) // 2 + 10)
    mark = Mark(string=1, fret=0, role=role, label=label, root=root)
    pixels = paint(side, side, mark_layers(mark, size, side / 2))
    opacity = pixels[..., 3]
    return _Sprite(pixels, opacity == 0, opacity == 255, colours.nearest(pixels[..., :3]))


def _stamp(indices: NDArray[np.uint8], below: NDArray[np.uint8], sprite: _Sprite, x: float, y: float) -> None:
    """Lay a mark over a picture, in place; only its soft edge needs mixing."""
    side = sprite.pixels.shape[0]
    left, top = round(x) - side // 2, round(y) - side // 2
    rows = slice(max(top, 0), min(top + side, indices.shape[0]))
    across = slice(max(left, 0), min(left + side, indices.shape[1]))
    own = (slice(rows.start - top, rows.stop - top), slice(across.start - left, across.stop - left))
    target = indices[rows, across]
    solid = sprite.solid[own]
    target[solid] = sprite.indices[own][solid]
    soft = ~(solid | sprite.clear[own])
    target[soft] = colours.near(colours.over(sprite.pixels[own][soft], below[rows, across][soft]))


def _png(indices: NDArray[np.uint8]) -> bytes:
    from PIL import Image

    image = Image.fromarray(indices)
    image.putpalette(colours.palette().tobytes())
    stream = BytesIO()
    image.save(stream, "PNG", compress_level=_COMPRESSION)
    return stream.getvalue()
