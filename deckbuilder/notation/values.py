"""Note values: how a length is written as notes and rests that a reader can count.

Conventions: ticks as in `deckbuilder.notation.description`. What is written keeps the middle of a bar in sight, as
handbooks of notation ask: a value that is neither begun nor ended on a beat does not hide beat 3, and a triplet stays
within its beat (common practice, no source). What is cut is tied.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Final

from deckbuilder.notation.description import BAR, BEAT, NotationError, ScoreNote

_STRAIGHT: Final = (48, 36, 24, 18, 12, 9, 6, 3)
_TRIPLET: Final = (8, 4, 2)
_MIDDLE: Final = BAR // 2
_SHARPS: Final = "FCGDAEB"
"""Letters in the order in which a key signature raises them; it lowers them in the opposite order."""


@dataclass(frozen=True, slots=True)
class Value:
    """A note value within a bar.

    Args:
        onset: when it begins, in ticks from the bar's beginning.
        length: how long it lasts, in ticks: one that a single sign writes.
        note: index of the note that it is of; None for a rest.
        begins: whether the note begins here, or is tied over from before.
        ends: whether the note ends here, or is tied on.
    """

    onset: int
    length: int
    note: int | None
    begins: bool = True
    ends: bool = True

    @property
    def is_triplet(self) -> bool:
        """Whether it is a part of a beat in three."""
        return self.length in _TRIPLET


def written(notes: Sequence[ScoreNote], bars: int) -> tuple[tuple[Value, ...], ...]:
    """Write notes and what lies between them as values, bar by bar.

    Args:
        notes: the notes in order, one at a time, within the bars.
        bars: how many bars.

    Raises:
        NotationError: a time that no note value writes.
    """
    values: list[list[Value]] = [[] for _ in range(bars)]
    at = 0
    for index, note in enumerate(notes):
        _write(values, at, note.onset, None)
        _write(values, note.onset, note.onset + note.length, index)
        at = note.onset + note.length
    _write(values, at, bars * BAR, None)
    return tuple(map(tuple, values))


def _write(values: list[list[Value]], begin: int, end: int, note: int | None) -> None:
    pieces = [(bar, *piece) for bar, piece in _by_bar(begin, end, note is None)]
    for number, (bar, onset, length) in enumerate(pieces):
        values[bar].append(Value(onset, length, note, number == 0, number == len(pieces) - 1))


def _by_bar(begin: int, end: int, rest: bool) -> Iterator[tuple[int, tuple[int, int]]]:
    while begin < end:
        bar, onset = divmod(begin, BAR)
        stop = min(end - bar * BAR, BAR)
        for piece in _pieces(onset, stop, rest):
            yield bar, piece
        begin = bar * BAR + stop


def _pieces(onset: int, stop: int, rest: bool) -> Iterator[tuple[int, int]]:
    """Cut a part of a bar into values, the longest first that leave the bar countable."""
    while onset < stop:
        length = next(
            (value for value in _STRAIGHT if value <= stop - onset and _is_clear(onset, value, stop, rest)),
            0,
        ) or next((value for value in _TRIPLET if onset % BEAT + value <= BEAT and value <= stop - onset), 0)
        if not length:
            raise NotationError(f"no note value goes from tick {onset} to {stop} of a bar: use quarters or thirds")
        yield onset, length
        onset += length


def _is_clear(onset: int, value: int, stop: int, rest: bool) -> bool:
    """Whether a straight value may stand here.

    Args:
        onset: where, in ticks of the bar.
        value: how long.
        stop: where the sound or silence ends.
        rest: whether it is a silence: rests stand on the beats that they fill.
    """
    end = onset + value
    if onset % BEAT % 3 or ((stop - end) % 3 and end % BEAT):
        return False  # within a beat in three
    if onset < _MIDDLE < end and (onset % BEAT or end % BEAT or (rest and onset)):
        return False
    if value in (9, 3):
        return onset % BEAT + value <= BEAT
    if rest:
        return onset % value == 0 and value in (48, 24, 12, 6)
    return onset % (BEAT // 2) == 0


Beam = tuple[str, ...]
"""How a value is joined to its neighbours at each level of beams, in MusicXML's words."""


def beams(values: Sequence[Value]) -> list[Beam]:
    """Join the short notes of each beat.

    Args:
        values: those of a bar.
    """
    joined: list[Beam] = [()] * len(values)
    for beat in range(BAR // BEAT):
        group = [
            number
            for number, value in enumerate(values)
            if value.onset // BEAT == beat and value.note is not None and _flags(value)
        ]
        for begin, end in _runs(group):
            run = range(begin, end)
            for number in run if len(run) > 1 else ():
                joined[number] = tuple(_levels(values, run, number))
    return joined


def _flags(value: Value) -> int:
    return {9: 1, 6: 1, 4: 1, 3: 2, 2: 2}.get(value.length, 0)


def _runs(numbers: Sequence[int]) -> Iterator[tuple[int, int]]:
    """Yield the first of each row of neighbouring numbers, and the one after the last."""
    for _, run in groupby(enumerate(numbers), key=lambda pair: pair[1] - pair[0]):
        members = [number for _, number in run]
        yield members[0], members[-1] + 1


def _levels(values: Sequence[Value], run: range, number: int) -> Iterator[str]:
    for level in range(1, _flags(values[number]) + 1):
        before = number > run.start and _flags(values[number - 1]) >= level
        after = number < run.stop - 1 and _flags(values[number + 1]) >= level
        if before and after:
            yield "continue"
        elif before or after:
            yield "end" if before else "begin"
        else:
            yield "backward hook" if number > run.start else "forward hook"


def triplets(values: Sequence[Value]) -> list[str]:
    """Say where beats in three begin and end: `start`, `stop` or nothing for each value of a bar.

    Args:
        values: those of a bar.
    """
    marks = [""] * len(values)
    for beat in range(BAR // BEAT):
        group = [n for n, value in enumerate(values) if value.onset // BEAT == beat and value.is_triplet]
        if group:
            marks[group[0]], marks[group[-1]] = "start", "stop"
    return marks


def shown_accidentals(values: Sequence[Value], notes: Sequence[ScoreNote], fifths: int) -> list[int | None]:
    """Say which accidental is written before each value of a bar; None for none.

    An accidental holds for its line or space to the end of the bar, and for a note that is tied over the bar line.

    Args:
        values: those of a bar.
        notes: the notes that they are of.
        fifths: the key signature's sharps (negative: flats).
    """
    holding: dict[tuple[str, int], int] = {}
    signed = dict.fromkeys(_SHARPS[:fifths], 1) if fifths > 0 else dict.fromkeys(_SHARPS[::-1][:-fifths], -1)
    shown: list[int | None] = []
    for value in values:
        if value.note is None or not value.begins:
            shown.append(None)
            continue
        pitch = notes[value.note].pitch
        line = (pitch.letter, pitch.octave)
        is_new = holding.get(line, signed.get(pitch.letter, 0)) != pitch.accidental
        shown.append(pitch.accidental if is_new else None)
        holding[line] = pitch.accidental
    return shown
