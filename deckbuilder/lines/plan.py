"""The plan of a line: what is asked of each note before pitches are found.

Everything here is dealt (`deckbuilder.lines.dealing`): approaches to arrivals, cells on strong beats, where the line
lies, from which tone an answer begins.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, Protocol

from deckbuilder.lines.dealing import Dealer
from deckbuilder.lines.figures import APPROACHES, BY_STEP, ENCLOSURE, Approach, Cell, Moves, cells
from deckbuilder.lines.notes import BAR, EIGHTH, STRONG
from deckbuilder.lines.palette import UNLAWFUL, Palette
from deckbuilder.lines.rhythm import Speed
from deckbuilder.lines.slots import Slot

_APPROACH, _CELL, _ANSWER, _TURN = 5.0, 4.0, 4.0, 4.0
_CELL_NOTES: Final = 4
SHORTEST_FIGURE: Final = 4
"""Notes by which a figure is known again."""
_LONGEST_FIGURE: Final = 7
_NO_CELL: Final = 2
"""How often no cell is dealt, beside each that fits once."""

_CONTOURS = (
    (0.35, 0.85, 0.5),
    (0.8, 0.3, 0.6),
    (0.25, 0.5, 0.85),
    (0.85, 0.6, 0.25),
    (0.55, 0.2, 0.7),
    (0.5, 0.9, 0.3),
    (0.65, 0.45, 0.75),
)
"""Where a line lies in the region at the beginning, in the middle and at the end of two bars: 0 lowest, 1 highest."""
_SHIFTS = (-4, 3, -2, 5, 2, -3, 4, -5)
"""Semitones by which the answer begins higher than the question."""


@dataclass(frozen=True, slots=True)
class Demand:
    """What is asked of a note.

    Args:
        weight: what it costs not to do it.
        moves: the moves that may lead into it, in semitones; empty for any.
        steps: the tones above its chord's root that it may be; empty for any.
        chromatic: whether it may be a chromatic tone, on a beat too.
        near: index of a pitch that it should be near; None for none.
    """

    weight: float
    moves: Moves = frozenset()
    steps: frozenset[int] = frozenset()
    chromatic: bool = False
    near: int | None = None


def demands(
    slots: Sequence[Slot], palettes: Sequence[Palette], dealer: Dealer, loops: bool, *, enclosed: bool = False
) -> dict[int, Demand]:
    """Deal what is asked of the notes of a line.

    Args:
        slots: the notes' places.
        palettes: what each chord offers.
        dealer: deals.
        loops: whether the last note leads into the first one.
        enclosed: whether each arrival has to be enclosed, at any cost.

    Returns:
        Demands by index of the note; that after the last one is the first, come to again.
    """
    found: dict[int, Demand] = {}
    _quick(found, slots, palettes, dealer)
    _cells(found, slots, palettes, dealer)
    arrivals = [at for at, slot in enumerate(slots) if slot.arrives and slot.joined]
    if loops:
        arrivals.append(len(slots))
    for turn, at in enumerate(arrivals):
        if enclosed and at < len(slots):
            _enclosed(found, slots, palettes, at)
        else:
            _approached(found, slots, palettes, dealer, at, turn)
    return found


def _enclosed(found: dict[int, Demand], slots: Sequence[Slot], palettes: Sequence[Palette], at: int) -> None:
    """Ask for the scale step above, then the semitone below, then the arrival."""
    down, up = ENCLOSURE.moves
    own = palettes[slots[at - 2].chord]
    found[at - 2] = Demand(UNLAWFUL, steps=own.played | own.blue)
    found[at - 1] = Demand(UNLAWFUL, down, chromatic=True)
    found[at] = Demand(UNLAWFUL, up)


def _approached(
    found: dict[int, Demand], slots: Sequence[Slot], palettes: Sequence[Palette], dealer: Dealer, at: int, turn: int
) -> None:
    target = slots[at % len(slots)]
    free = palettes[target.chord].free
    approach = _fitting(slots, at, dealer.choice("approach", APPROACHES, turn)) if free else None
    approach = approach or dealer.choice("step", BY_STEP, turn)
    first = at - len(approach.moves) + 1
    for number, allowed in enumerate(approach.moves):
        note = first + number
        old = found.get(note, Demand(_APPROACH))
        found[note] = Demand(_APPROACH, allowed, old.steps if note == at else frozenset(), old.chromatic)
        leading = note - 1
        if (
            free
            and (number or allowed in ({1}, {-1}))
            and slots[leading].length <= EIGHTH
            and not slots[leading].strong
        ):
            kept = found.get(leading, Demand(_APPROACH))
            found[leading] = Demand(kept.weight, kept.moves, frozenset(), True)


def _fitting(slots: Sequence[Slot], at: int, approach: Approach) -> Approach | None:
    """Return an approach, if its notes follow each other in eighths and none of them is itself an arrival."""
    before = slots[max(at - len(approach.moves), 0) : at]
    if len(before) < len(approach.moves):
        return None
    if any(slot.strong or slot.length > EIGHTH or slot.arrives for slot in before):
        return None
    return approach if all(slot.joined for slot in before[1:]) else None


def _cells(found: dict[int, Demand], slots: Sequence[Slot], palettes: Sequence[Palette], dealer: Dealer) -> None:
    starts = [
        at
        for at, slot in enumerate(slots[: len(slots) - _CELL_NOTES + 1])
        if slot.onset % STRONG == 0 and _runs(slots[at : at + _CELL_NOTES])
    ]
    turn = 0
    taken = -1
    for at in starts:
        palette = palettes[slots[at].chord]
        fitting = cells(palette)
        if at <= taken or not fitting:
            continue
        number = dealer.number("cell" + "".join(cell.name for cell in fitting), len(fitting) + _NO_CELL, turn)
        turn += 1
        if number < len(fitting):
            _strung(found, slots, at, fitting[number])
            taken = at + _CELL_NOTES - 1


def _runs(slots: Sequence[Slot]) -> bool:
    return all(
        after.joined and after.chord == before.chord and before.length == EIGHTH and before.speed is Speed.EVEN
        for before, after in pairwise(slots)
    )


def _strung(found: dict[int, Demand], slots: Sequence[Slot], at: int, cell: Cell) -> None:
    for number, step in enumerate(cell.steps):
        moves = frozenset({cell.moves[number - 1]}) if number else frozenset()
        found[at + number] = Demand(_CELL, moves, frozenset({step}), chromatic=True)
    after = at + _CELL_NOTES
    if cell.then and after < len(slots) and slots[after].joined:
        found[after] = Demand(_CELL, cell.then)


def _quick(found: dict[int, Demand], slots: Sequence[Slot], palettes: Sequence[Palette], dealer: Dealer) -> None:
    """Let a turn go to the tone above and back, and a triplet in one direction."""
    beats = [at for at, slot in enumerate(slots) if slot.speed is not Speed.EVEN and not slot.off_beat]
    for turn, at in enumerate(beats):
        if slots[at].speed is Speed.TURN:
            found[at + 1] = Demand(_TURN, frozenset({1, 2}), palettes[slots[at + 1].chord].played)
            found[at + 2] = Demand(_TURN, frozenset({-1, -2}), palettes[slots[at + 2].chord].played)
        else:
            rising = dealer.choice("triplet", (True, True, False), turn)
            moves = frozenset({3, 4, 5}) if rising else frozenset({-1, -2})
            found[at + 1] = Demand(_TURN, moves)
            found[at + 2] = Demand(_TURN, moves)


def answering(
    slots: Sequence[Slot], asking: Sequence[int], answer: Sequence[int], asked: Sequence[int], dealer: Dealer
) -> dict[int, Demand]:
    """Let an answer take up the moves of its question as far as its rhythm does, from another tone.

    Args:
        slots: the notes' places.
        asking: indices of the notes that ask.
        answer: indices of the notes that answer.
        asked: index of each asking note's pitch.
        dealer: deals from how far away it begins.
    """
    pairs = figure(slots, asking, answer)[:_LONGEST_FIGURE]
    if len(pairs) < SHORTEST_FIGURE:
        return {}
    by_note = dict(zip(asking, asked, strict=True))
    shift = dealer.choice("shift", _SHIFTS, slots[answer[0]].unit)
    found = {pairs[0][1]: Demand(_ANSWER, near=by_note[pairs[0][0]] + shift)}
    for (before, _), (one, other) in pairwise(pairs):
        move = by_note[one] - by_note[before]
        allowed = {move} if move == 0 else {near for near in (move - 1, move, move + 1) if near * move > 0}
        found[other] = Demand(_ANSWER, frozenset(allowed), chromatic=abs(move) == 1)
    return found


class Timed(Protocol):
    """What has an onset and a length in ticks."""

    @property
    def onset(self) -> int:
        """When it begins."""

    @property
    def length(self) -> int:
        """How long it lasts."""


def figure(notes: Sequence[Timed], asking: Sequence[int], answer: Sequence[int]) -> list[tuple[int, int]]:
    """Return the first row of notes that two bars have in the same rhythm as two bars before them.

    Args:
        notes: slots or notes of a line.
        asking: indices of the notes of two bars.
        answer: indices of the notes of two later bars.

    Returns:
        Pairs of indices, of a note that asks and the note that answers.
    """
    pairs: list[tuple[int, int]] = []
    for one in asking:
        same = (other for other in answer if (notes[other].onset - notes[one].onset) % (2 * BAR) == 0)
        other = next(same, None)
        follows = not pairs or pairs[-1] == (one - 1, -1 if other is None else other - 1)
        if other is not None and follows and notes[other].length == notes[one].length:
            pairs.append((one, other))
        elif len(pairs) < SHORTEST_FIGURE:
            pairs = []
        else:
            break
    return pairs


def heights(slots: Sequence[Slot], dealer: Dealer) -> list[float]:
    """Deal where a line lies: the height of each note in the region, 0 for the lowest, 1 for the highest."""
    found = []
    for slot in slots:
        begin, middle, end = dealer.choice("contour", _CONTOURS, slot.unit)
        at = slot.onset % (2 * BAR) / BAR
        found.append(begin + (middle - begin) * at if at < 1 else middle + (end - middle) * (at - 1))
    return found
