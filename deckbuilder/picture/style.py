"""The look of a neck picture as data: colours, sizes of marks, widths and letter heights.

Conventions: lengths are pixels of the picture, which is drawn at twice the size it is shown at (two pixels
for one CSS pixel on a phone 360 CSS pixels wide); colours are sRGB hex. Shape and size carry what a mark
means and colour only repeats it. The two accents are orange and sky blue of M. Okabe and K. Ito's palette
("Color Universal Design", 2008), which stay apart for every common kind of colour blindness.
"""

from dataclasses import dataclass, replace

from deckbuilder.picture.description import Role

WIDTH = 720
"""Width of every picture: 360 CSS pixels at two pixels each."""

PIXELS_PER_CSS_PIXEL = 2


@dataclass(frozen=True, slots=True)
class Palette:
    """Every solid colour of a picture, by the thing that wears it."""

    ground: str = "#181b20"
    board: str = "#372b28"
    hand_span: str = "#4a3b36"
    behind_capo: str = "#272224"
    inlay: str = "#57463f"
    wire: str = "#8b7d72"
    string: str = "#b9ae9f"
    nut: str = "#ece3cf"
    capo: str = "#767f8c"
    capo_edge: str = "#a3acb9"
    halo: str = "#1f1a1a"
    guide: str = "#e69f00"
    tone: str = "#56b4e9"
    scale: str = "#b4b5b4"
    root_ring: str = "#ffffff"
    label: str = "#15171a"
    quiet_text: str = "#a9b0ba"
    position_text: str = "#f4efe4"


PALETTE = Palette()

MARK_COLOUR = {Role.GUIDE: PALETTE.guide, Role.TONE: PALETTE.tone, Role.SCALE: PALETTE.scale}

BLENDS: tuple[tuple[str, str], ...] = (
    (PALETTE.ground, PALETTE.board),
    (PALETTE.ground, PALETTE.behind_capo),
    (PALETTE.ground, PALETTE.capo),
    (PALETTE.ground, PALETTE.capo_edge),
    (PALETTE.ground, PALETTE.halo),
    (PALETTE.ground, PALETTE.nut),
    (PALETTE.ground, PALETTE.quiet_text),
    (PALETTE.ground, PALETTE.position_text),
    (PALETTE.board, PALETTE.inlay),
    (PALETTE.board, PALETTE.string),
    (PALETTE.board, PALETTE.halo),
    (PALETTE.hand_span, PALETTE.inlay),
    (PALETTE.hand_span, PALETTE.string),
    (PALETTE.hand_span, PALETTE.halo),
    (PALETTE.capo, PALETTE.capo_edge),
    (PALETTE.capo, PALETTE.halo),
    (PALETTE.wire, PALETTE.string),
    (PALETTE.halo, PALETTE.string),
    (PALETTE.halo, PALETTE.guide),
    (PALETTE.halo, PALETTE.tone),
    (PALETTE.halo, PALETTE.scale),
    (PALETTE.halo, PALETTE.root_ring),
    (PALETTE.label, PALETTE.guide),
    (PALETTE.label, PALETTE.tone),
)
"""Pairs of colours that meet at a soft edge in a picture; the stored palette has steps between them."""


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
        number: letter size of fret numbers and string names.
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
        pick_label=22,
        number=22,
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

TITLE = 46
"""Height of a title on a sheet."""

TITLE_LETTERS = 28
"""Letter size of a title; its remark is as large as fret numbers."""

TITLE_SHARE = 0.45
"""The widest a title's name may be, as a share of the board's width."""

SHEET_EDGE = 8
"""Room above a fingerboard on a sheet."""

SHEET_FOOTER = 34
"""Room below it for fret numbers."""

HEADER = 66
"""Room above the fingerboard for the position."""

BARE_HEADER = 22
"""Room above the fingerboard where no position is printed."""

FOOTER = 52
"""Room below the fingerboard for fret numbers."""

POSITION = 38
"""Letter size of the position number."""

NUT = 10
"""Thickness of the nut."""

WIRE = 4
"""Thickness of a fret wire."""

CAPO = 30
"""Thickness of the capo's bar where the fret is wide enough."""

PATH = 6
"""Thickness of a path's line."""

PATH_EDGE = 3
"""Thickness of the dark edge around it."""

PATH_HEAD = 24
"""Length of its arrowheads."""

PATH_SMALLEST_HEAD = 10
"""Length of an arrowhead where two marks nearly touch."""

THINNEST_STRING = 2
"""Thickness of the highest string."""

THICKEST_SHARE = 0.085
"""Thickness of the lowest string as a share of the distance between strings."""

INLAY_FRETS = frozenset({3, 5, 7, 9, 12, 15, 17, 19, 21, 24})
DOUBLE_INLAY_FRETS = frozenset({12, 24})
