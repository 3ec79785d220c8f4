"""A neck picture's description made into the bytes of a PNG.

A window of the neck and each kind of mark are painted once and kept; a picture is those pieces laid over
one another, in a fixed palette. What is kept saves time only: the same description gives the same bytes
whatever was drawn before. The PNG is 720 pixels wide (shown at 360 CSS pixels). Its ground is the page's own, so that
one picture follows a page from dark to light, or a dark or a light one that looks the same on every page.
"""

from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import zip_longest

import numpy as np
from numpy.typing import NDArray

from deckbuilder.picture import colours
from deckbuilder.picture.canvas import Pixels, paint
from deckbuilder.picture.description import Ground, Mark, NeckPicture, NeckSheet, Role
from deckbuilder.picture.geometry import Box, Layout, lay_out, lay_out_on_sheet, sprite_side
from deckbuilder.picture.marks import mark_layers
from deckbuilder.picture.neck import neck_layers, sheet_layers, title_height, title_layers
from deckbuilder.picture.paths import path_layers
from deckbuilder.picture.png import png
from deckbuilder.picture.sizes import MarkSize
from deckbuilder.picture.style import WIDTH
from deckbuilder.picture.validation import validate, validate_sheet


def render(picture: NeckPicture | NeckSheet) -> bytes:
    """Draw a neck picture, or a sheet of them.

    Args:
        picture: what it shows.

    Returns:
        The bytes of a PNG, 720 pixels wide, opaque unless its ground follows the page.

    Raises:
        PictureError: the description cannot be drawn; the message says what would be right.
    """
    if isinstance(picture, NeckSheet):
        return png(_sheet(picture), colours.palette(picture.ground))
    validate(picture)
    window = _plain(picture)
    return png(_filled(_background(window), lay_out(window), picture), colours.palette(picture.ground))


def _plain(picture: NeckPicture) -> NeckPicture:
    """Return the window of a picture on the one ground that all are painted on."""
    return replace(picture, marks=(), paths=(), ground=Ground.DARK)


def _sheet(sheet: NeckSheet) -> NDArray[np.uint8]:
    """Lay the pictures of a sheet under their titles."""
    validate_sheet(sheet)
    rows = []
    for picture, title in zip_longest(sheet.pictures, sheet.titles):
        window = _plain(picture)
        layout = lay_out_on_sheet(window)
        if title:
            rows.append(_title(*title, layout.board, layout.size))
        rows.append(_filled(_sheet_background(window), layout, picture))
    return np.vstack(rows)


def _filled(background: NDArray[np.uint8], layout: Layout, picture: NeckPicture) -> NDArray[np.uint8]:
    """Lay paths and marks over a window, so that a path leads from mark to mark and crosses no label."""
    indices = background.copy()
    if picture.paths:
        _lay(indices, paint(layout.width, layout.height, path_layers(picture, layout)))
    for mark in sorted(picture.marks, key=lambda mark: (mark.string, mark.fret)):
        x, y = layout.centre(mark.string, mark.fret)
        _stamp(indices, _sprite(mark.role, mark.label, mark.root, layout.size), x, y)
    return indices


@dataclass(frozen=True, eq=False, slots=True)
class _Sprite:
    """One kind of mark, as steps from its upper left pixel through a picture's rows laid end to end.

    Args:
        side: width and height in pixels.
        solid: steps to opaque pixels.
        solid_rows: their indices in the palette.
        soft: steps to half-clear pixels.
        soft_pixels: those pixels.
    """

    side: int
    solid: NDArray[np.intp]
    solid_rows: NDArray[np.uint8]
    soft: NDArray[np.intp]
    soft_pixels: colours.Soft


@lru_cache(maxsize=96)
def _background(window: NeckPicture) -> NDArray[np.uint8]:
    """Paint a window without marks: indices in the palette, shape (height, width)."""
    layout = lay_out(window)
    return colours.indexed(paint(layout.width, layout.height, neck_layers(window, layout)))


@lru_cache(maxsize=32)
def _sheet_background(window: NeckPicture) -> NDArray[np.uint8]:
    """Paint a window of a sheet without marks."""
    layout = lay_out_on_sheet(window)
    return colours.indexed(paint(layout.width, layout.height, sheet_layers(window, layout)))


@lru_cache(maxsize=256)
def _title(name: str, remark: str, board: Box, size: MarkSize) -> NDArray[np.uint8]:
    """Paint the title of a picture on a sheet."""
    return colours.indexed(paint(WIDTH, title_height(size), title_layers(name, remark, board, size)))


@lru_cache(maxsize=1024)
def _sprite(role: Role, label: str, root: bool, size: MarkSize) -> _Sprite:
    side = sprite_side(size)
    mark = Mark(string=1, fret=0, role=role, label=label, root=root)
    pixels = paint(side, side, mark_layers(mark, size, side / 2))
    opacity = pixels[..., 3]
    steps = np.arange(side)[:, None] * WIDTH + np.arange(side)
    solid, soft = opacity == 255, (opacity > 0) & (opacity < 255)
    return _Sprite(side, steps[solid], colours.indexed(pixels[solid]), steps[soft], colours.Soft.of(pixels[soft]))


def _stamp(indices: NDArray[np.uint8], sprite: _Sprite, x: float, y: float) -> None:
    """Lay a mark over a picture, in place; every layout leaves room for the whole sprite."""
    pixels = indices.reshape(-1)
    start = (round(y) - sprite.side // 2) * WIDTH + round(x) - sprite.side // 2
    pixels[start + sprite.solid] = sprite.solid_rows
    soft = start + sprite.soft
    pixels[soft] = sprite.soft_pixels.over(pixels[soft])


def _lay(indices: NDArray[np.uint8], pixels: Pixels) -> None:
    """Lay paint of the picture's own size over it, in place."""
    below, above = indices.reshape(-1), pixels.reshape(-1, 4)
    painted = np.flatnonzero(above[:, 3])
    opaque = above[painted, 3] == 255
    solid, soft = painted[opaque], painted[~opaque]
    below[solid] = colours.indexed(above[solid])
    below[soft] = colours.mixed(above[soft], below[soft])
