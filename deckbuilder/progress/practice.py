"""Practice: minutes at the instrument, shared out over weak cells.

Rules: a cell comes for two minutes at a time and never twice in a row, since coming back to a thing after others makes
it last (interleaved practice; common practice in teaching, no source); after every ten minutes of playing the hands
rest for one (common practice, no source).
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from deckbuilder.cards.facts import Slot
from deckbuilder.cards.note import Note
from deckbuilder.picture.description import NeckPicture
from deckbuilder.progress.study import Study
from deckbuilder.progress.work import Place
from deckbuilder.speech import _, marked, translate

MOST = 6
"""Cells that a sheet has room for."""

BLOCK_MINUTES = 2
REST_MINUTES = 1
_PLAYED_BEFORE_REST = 10

EXERCISES = (
    marked("slowly, out of time: say each degree as you play it"),
    marked("in time, eighths: start on any note, land on a guide tone"),
    marked("improvise: come into the region and leave it again"),
)
"""What each round asks; the third is for short lists."""
EXERCISES_ANYWHERE = (
    marked("slowly, out of time: say the name of each note as you play it"),
    marked("in time, eighths: start on any note, land on a guide tone"),
    marked("improvise: go from one end of the neck to the other"),
)
"""The same where no place on the neck is meant."""
_SHORT_LIST = 3

HAND_CARE = marked(
    "Warm up for three minutes before the first block. Press no harder than the note needs, and let shoulder and wrist "
    "hang loose. Rest after ten minutes at most: put the guitar down and open the hands. Stop on pain, and see a "
    "professional if it stays. Keep the volume low."
)


@dataclass(frozen=True, slots=True)
class Block:
    """A stretch of minutes.

    Args:
        start: minutes from the beginning.
        minutes: how long.
        cell: number of the cell, from 0; None for a rest.
        round: number of the round, from 0.
    """

    start: int
    minutes: int
    cell: int | None
    round: int


def rotation(cells: int) -> tuple[Block, ...]:
    """Share out the minutes.

    Args:
        cells: how many cells there are; a single one has a rest after each block.
    """
    blocks: list[Block] = []
    start = played = 0
    rounds = len(EXERCISES) if cells <= _SHORT_LIST else len(EXERCISES) - 1
    turns = [(number, cell) for number in range(rounds) for cell in range(cells)]
    for turn, (number, cell) in enumerate(turns, start=1):
        blocks.append(Block(start, BLOCK_MINUTES, cell, number))
        start, played = start + BLOCK_MINUTES, played + BLOCK_MINUTES
        if turn < len(turns) and (played >= _PLAYED_BEFORE_REST or cells == 1):
            blocks.append(Block(start, REST_MINUTES, None, number))
            start, played = start + REST_MINUTES, 0
    return tuple(blocks)


def hardest_note(study: Study, place: Place, notes: Mapping[str, Note]) -> Note | None:
    """Return the note, of those that are worked on in a place, that was not known most often, for its picture.

    Args:
        study: the history.
        place: the place.
        notes: notes that can be drawn, by id.
    """
    forgotten: dict[str, int] = {}
    if place.weakness is None:
        lost = Counter(study.rows[~study.succeeded].tolist())
    else:
        lost = Counter(row for row, known in place.weakness.answers if not known)
    for row, card in enumerate(study.history.cards):
        if card.note in notes and place.holds(row, card) and _shows_one_neck(notes[card.note]):
            forgotten[card.note] = forgotten.get(card.note, 0) + lost[row]
    # A question for the ear is nothing to play, where there is anything else.
    hardest = max(forgotten, key=lambda note: (notes[note].words.heard is None, forgotten[note]), default=None)
    return notes[hardest] if hardest else None


def _shows_one_neck(note: Note) -> bool:
    return isinstance(note.media[Slot.PICTURE].description, NeckPicture)


def spoken_plan(blocks: Sequence[Block], exercises: Sequence[str] = EXERCISES) -> list[tuple[str, str]]:
    """Return the rotation in words, a line a round: which minutes, and what to do.

    Args:
        blocks: from `rotation`.
        exercises: what the rounds ask, messages.
    """
    lines = []
    for number in sorted({block.round for block in blocks}):
        own = [block for block in blocks if block.round == number]
        end = own[-1].start + own[-1].minutes
        lines.append((_("{first}–{last} min", first=own[0].start, last=end), translate(exercises[number])))
    return lines
