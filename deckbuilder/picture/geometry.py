"""Where everything in a neck picture lies; pure arithmetic, nothing is drawn here.

Conventions: pixels of the picture, x to the right and y down from the upper left corner. A fret's *wire* is
the metal bar, numbered from the nut (wire 0); a fret's *column* is the space between its wire and the one
before, where the finger goes; column 0 is the room for open strings beside the nut. Everything is laid out
for a right-handed player, then mirrored about the picture's middle for a left-handed one.

Wires follow 12-tone equal temperament: a string stopped at fret n keeps 2**(-n/12) of its length, so each
column is 2**(-1/12) as wide as the one before (D. E. Hall, *Musical Acoustics*, ch. on scales; any luthier's
table; from memory).
"""

import math
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from deckbuilder.errors import UserError
from deckbuilder.picture import style
from deckbuilder.picture.description import Mark, NeckPicture, Role
from deckbuilder.picture.sizes import ALONE, ON_SHEET, MarkSize


class PictureError(UserError, ValueError):
    """A description that cannot be drawn; the message says what is wrong and what would be right."""


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle, in pixels."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """Width in pixels."""
        return self.right - self.left

    def mirrored(self) -> "Box":
        """Mirror the box for a left-handed player."""
        return Box(style.WIDTH - self.right, self.top, style.WIDTH - self.left, self.bottom)


@dataclass(frozen=True, slots=True)
class Layout:
    """The places of everything in one window of the neck.

    Args:
        width: the picture's width in pixels.
        height: its height in pixels.
        size: the size of marks that fits.
        board: the fingerboard.
        wires: x of each wire by its number, the nut being 0.
        columns: left and right x of each column by its fret; 0 is there where open strings can sound.
        strings: y of each string, string 1 first.
        hand_span: the frets under the hand, None without a position.
        capo: the capo's bar, None where there is none in the window.
        name_x: middle of the string names' column.
        position_y: middle of the position's letters.
        number_y: middle of the fret numbers.
    """

    width: int
    height: int
    size: MarkSize
    board: Box
    wires: dict[int, float]
    columns: dict[int, tuple[float, float]]
    strings: tuple[float, ...]
    hand_span: Box | None
    capo: Box | None
    name_x: float
    position_y: float
    number_y: float

    def centre(self, string: int, fret: int) -> tuple[float, float]:
        """Find the middle of the mark at a place.

        Args:
            string: string number from 1.
            fret: fret from the nut, within the window.
        """
        left, right = self.columns[fret]
        return (left + right) / 2, self.strings[string - 1]


def fret_place(fret: int) -> float:
    """Measure how far a fret's wire is from the nut, as a share of the open string's length.

    Args:
        fret: fret number from the nut.

    >>> fret_place(12)
    0.5
    """
    return float(1 - 2 ** (-fret / 12))


def mark_extent(mark: Mark, size: MarkSize) -> tuple[float, float]:
    """Measure the width and height in pixels that a mark covers, with its root's ring if it has one.

    Args:
        mark: the tone.
        size: the size of marks in its window.
    """
    ring = 2 * (size.ring_gap + size.ring_line) if mark.root else 0
    if mark.role is Role.GUIDE:
        return size.pick_width + ring, size.pick_height + ring
    diameter = size.disc if mark.role is Role.TONE else size.dot
    return diameter + ring, diameter + ring


def sprite_side(size: MarkSize) -> int:
    """Measure the square that holds any mark of a size with its ring or halo, its middle between pixels.

    Args:
        size: the size of marks.
    """
    reach = max(size.halo, size.ring_gap + size.ring_line)
    return 2 * math.ceil(max(size.pick_width, size.pick_height) / 2 + reach + 1)


@lru_cache(maxsize=256)
def lay_out(window: NeckPicture) -> Layout:
    """Place everything in a window of the neck.

    Args:
        window: a picture; its marks do not matter and are best left out.

    Raises:
        PictureError: the window is so long that labels would not be legible.
    """
    size, columns, wires = _fitting(window, ALONE[window.size])
    top = style.BARE_HEADER if window.index_fret is None else style.HEADER
    return _down(window, size, columns, wires, top, style.FOOTER)


@lru_cache(maxsize=64)
def lay_out_on_sheet(window: NeckPicture) -> Layout:
    """Place everything in a window of the neck that is one of several on a sheet.

    Args:
        window: a picture; its marks do not matter and are best left out.

    Raises:
        PictureError: the window is so long that labels would not be legible.
    """
    size, columns, wires = _fitting(window, ON_SHEET[window.size])
    return _down(window, size, columns, wires, style.SHEET_EDGE, style.SHEET_FOOTER)


def _fitting(
    window: NeckPicture, sizes: tuple[MarkSize, ...]
) -> tuple[MarkSize, dict[int, tuple[float, float]], dict[int, float]]:
    """Return the largest size of marks that fits, with the columns and wires it gives."""
    for size in sizes:
        columns, wires = _across(window, size)
        if _narrowest_step(columns) >= size.pick_width + size.ring_gap + size.ring_line:
            return size, columns, wires
    raise PictureError(
        f"frets {window.first_fret} to {window.last_fret} are too many for one legible picture; "
        "show twelve frets or fewer"
    )


def _narrowest_step(columns: dict[int, tuple[float, float]]) -> float:
    """Measure the smallest distance between the middles of neighbouring columns.

    Neighbours on one string are a semitone apart, so at most one of the two marks is a root with a ring.
    """
    middles = [(left + right) / 2 for left, right in columns.values()]
    return min((b - a for a, b in pairwise(middles)), default=style.WIDTH)


def _across(window: NeckPicture, size: MarkSize) -> tuple[dict[int, tuple[float, float]], dict[int, float]]:
    """Place columns and wires from left to right, for a right-handed player."""
    columns: dict[int, tuple[float, float]] = {}
    start = float(size.margin + (size.name_column if window.string_names else 0))
    if window.first_fret == 0 and window.capo == 0:
        columns[0] = (start, start + size.open_column)
        start += size.open_column
    nearest = max(window.first_fret, 1)
    start += style.NUT if nearest == 1 else size.board_stub
    end = style.WIDTH - size.margin - size.board_stub
    low, high = fret_place(nearest - 1), fret_place(window.last_fret)
    scale = (end - start) / (high - low)
    wires = {n: start + (fret_place(n) - low) * scale for n in range(nearest - 1, window.last_fret + 1)}
    columns |= {n: (wires[n - 1], wires[n]) for n in range(nearest, window.last_fret + 1)}
    return columns, wires


def _down(
    window: NeckPicture,
    size: MarkSize,
    columns: dict[int, tuple[float, float]],
    wires: dict[int, float],
    top: int,
    footer: int,
) -> Layout:
    """Place rows from top to bottom, and mirror the whole for a left-handed player."""
    strings = tuple(top + size.string_pitch * (n + 0.5) for n in range(window.strings))
    if window.turned_over:
        strings = strings[::-1]
    footer += size.number
    bottom = top + size.string_pitch * window.strings
    first_wire = min(wires)
    board = Box(
        wires[first_wire] - (0 if first_wire == 0 else size.board_stub),
        top,
        style.WIDTH - size.margin,
        bottom,
    )
    span = _hand_span(window, columns, board)
    capo = _capo(window, columns, board)
    name_x = size.margin + size.name_column / 2 - 4
    if window.left_handed:
        wires = {n: style.WIDTH - x for n, x in wires.items()}
        columns = {n: (style.WIDTH - right, style.WIDTH - left) for n, (left, right) in columns.items()}
        board = board.mirrored()
        span = span and span.mirrored()
        capo = capo and capo.mirrored()
        name_x = style.WIDTH - name_x
    return Layout(
        style.WIDTH,
        bottom + footer,
        size,
        board,
        wires,
        columns,
        strings,
        span,
        capo,
        name_x,
        (style.HEADER - style.RAIL - style.RAIL_GAP) / 2,
        bottom + (footer + style.INLAY + style.INLAY_GAP) / 2 - 2,
    )


def _hand_span(window: NeckPicture, columns: dict[int, tuple[float, float]], board: Box) -> Box | None:
    """Place the frets that the hand covers from the index fret on; open strings are not under the hand."""
    if window.index_fret is None:
        return None
    first = max(window.index_fret, window.capo + 1)
    last = min(first + window.hand_span - 1, window.last_fret)
    if first > last:
        return None
    return Box(columns[first][0], board.top, columns[last][1], board.bottom)


def _capo(window: NeckPicture, columns: dict[int, tuple[float, float]], board: Box) -> Box | None:
    """Place the capo's bar in the middle of its fret so that the marks of its open strings sit on it."""
    if window.capo == 0 or window.capo not in columns:
        return None
    left, right = columns[window.capo]
    middle, half = (left + right) / 2, min(style.CAPO, (right - left) * 0.5) / 2
    return Box(middle - half, board.top - 6, middle + half, board.bottom + 6)
