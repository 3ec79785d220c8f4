"""The look of a neck picture as data: colours, sizes of marks, widths and letter heights.

Conventions: lengths are pixels of the picture, which is drawn at twice the size it is shown at (two pixels
for one CSS pixel on a phone 360 CSS pixels wide); colours are sRGB hex. Shape and size carry what a mark
means and colour only repeats it. What carries a meaning has a contrast of 3:1 with what is behind it, letters 4.5:1,
on either ground (W3C, WCAG 2.2, 1.4.11 and 1.4.3). The two accents are orange and sky blue of M. Okabe and K. Ito's
palette ("Color Universal Design", 2008), which stay apart for every common kind of colour blindness.
"""

from dataclasses import dataclass

from deckbuilder.picture.description import Role

PIXELS_PER_CSS_PIXEL = 2

WIDTH = 360 * PIXELS_PER_CSS_PIXEL
"""Width of every picture: that of a phone."""


@dataclass(frozen=True, slots=True)
class Palette:
    """Every solid colour of a picture, by the thing that wears it; the ground is the first."""

    ground: str = "#181b20"
    board: str = "#33291d"
    hand_span: str = "#413425"
    behind_capo: str = "#28241f"
    wire: str = "#a39487"
    string: str = "#bdb2a3"
    nut: str = "#ece3cf"
    rail: str = "#ece3cf"
    inlay: str = "#8d949e"
    capo: str = "#8b94a1"
    capo_edge: str = "#c0c8d2"
    halo: str = "#151111"
    guide: str = "#e69f00"
    tone: str = "#56b4e9"
    scale: str = "#b4b5b4"
    root_ring: str = "#ffffff"
    label: str = "#101214"
    quiet_text: str = "#a9b0ba"
    position_text: str = "#f4efe4"


PALETTE = Palette()
"""The colours on a dark ground; those on a light one follow from them (`deckbuilder.picture.colours`)."""

LIGHT_PAGE = "#fbfaf7"
"""The ground of a card by day, which a picture for a light page has too; by night it is the palette's own."""

MARK_COLOUR = {Role.GUIDE: PALETTE.guide, Role.TONE: PALETTE.tone, Role.SCALE: PALETTE.scale}

BLENDS: tuple[tuple[str, str], ...] = (
    ("ground", "capo"),
    ("ground", "capo_edge"),
    ("ground", "halo"),
    ("ground", "inlay"),
    ("ground", "nut"),
    ("ground", "position_text"),
    ("ground", "quiet_text"),
    ("ground", "rail"),
    ("ground", "root_ring"),
    ("board", "string"),
    ("board", "halo"),
    ("hand_span", "string"),
    ("hand_span", "halo"),
    ("capo", "capo_edge"),
    ("capo", "halo"),
    ("wire", "string"),
    ("halo", "string"),
    ("halo", "wire"),
    ("halo", "guide"),
    ("halo", "tone"),
    ("halo", "scale"),
    ("halo", "root_ring"),
    ("label", "guide"),
    ("label", "tone"),
)
"""Colours of the palette that meet at a soft edge in a picture; what is stored has steps between them."""


TITLE_SHARE = 0.45
"""The widest a title's name may be, as a share of the board's width."""

TITLE_ROOM = 10
"""Height of a title on a sheet besides that of its letters."""

SHEET_EDGE = 8
"""Room above a fingerboard on a sheet."""

SHEET_FOOTER = 18
"""Room below it, besides the height of fret numbers, for inlays."""

HEADER = 62
"""Room above the fingerboard for the position."""

BARE_HEADER = 22
"""Room above the fingerboard where no position is printed."""

FOOTER = 30
"""Room below the fingerboard, besides the height of fret numbers, for inlays."""

POSITION = 38
"""Letter size of the position number."""

RAIL = 5
"""Thickness of the rail along the fingerboard's edge over the frets under the hand."""

RAIL_GAP = 2
"""Room between them."""

INLAY = 12
"""Width and height of an inlay: a lozenge at the fingerboard's lower edge, where marks never lie."""

INLAY_GAP = 2
"""Room between them."""

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
