"""Sizes of marks and letters: one row a size, of which a window takes the largest that its frets leave room for.

Conventions: lengths are pixels of the picture, two for one CSS pixel on a phone 360 CSS pixels wide.
"""

from dataclasses import dataclass, replace

from deckbuilder.picture.description import Size


@dataclass(frozen=True, slots=True)
class MarkSize:
    """One size of marks and what goes with it; a window takes the largest that its frets leave room for.

    Args:
        string_pitch: distance between neighbouring strings.
        disc: diameter of a plain tone.
        pick_width: width of a guide tone's plectrum.
        pick_height: height of it.
        dot: diameter of a scale tone.
        ring_gap: clear space between a shape and the root's ring.
        ring_line: thickness of the root's ring.
        halo: thickness of the dark edge that lifts a mark off the strings.
        label: letter size of labels.
        disc_label: the widest a label may be drawn on a disc before it is narrowed.
        pick_label: the same on a plectrum.
        number: letter size of fret numbers, string names and the remarks of titles.
        title: letter size of titles on a sheet.
        open_column: width of the room for open strings beside the nut.
        name_column: width of the room for string names.
        every_number: whether every fret is numbered, or only those with an inlay.
        margin: bare ground at the picture's left and right.
        board_stub: how far the fingerboard goes on beyond the outermost frets of a window.
    """

    string_pitch: int
    disc: int
    pick_width: int
    pick_height: int
    dot: int
    ring_gap: float
    ring_line: float
    halo: float
    label: int
    disc_label: int
    pick_label: int
    number: int
    title: int
    open_column: int
    name_column: int
    every_number: bool
    margin: int
    board_stub: int


MARK_SIZES = (
    MarkSize(
        string_pitch=70,
        disc=52,
        pick_width=62,
        pick_height=56,
        dot=22,
        ring_gap=3.0,
        ring_line=4.0,
        halo=3.5,
        label=28,
        disc_label=42,
        pick_label=42,
        number=24,
        title=28,
        open_column=88,
        name_column=40,
        every_number=True,
        margin=16,
        board_stub=14,
    ),
    MarkSize(
        string_pitch=58,
        disc=42,
        pick_width=48,
        pick_height=46,
        dot=18,
        ring_gap=2.5,
        ring_line=3.5,
        halo=3.0,
        label=24,
        disc_label=34,
        pick_label=32,
        number=24,
        title=28,
        open_column=68,
        name_column=36,
        every_number=True,
        margin=16,
        board_stub=14,
    ),
    MarkSize(
        string_pitch=50,
        disc=33,
        pick_width=33,
        pick_height=40,
        dot=13,
        ring_gap=2.0,
        ring_line=2.0,
        halo=2.0,
        label=23,
        disc_label=25,
        pick_label=20,
        number=22,
        title=28,
        open_column=44,
        name_column=30,
        every_number=False,
        margin=8,
        board_stub=8,
    ),
)
"""Largest first."""

SHEET_SIZES = (replace(MARK_SIZES[1], string_pitch=52), replace(MARK_SIZES[2], string_pitch=46))
"""The same on a sheet, whose pictures stand closer so that four of them fit a phone's height; largest first."""

_LARGE = replace(
    MARK_SIZES[0],
    string_pitch=78,
    disc=60,
    pick_width=70,
    pick_height=62,
    dot=24,
    ring_gap=3.5,
    ring_line=4.5,
    halo=4.0,
    label=34,
    disc_label=48,
    pick_label=48,
    number=32,
    title=36,
    open_column=96,
    name_column=44,
)
_NARROW = replace(
    _LARGE,
    string_pitch=66,
    disc=50,
    pick_width=56,
    pick_height=54,
    dot=20,
    ring_gap=2.5,
    ring_line=3.5,
    halo=3.0,
    label=32,
    disc_label=41,
    pick_label=38,
    open_column=80,
)
_NARROWER = replace(
    _NARROW,
    string_pitch=60,
    disc=42,
    pick_width=42,
    pick_height=50,
    dot=16,
    ring_gap=2.0,
    ring_line=2.5,
    halo=2.0,
    disc_label=34,
    pick_label=30,
    open_column=56,
    every_number=False,
    margin=8,
    board_stub=8,
)
_NARROWEST = replace(
    _NARROWER,
    disc=33,
    pick_width=33,
    pick_height=44,
    dot=13,
    ring_line=2.0,
    disc_label=26,
    pick_label=22,
    open_column=44,
    name_column=30,
)

LARGE_SIZES = (_LARGE, _NARROW, _NARROWER, _NARROWEST)
"""The same for large letters, all of 32 pixels at least; largest first."""

LARGE_SHEET_SIZES = LARGE_SIZES[1:]
"""The same on a sheet."""

ALONE = {Size.USUAL: MARK_SIZES, Size.LARGE: LARGE_SIZES}
"""Sizes of a window that is a picture of its own, largest first."""

ON_SHEET = {Size.USUAL: SHEET_SIZES, Size.LARGE: LARGE_SHEET_SIZES}
"""Sizes of a window on a sheet."""
