"""What the neck itself looks like: fingerboard, hand span, inlays, wires, nut, strings, capo and numbers."""

from deckbuilder.picture import style
from deckbuilder.picture.canvas import Face, Letters, Shape, ink_width
from deckbuilder.picture.description import NeckPicture
from deckbuilder.picture.geometry import Box, Layout
from deckbuilder.picture.outlines import rectangle
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
        _rectangle(Box(0, 0, layout.width, layout.height), PALETTE.ground),
        *_board(window, layout),
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
        _rectangle(Box(0, 0, layout.width, layout.height), PALETTE.ground),
        *_board(window, layout),
        *_inlays(layout),
        *_wires(layout),
        *_strings(layout),
        *_capo(layout),
        *_numbers(window, layout),
        *_names(window, layout),
    ]


def title_layers(name: str, remark: str, board: Box) -> Layers:
    """List the layers of a title on a sheet: the name above the board's left end, the remark at its right end.

    Args:
        name: what the picture below shows.
        remark: what else is to be said of it; empty for nothing.
        board: the fingerboard below.
    """
    y = style.TITLE / 2 + 4
    size, remark_size = style.TITLE_LETTERS, style.SHEET_SIZES[0].number
    width = min(ink_width(name, size, Face.BOLD), board.width * style.TITLE_SHARE)
    layers: Layers = [
        _rectangle(Box(0, 0, style.WIDTH, style.TITLE), PALETTE.ground),
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


def _inlays(layout: Layout) -> Layers:
    """Lay a tall block under the inner strings, two side by side at the octave.

    Blocks are wider than a mark, so that a mark on one leaves no odd remainder of it.
    """
    layers: Layers = []
    top, bottom = layout.strings[0] + 6, layout.strings[-1] - 6
    for fret, (left, right) in layout.columns.items():
        if fret not in style.INLAY_FRETS:
            continue
        gap = round((right - left) * 0.16)
        block = _whole(Box(left + gap, top, right - gap, bottom))
        if fret in style.DOUBLE_INLAY_FRETS:
            middle, half_gap = (block.left + block.right) / 2, gap / 2
            halves = [(block.left, middle - half_gap), (middle + half_gap, block.right)]
        else:
            halves = [(block.left, block.right)]
        layers += [_rectangle(_whole(Box(a, top, b, bottom)), PALETTE.inlay) for a, b in halves]
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
    """Print the position over its fret, with a bracket that reaches over the hand span."""
    span = layout.hand_span
    if window.index_fret is None or span is None:
        return []
    text = position_name(window.index_fret, window.capo, window.open_name)
    left, right = layout.columns[max(window.index_fret, window.capo + 1)]
    x, y = (left + right) / 2, layout.position_y
    towards_body = -1 if window.left_handed else 1
    start = x + towards_body * (ink_width(text, style.POSITION, Face.BOLD) / 2 + 16)
    end = round(span.left) if window.left_handed else round(span.right)
    across = Box(min(start, end), round(y) - 1, max(start, end), round(y) + 2)
    inner = end if window.left_handed else end - 3
    layers: Layers = [Letters(text, x, y, style.POSITION, PALETTE.position_text, Face.BOLD)]
    if across.width > 24:
        layers += [
            _rectangle(across, PALETTE.quiet_text),
            _rectangle(Box(inner, round(y) - 1, inner + 3, round(y) + 14), PALETTE.quiet_text),
        ]
    return layers


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
