"""A held line: one note a chord, each the nearest of its chord's to the one before.

It follows from where it begins; that is dealt among the ways that ask least of the hand and of the voice leading.
"""

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from deckbuilder.lines.dealing import Dealer
from deckbuilder.lines.notes import LineNote, Role
from deckbuilder.lines.palette import palette
from deckbuilder.lines.position import Position, reach
from deckbuilder.lines.slots import Changes, begins_of
from deckbuilder.neck.fingering import FingeredNote
from deckbuilder.neck.tuning import NeckError

_WIDEST: Final = 12
_DEARER: Final = 3
"""By how much a way may cost more than the best one to be dealt."""

_Way = list[FingeredNote]


def hold(
    changes: Changes, position: Position, allowed: Sequence[frozenset[int] | None], dealer: Dealer
) -> tuple[LineNote, ...]:
    """Compose a held line.

    Args:
        changes: the chords.
        position: the hand in its region.
        allowed: for each chord the pitch classes of which one is held; None for its scale.
        dealer: deals where the line begins.

    Raises:
        NeckError: a chord offers no note in reach, or the nearest note is always farther than an octave.
    """
    offers = [
        _offer(position, chord.scale.pitch_classes, kept) for (chord, _), kept in zip(changes, allowed, strict=True)
    ]
    if not all(offers):
        raise NeckError("a held line needs a note of every chord in reach; choose another region or tuning")
    ways = [way for first in offers[0] if max(_sizes(way := _nearest(first, offers)), default=0) <= _WIDEST]
    if not ways:
        raise NeckError("the nearest notes lie more than an octave apart; choose another region or tuning")
    least = min(map(_cost, ways))
    way = dealer.choice("held", [way for way in ways if _cost(way) <= least + _DEARER])
    return tuple(
        _note(begin, begin_of_next - begin, note, changes, chord)
        for chord, (note, (begin, begin_of_next)) in enumerate(zip(way, pairwise(begins_of(changes)), strict=True))
    )


def _note(onset: int, length: int, note: FingeredNote, changes: Changes, chord: int) -> LineNote:
    tone, degree = palette(changes[chord][0]).named(note.midi, None)
    return LineNote(onset, length, note.midi, tone, degree, note.place, chord, Role.TARGET)


def _offer(position: Position, scale: frozenset[int], kept: frozenset[int] | None) -> _Way:
    wanted = scale if kept is None else kept
    return [note for midi, note in sorted(reach(position, scale).items()) if midi % 12 in wanted & scale]


def _nearest(first: FingeredNote, offers: Sequence[_Way]) -> _Way:
    """Follow the nearest note from chord to chord; of two as near, the easier and then the lower one."""
    way = [first]
    for offer in offers[1:]:
        before = way[-1].midi
        way.append(min(offer, key=lambda note: (abs(note.midi - before), note.cost, note.midi)))
    return way


def _sizes(way: _Way) -> list[int]:
    return [abs(after.midi - before.midi) for before, after in pairwise(way)]


def _cost(way: _Way) -> int:
    return sum(note.cost for note in way) + sum(_sizes(way))
