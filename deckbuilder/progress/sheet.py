"""Practice sheet: one page of A4 for the music stand — the weak cells, where they lie, and a plan of minutes.

Conventions: millimetres of the page, x to the right and y down from the upper left corner.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING

from deckbuilder.cards.facts import Slot
from deckbuilder.cards.note import Note
from deckbuilder.picture.description import NeckPicture
from deckbuilder.progress import words
from deckbuilder.progress.analysis import Analysis
from deckbuilder.progress.cells import Cell
from deckbuilder.progress.paper import printed
from deckbuilder.progress.practice import HAND_CARE, MOST, Block, hardest_note, rotation, spoken_plan

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_PAGE = (210.0, 297.0)
_MARGIN = 14.0
_GUTTER = 8.0
_COLUMNS = 2
_MM_PER_INCH = 25.4
_POINTS_PER_MM = 72 / _MM_PER_INCH

_INK, _QUIET, _EDGE, _MARK = "#15171a", "#565e68", "#c9c3b8", "#e69f00"
_TONES = ("#f3eee7", "#e6ddd0")

_HEAD = 29.0
_CELL_TEXT = 15.0
_PICTURE_HEIGHT = 48.0
_CELL_GAP = 3.5
_BAR = 9.0
_LINE = 4.6
_CHARACTERS = 118


@dataclass(frozen=True, eq=False, slots=True)
class _Entry:
    """A cell on the sheet: its number, name, figures and the note that was forgotten most."""

    number: int
    place: str
    line: str
    note: Note | None


def practice_sheet(analysis: Analysis, cells: Sequence[Cell], notes: dict[str, Note]) -> bytes:
    """Draw the sheet.

    Args:
        analysis: what was measured.
        cells: the cells to practise, the weakest first; no more than `MOST` find room.
        notes: notes that can be drawn, by id.

    Returns:
        The bytes of a PDF of one page.
    """
    import matplotlib as mpl
    from matplotlib.figure import Figure

    cells = cells[:MOST]
    blocks = rotation(len(cells))
    with mpl.rc_context():
        mpl.rcdefaults()
        mpl.rcParams["pdf.fonttype"] = 42
        figure = Figure(figsize=(_PAGE[0] / _MM_PER_INCH, _PAGE[1] / _MM_PER_INCH))
        axes = figure.add_axes((0, 0, 1, 1))
        axes.set(xlim=(0, _PAGE[0]), ylim=(_PAGE[1], 0))
        axes.set_axis_off()
        _draw_head(axes, analysis, blocks)
        for entry in _entries(analysis, cells, notes):
            _draw_entry(axes, entry)
        _draw_plan(axes, blocks, _top_of_row(len(cells) // _COLUMNS + len(cells) % _COLUMNS) + 2)
        stream = BytesIO()
        about = {"Title": "Practice sheet", "Creator": "deckbuilder", "CreationDate": None}
        figure.savefig(stream, format="pdf", metadata=about)
    return stream.getvalue()


def _entries(analysis: Analysis, cells: Sequence[Cell], notes: dict[str, Note]) -> list[_Entry]:
    entries = []
    for number, (cell, name) in enumerate(zip(cells, words.named(analysis, cells), strict=True)):
        place, _, _ = name.rpartition(" · ")
        figures = analysis.cells[cell]
        recalled = f"recalled {words.percent(figures.share)}, the rest {words.percent(figures.rest)}"
        line = f"level {cell.level} · {recalled}"
        entries.append(_Entry(number, place, line, hardest_note(analysis.study, cell, notes)))
    return entries


def _draw_head(axes: Axes, analysis: Analysis, blocks: Sequence[Block]) -> None:
    minutes = blocks[-1].start + blocks[-1].minutes
    _text(axes, _MARGIN, 13, "Practice sheet", 7.2, weight="bold")
    history = analysis.history
    beside = f"{words.day(history.now)} · tuning {history.tuning} · {minutes} minutes at the instrument"
    _text(axes, _MARGIN, 20, beside, 3.7, _QUIET)
    axes.plot([_MARGIN, _PAGE[0] - _MARGIN], [24.5, 24.5], color=_EDGE, linewidth=0.8)


def _draw_entry(axes: Axes, entry: _Entry) -> None:
    width = (_PAGE[0] - 2 * _MARGIN - _GUTTER) / _COLUMNS
    row, column = divmod(entry.number, _COLUMNS)
    x = _MARGIN + column * (width + _GUTTER)
    y = _top_of_row(row)
    _badge(axes, x + 3.6, y + 3.4, entry.number)
    _text(axes, x + 10, y + 3.2, entry.place, 4.8, weight="bold")
    _text(axes, x + 10, y + 8, entry.line, 2.9, _QUIET)
    picture = entry.note.media[Slot.PICTURE].description if entry.note else None
    if entry.note is None or not isinstance(picture, NeckPicture):
        return
    _text(axes, x + 10, y + 12.4, f"{entry.note.words.task} · {entry.note.words.label}", 3.2)
    pixels = printed(picture)
    height, across = pixels.shape[0], pixels.shape[1]
    scale = min(width / across, _PICTURE_HEIGHT / height)
    top = y + _CELL_TEXT
    extent = (x, x + across * scale, top + height * scale, top)
    axes.imshow(pixels, extent=extent, aspect="auto", interpolation="none", zorder=1)
    axes.set(xlim=(0, _PAGE[0]), ylim=(_PAGE[1], 0))


def _top_of_row(row: int) -> float:
    return _HEAD + row * (_CELL_TEXT + _PICTURE_HEIGHT + _CELL_GAP)


def _draw_plan(axes: Axes, blocks: Sequence[Block], y: float) -> None:
    """Draw the minutes as a bar, the tasks of the rounds, and the care of the hands."""
    axes.plot([_MARGIN, _PAGE[0] - _MARGIN], [y, y], color=_EDGE, linewidth=0.8)
    _text(axes, _MARGIN, y + 7, "Minutes", 4.8, weight="bold")
    total = blocks[-1].start + blocks[-1].minutes
    unit = (_PAGE[0] - 2 * _MARGIN) / total
    for block in blocks:
        _draw_block(axes, block, _MARGIN + block.start * unit, y + 12, block.minutes * unit)
    _text(axes, _PAGE[0] - _MARGIN, y + 12 + _BAR + 3, str(total), 2.6, _QUIET, ha="right")
    _text(axes, _PAGE[0] - _MARGIN, y + 7, "2 min a cell, then the next; r = rest", 3.2, _QUIET, ha="right")
    y += 12 + _BAR + 5 + 4
    for minutes, task in spoken_plan(blocks):
        _text(axes, _MARGIN, y, minutes, 3.3, weight="bold")
        _text(axes, _MARGIN + 24, y, task, 3.3)
        y += _LINE + 0.6
    y += 1.6
    for line in textwrap.wrap(f"Hands: {HAND_CARE}", _CHARACTERS):
        _text(axes, _MARGIN, y, line, 2.9, _QUIET)
        y += _LINE


def _draw_block(axes: Axes, block: Block, x: float, y: float, width: float) -> None:
    from matplotlib.patches import Rectangle

    rest = block.cell is None
    colour = "#ffffff" if rest else _TONES[block.round % 2]
    axes.add_patch(Rectangle((x, y), width, _BAR, facecolor=colour, edgecolor=_EDGE, linewidth=0.6))
    words_in = "r" if block.cell is None else str(block.cell + 1)
    _text(axes, x + width / 2, y + _BAR / 2, words_in, 3.8, _QUIET if rest else _INK, ha="center", weight="bold")
    _text(axes, x, y + _BAR + 3, str(block.start), 2.6, _QUIET, ha="center" if block.start else "left")


def _badge(axes: Axes, x: float, y: float, number: int) -> None:
    from matplotlib.patches import Circle

    axes.add_patch(Circle((x, y), 3.6, facecolor=_MARK, edgecolor="none"))
    _text(axes, x, y, str(number + 1), 4.2, ha="center", weight="bold")


def _text(
    axes: Axes,
    x: float,
    y: float,
    line: str,
    size: float,
    colour: str = _INK,
    *,
    ha: str = "left",
    weight: str = "normal",
) -> None:
    """Write a line, its letters `size` mm high from one baseline to the next, centred down on `y`."""
    options = {"ha": ha, "va": "center_baseline", "weight": weight}
    axes.text(x, y, line, fontsize=size * _POINTS_PER_MM, color=colour, **options)  # type: ignore[arg-type]
