"""Practice sheet: one page of A4 for the music stand — the weak cells, where they lie, and a plan of minutes.

Conventions: those of `deckbuilder.progress.drawing`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO

from deckbuilder.cards.facts import Slot
from deckbuilder.cards.note import Note
from deckbuilder.picture.description import NeckPicture
from deckbuilder.progress import words
from deckbuilder.progress.analysis import Analysis
from deckbuilder.progress.cells import Cell
from deckbuilder.progress.drawing import INK, QUIET, Paper, Sheet, drawn, fitting
from deckbuilder.progress.practice import HAND_CARE, MOST, Block, hardest_note, rotation, spoken_plan
from deckbuilder.speech import _, in_context, translate

_MARGIN = 14.0
_GUTTER = 8.0
_COLUMNS = 2
_TONES = ("#f3eee7", "#e6ddd0")

_HEAD = 29.0
_CELL_HEIGHT = 63.0
_CELL_GAP = 3.5
_BAR = 9.0
_LINE = 4.6


@dataclass(frozen=True, eq=False, slots=True)
class Entry:
    """A spot on a sheet: its number from 0, its name, how it stands, and the note that was forgotten most."""

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
    cells = cells[:MOST]
    blocks = rotation(len(cells))
    stream = BytesIO()
    title = analysis.history.title
    with drawn(Paper.A4, _("Practice sheet: {name}", name=title) if title else _("Practice sheet"), stream) as sheet:
        _draw_head(sheet, analysis, blocks)
        width = (sheet.width - 2 * _MARGIN - _GUTTER) / _COLUMNS
        for entry in entries(analysis, cells, notes):
            row, column = divmod(entry.number, _COLUMNS)
            draw_entry(sheet, entry, _MARGIN + column * (width + _GUTTER), _top_of_row(row), width, _CELL_HEIGHT)
        _draw_plan(sheet, blocks, _top_of_row(len(cells) // _COLUMNS + len(cells) % _COLUMNS) + 2)
    return stream.getvalue()


def entries(analysis: Analysis, cells: Sequence[Cell], notes: dict[str, Note]) -> list[Entry]:
    """Return what is drawn of some cells.

    Args:
        analysis: what was measured.
        cells: the cells.
        notes: notes that can be drawn, by id.
    """
    found = []
    for number, (cell, name) in enumerate(zip(cells, words.named(analysis, cells), strict=True)):
        place = name.rpartition(" · ")[0]
        figures = analysis.cells[cell]
        line = _(
            "level {level} · recalled {share}, the rest {rest}",
            level=cell.level,
            share=words.percent(figures.share),
            rest=words.percent(figures.rest),
        )
        found.append(Entry(number, place, line, hardest_note(analysis.study, cell, notes)))
    return found


def draw_entry(sheet: Sheet, entry: Entry, x: float, y: float, width: float, height: float) -> None:
    """Draw a spot with its neck into a room.

    Args:
        sheet: the page.
        entry: the spot.
        x: left edge of the room.
        y: top of the room.
        width: of the room.
        height: of the room.
    """
    indent, bottom = 10.0, y + height
    sheet.badge(x + 3.6, y + 3.4, str(entry.number + 1))
    size = fitting(entry.place, 4.8, width - indent, "bold")
    sheet.text(x + indent, y + 3.2, entry.place, size, weight="bold")
    below = sheet.paragraph(x + indent, y + 8, entry.line, 2.9, width - indent, QUIET)
    picture = entry.note.media[Slot.PICTURE].description if entry.note else None
    if entry.note is None or not isinstance(picture, NeckPicture):
        return
    below += 0.6
    task = f"{entry.note.words.task} · {entry.note.words.label}"
    top = sheet.paragraph(x + indent, below, task, 3.2, width - indent) - 1.2
    sheet.neck(picture, x, top, width, bottom - top)


def _draw_head(sheet: Sheet, analysis: Analysis, blocks: Sequence[Block]) -> None:
    minutes = blocks[-1].start + blocks[-1].minutes
    history = analysis.history
    beside = _(
        "{day} · tuning {tuning} · {minutes} minutes at the instrument",
        day=words.day(history.now),
        tuning=history.tuning,
        minutes=minutes,
    )
    draw_head(sheet, _("Practice sheet"), " · ".join(filter(None, (history.title, beside))), _MARGIN)


def draw_head(sheet: Sheet, title: str, beside: str, margin: float) -> None:
    """Draw what stands over a sheet.

    Args:
        sheet: the page.
        title: in large letters.
        beside: below it: whose it is, of which day.
        margin: at either side.
    """
    room = sheet.width - 2 * margin
    sheet.text(margin, 13, title, fitting(title, 7.2, room, "bold"), weight="bold")
    sheet.text(margin, 20, beside, fitting(beside, 3.7, room), QUIET)
    sheet.rule(24.5, margin)


def _top_of_row(row: int) -> float:
    return _HEAD + row * (_CELL_HEIGHT + _CELL_GAP)


def _draw_plan(sheet: Sheet, blocks: Sequence[Block], y: float) -> None:
    """Draw the minutes as a bar, the tasks of the rounds, and the care of the hands."""
    room, right = sheet.width - 2 * _MARGIN, sheet.width - _MARGIN
    sheet.rule(y, _MARGIN)
    sheet.text(_MARGIN, y + 7, _("Minutes"), 4.8, weight="bold")
    total = blocks[-1].start + blocks[-1].minutes
    for block in blocks:
        unit = room / total
        _draw_block(sheet, block, _MARGIN + block.start * unit, y + 12, block.minutes * unit)
    sheet.text(right, y + 12 + _BAR + 3, str(total), 2.6, QUIET, ha="right")
    sheet.text(right, y + 7, _("2 min a spot, then the next; r = rest"), 3.2, QUIET, ha="right")
    y += 12 + _BAR + 5 + 4
    for minutes, task in spoken_plan(blocks):
        sheet.text(_MARGIN, y, minutes, 3.3, weight="bold")
        y = sheet.paragraph(_MARGIN + 24, y, task, 3.3, room - 24) + _LINE + 0.6 - 3.3 * 1.25
    sheet.paragraph(_MARGIN, y + 1.6, _("Hands: {care}", care=translate(HAND_CARE)), 2.9, room, QUIET)


def _draw_block(sheet: Sheet, block: Block, x: float, y: float, width: float) -> None:
    rest = block.cell is None
    sheet.box(x, y, width, _BAR, "#ffffff" if rest else _TONES[block.round % 2])
    words_in = in_context("rest, in short", "r") if block.cell is None else str(block.cell + 1)
    sheet.text(x + width / 2, y + _BAR / 2, words_in, 3.8, QUIET if rest else INK, ha="center", weight="bold")
    sheet.text(x, y + _BAR + 3, str(block.start), 2.6, QUIET, ha="center" if block.start else "left")
