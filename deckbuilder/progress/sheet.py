"""Practice sheet: one page of A4 for the music stand — the weak cells, where they lie, and a plan of minutes.

Conventions: those of `deckbuilder.progress.drawing`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from io import BytesIO

from deckbuilder.cards.facts import Slot
from deckbuilder.cards.note import Note
from deckbuilder.picture.description import NeckPicture
from deckbuilder.progress import words
from deckbuilder.progress.analysis import Analysis
from deckbuilder.progress.cells import NECK
from deckbuilder.progress.drawing import INK, QUIET, Paper, Sheet, drawn, fitting
from deckbuilder.progress.practice import (
    EXERCISES,
    EXERCISES_ANYWHERE,
    HAND_CARE,
    MOST,
    Block,
    hardest_note,
    rotation,
    spoken_plan,
)
from deckbuilder.progress.work import Part, Place, places
from deckbuilder.progress.work_words import place_names, standing, why
from deckbuilder.speech import _, in_context, translate

_MARGIN = 14.0
_GUTTER = 8.0
_COLUMNS = 2
_TONES = ("#f3eee7", "#e6ddd0")

_HEAD = 29.0
_CELL_HEIGHT, _LARGEST = 63.0, 86.0
_READABLE = 1.2
"""By which letters grow in a room of that height."""
_CELL_GAP = 3.5
_PLAN = 66.0
"""Height that the plan of minutes and the care of the hands take."""
_BAR = 9.0
_LINE = 4.6


@dataclass(frozen=True, eq=False, slots=True)
class Entry:
    """A spot on a sheet: its number from 0, its name, how it stands, and the note that was forgotten most."""

    number: int
    place: str
    line: str
    note: Note | None


def practice_sheet(analysis: Analysis, parts: Sequence[Part], notes: Mapping[str, Note]) -> bytes:
    """Draw the sheet.

    Args:
        analysis: what was measured.
        parts: what to practise, and where; no more than `MOST` places find room.
        notes: notes that can be drawn, by id.

    Returns:
        The bytes of a PDF of one page.
    """
    found = places(parts)[:MOST]
    blocks = rotation(len(found))
    stream = BytesIO()
    title = analysis.history.title
    with drawn(Paper.A4, _("Practice sheet: {name}", name=title) if title else _("Practice sheet"), stream) as sheet:
        _draw_head(sheet, analysis, blocks)
        head = _draw_reasons(sheet, parts)
        width = (sheet.width - 2 * _MARGIN - _GUTTER) / _COLUMNS
        rows = -(-len(found) // _COLUMNS)
        height = min(_LARGEST, (sheet.height - head - _PLAN) / rows - _CELL_GAP)
        for entry in entries(analysis, found, notes):
            row, column = divmod(entry.number, _COLUMNS)
            x, y = _MARGIN + column * (width + _GUTTER), head + row * (height + _CELL_GAP)
            draw_entry(sheet, entry, x, y, width, height)
        anywhere = all(place.cell.region == NECK for place in found)
        plan = spoken_plan(blocks, EXERCISES_ANYWHERE if anywhere else EXERCISES)
        _draw_plan(sheet, blocks, plan, head + rows * (height + _CELL_GAP) + 2)
    return stream.getvalue()


def entries(analysis: Analysis, chosen: Sequence[Place], notes: Mapping[str, Note]) -> list[Entry]:
    """Return what is drawn of some places.

    Args:
        analysis: what was measured.
        chosen: the places.
        notes: notes that can be drawn, by id.
    """
    return [
        Entry(number, name, standing(analysis, place), hardest_note(analysis.study, place, notes))
        for number, (place, name) in enumerate(zip(chosen, place_names(analysis, chosen), strict=True))
    ]


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
    larger = min(_READABLE, max(1.0, height / _CELL_HEIGHT))
    sheet.badge(x + 3.6, y + 3.4, str(entry.number + 1))
    size = fitting(entry.place, 4.8 * larger, width - indent, "bold")
    sheet.text(x + indent, y + 3.2, entry.place, size, weight="bold")
    below = sheet.paragraph(x + indent, y + 3.2 + 4.8 * larger, entry.line, 2.9 * larger, width - indent, QUIET)
    picture = entry.note.media[Slot.PICTURE].description if entry.note else None
    if entry.note is None or not isinstance(picture, NeckPicture):
        return
    below += 0.6
    task = f"{entry.note.words.task} · {entry.note.words.label}"
    top = sheet.paragraph(x + indent, below, task, 3.2 * larger, width - indent) - 1.2
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


def _draw_reasons(sheet: Sheet, parts: Sequence[Part]) -> float:
    """Say why these places, where that does not stand beside each; return where they begin."""
    if all(part.weakness is None for part in parts):
        return _HEAD
    y, first = _HEAD + 1.0, 1
    for part in parts:
        last = min(first + len(part.places) - 1, MOST)
        if first <= MOST:
            numbers = f"{first}–{last}" if last > first else f"{first}"
            said = why(part) if len(parts) == 1 else f"{numbers}: {why(part)}"
            y = sheet.paragraph(_MARGIN, y, f"{said}.", 3.8, sheet.width - 2 * _MARGIN)
        first = last + 1
    return y + 1.0


def _draw_plan(sheet: Sheet, blocks: Sequence[Block], plan: Sequence[tuple[str, str]], y: float) -> None:
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
    for minutes, task in plan:
        sheet.text(_MARGIN, y, minutes, 3.3, weight="bold")
        y = sheet.paragraph(_MARGIN + 24, y, task, 3.3, room - 24) + _LINE + 0.6 - 3.3 * 1.25
    sheet.paragraph(_MARGIN, y + 1.6, _("Hands: {care}", care=translate(HAND_CARE)), 2.9, room, QUIET)


def _draw_block(sheet: Sheet, block: Block, x: float, y: float, width: float) -> None:
    rest = block.cell is None
    sheet.box(x, y, width, _BAR, "#ffffff" if rest else _TONES[block.round % 2])
    words_in = in_context("rest, in short", "r") if block.cell is None else str(block.cell + 1)
    sheet.text(x + width / 2, y + _BAR / 2, words_in, 3.8, QUIET if rest else INK, ha="center", weight="bold")
    sheet.text(x, y + _BAR + 3, str(block.start), 2.6, QUIET, ha="center" if block.start else "left")
