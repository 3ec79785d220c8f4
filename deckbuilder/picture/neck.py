"""What the neck itself looks like: fingerboard, the hand's rail, inlays, wires, nut, strings, capo and numbers."""

from deckbuilder.picture import style
from deckbuilder.picture.canvas import Face, Letters, Shape, ink_width
from deckbuilder.picture.description import NeckPicture
from deckbuilder.picture.geometry import Box, Layout
from deckbuilder.picture.outlines import lozenge, rectangle
from deckbuilder.picture.sizes import MarkSize
from deckbuilder.picture.style import PALETTE

Layers = list[Shape | Letters]

_NUMERALS = ((10, "X"), (9, "IX"), (5, "V"), (4, "IV"), (1, "I"))


def position_name(index_fret: int, capo: int = 0, open_name: str = "open") -> str:
    """Name a hand position as players write it.

    Args:
        index_fret: the fret under the first finger, the nut's or the capo's for the open position.
        capo: the fret the capo sits behind, 0 for none.
        open_name: what the open position is called.

    >>> position_name(9), position_name(0)
    ('IX', 'open')
    """
    if index_fret == capo:
        return open_name
    name = ""
    for value, numeral in _NUMERALS:
        count, index_fret = divmod(index_fret, value)
        name += numeral * count
    return name


def neck_layers(window: NeckPicture, layout: Layout) -> Layers:
    """List the layers that draw a window of the neck without marks, the lowest first.

    Args:
        window: what is shown.
        layout: where it lies.
    """
    return [
        *_board(window, layout),
        *_rail(layout),
        *_inlays(layout),
        *_wires(layout),
        *_strings(layout),
        *_capo(layout),
        *_position(window, layout),
        *_numbers(window, layout),
        *_names(window, layout),
    ]


def sheet_layers(window: NeckPicture, layout: Layout) -> Layers:
    """List the layers that draw one window of a sheet without marks, the lowest first.

    Args:
        window: what is shown.
        layout: where it lies.
    """
    return [
        *_board(window, layout),
        *_rail(layout),
        *_inlays(layout),
        *_wires(layout),
        *_strings(layout),
        *_capo(layout),
        *_numbers(window, layout),
        *_names(window, layout),
    ]


def title_height(size: MarkSize) -> int:
    """Return the height of a title on a sheet, in pixels.

    Args:
        size: the size of marks below it.
    """
    return size.title + style.TITLE_ROOM


def title_layers(name: str, remark: str, board: Box, marks: MarkSize) -> Layers:
    """List the layers of a title on a sheet: the name above the board's left end, the remark at its right end.

    Args:
        name: what the picture below shows.
        remark: what else is to be said of it; empty for nothing.
        board: the fingerboard below.
        marks: the size of marks on it.
    """
    y = title_height(marks) / 2 + 4
    size, remark_size = marks.title, marks.number
    width = min(ink_width(name, size, Face.BOLD), board.width * style.TITLE_SHARE)
    layers: Layers = [
        Letters(name, board.left + width / 2, y, size, PALETTE.position_text, Face.BOLD, width),
    ]
    if remark.strip():
        room = board.width - width - size
        width = min(ink_width(remark, remark_size, Face.REGULAR), room)
        layers.append(Letters(remark, board.right - width / 2, y, remark_size, PALETTE.quiet_text, widest=width))
    return layers


def _rectangle(box: Box, colour: str, radius: float = 0.0) -> Shape:
    return Shape(rectangle(box.left, box.top, box.right, box.bottom, radius), colour)


def _bar(x: float, thickness: float, box: Box, colour: str) -> Shape:
    """Draw an upright bar across a box, on whole pixels so that its edges are sharp."""
    left = round(x - thickness / 2)
    return _rectangle(Box(left, box.top, left + thickness, box.bottom), colour)


def _board(window: NeckPicture, layout: Layout) -> Layers:
    layers: Layers = [_rectangle(_whole(layout.board), PALETTE.board)]
    if layout.hand_span:
        layers.append(_rectangle(_whole(layout.hand_span), PALETTE.hand_span))
    if layout.capo:
        middle = (layout.capo.left + layout.capo.right) / 2
        board = layout.board
        dead = (
            Box(middle, board.top, board.right, board.bottom)
            if window.left_handed
            else Box(board.left, board.top, middle, board.bottom)
        )
        layers.append(_rectangle(_whole(dead), PALETTE.behind_capo))
    return layers


def _whole(box: Box) -> Box:
    return Box(round(box.left), round(box.top), round(box.right), round(box.bottom))


def _rail(layout: Layout) -> Layers:
    """Lay a rail along the fingerboard's upper edge over the frets that the hand covers."""
    if layout.hand_span is None:
        return []
    left, right = round(layout.hand_span.left), round(layout.hand_span.right)
    bottom = round(layout.board.top) - style.RAIL_GAP
    return [_rectangle(Box(left, bottom - style.RAIL, right, bottom), PALETTE.rail, style.RAIL / 2)]


def _inlays(layout: Layout) -> Layers:
    """Set lozenges at the fingerboard's lower edge, as the side of a neck has dots; two at the octave.

    There no mark lies, and none is taken for one.
    """
    layers: Layers = []
    half = style.INLAY / 2
    y = round(layout.board.bottom) + style.INLAY_GAP + half
    for fret, (left, right) in layout.columns.items():
        if fret in style.INLAY_FRETS:
            x = (left + right) / 2
            middles = (x - half - 1, x + half + 1) if fret in style.DOUBLE_INLAY_FRETS else (x,)
            layers += [Shape(lozenge(style.INLAY, middle, y), PALETTE.inlay) for middle in middles]
    return layers


def _wires(layout: Layout) -> Layers:
    board = layout.board
    layers: Layers = []
    for number, x in layout.wires.items():
        if number > 0:
            layers.append(_bar(x, style.WIRE, board, PALETTE.wire))
            continue
        nut_side = -1 if x < layout.width / 2 else 1
        reach = Box(0, board.top - 4, 0, board.bottom + 4)
        layers.append(_bar(x + nut_side * style.NUT / 2, style.NUT, reach, PALETTE.nut))
    return layers


def _strings(layout: Layout) -> Layers:
    layers: Layers = []
    count = len(layout.strings)
    thickest = style.THICKEST_SHARE * layout.size.string_pitch
    for n, y in enumerate(layout.strings):
        gauge = round(style.THINNEST_STRING + (thickest - style.THINNEST_STRING) * n / (count - 1))
        upper = round(y - gauge / 2)
        string = _whole(Box(layout.board.left, upper, layout.board.right, upper + gauge))
        layers.append(_rectangle(string, PALETTE.string))
    return layers


def _capo(layout: Layout) -> Layers:
    if layout.capo is None:
        return []
    bar = layout.capo
    middle, half = (bar.left + bar.right) / 2, bar.width / 2
    return [
        Shape(rectangle(bar.left - 3, bar.top - 3, bar.right + 3, bar.bottom + 3, half + 3), PALETTE.halo),
        Shape(rectangle(bar.left, bar.top, bar.right, bar.bottom, half), PALETTE.capo),
        Shape(rectangle(middle - 2, bar.top + half, middle + 2, bar.bottom - half, 2), PALETTE.capo_edge),
    ]


def _position(window: NeckPicture, layout: Layout) -> Layers:
    """Print the position over the fret under the first finger, where the hand's rail begins."""
    if window.index_fret is None or layout.hand_span is None:
        return []
    text = position_name(window.index_fret, window.capo, window.open_name)
    left, right = layout.columns[max(window.index_fret, window.capo + 1)]
    return [Letters(text, (left + right) / 2, layout.position_y, style.POSITION, PALETTE.position_text, Face.BOLD)]


def _numbers(window: NeckPicture, layout: Layout) -> Layers:
    layers: Layers = []
    for fret, (left, right) in layout.columns.items():
        if fret == 0 or not (layout.size.every_number or fret in style.INLAY_FRETS):
            continue
        under_index = fret == window.index_fret
        layers.append(
            Letters(
                str(fret),
                (left + right) / 2,
                layout.number_y,
                layout.size.number,
                PALETTE.position_text if under_index else PALETTE.quiet_text,
                Face.BOLD if under_index else Face.REGULAR,
            )
        )
    return layers


def _names(window: NeckPicture, layout: Layout) -> Layers:
    widest = layout.size.name_column - 6
    return [
        Letters(name, layout.name_x, y, layout.size.number, PALETTE.quiet_text, Face.REGULAR, widest)
        for name, y in zip(window.string_names, layout.strings, strict=False)
        if name.strip()
    ]
