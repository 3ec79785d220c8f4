"""What lines are made of: chords with the notes they offer, phrases, places in time, notes.

Conventions: eighth notes, four beats a bar, the first chord on beat 1; time is counted in eighths from 0. Beats 1 and 3
are strong.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import IntEnum
from typing import Final

from deckbuilder.neck.tuning import Place

BAR: Final = 8
"""Eighths in a bar."""
STRONG: Final = 4
"""Eighths from one strong beat to the next."""
BEAT: Final = 2
"""Eighths in a beat."""


class Tone(IntEnum):
    """What a note is to its chord."""

    GUIDE = 0
    STABLE = 1
    """Another tone of the chord that its scale keeps."""
    ARPEGGIO = 2
    """A tone of an arpeggio that carries the chord."""
    APPROACH = 3
    """Any other tone of the scale."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """A note that a line may use over a chord.

    Args:
        midi: MIDI note number.
        place: where it is fretted.
        cost: what it asks of the hand, as in `deckbuilder.neck.fingering`.
        tone: what it is to the chord.
    """

    midi: int
    place: Place
    cost: int
    tone: Tone


@dataclass(frozen=True, slots=True)
class Span:
    """A chord of the changes as a line sees it.

    Args:
        beats: how long it lasts.
        candidates: the notes it offers, each pitch once.
        landing: pitch classes of which the first note over it is one; None for any.
    """

    beats: int
    candidates: tuple[Candidate, ...]
    landing: frozenset[int] | None = None


@dataclass(frozen=True, slots=True)
class Phrase:
    """A part of a line that has no rest.

    Args:
        begin: its first note's onset, in eighths from the line's beginning.
        end: when its last note ends, at least a beat later.
    """

    begin: int
    end: int


@dataclass(frozen=True, slots=True)
class LineNote:
    """A note of a line.

    Args:
        onset: when it begins, in eighths from the line's beginning.
        length: how long it lasts, in eighths.
        span: index of the chord it is played over.
        note: pitch, place and what it is to the chord.
    """

    onset: int
    length: int
    span: int
    note: Candidate

    @property
    def is_strong(self) -> bool:
        """Whether it falls on beat 1 or 3."""
        return self.onset % STRONG == 0


@dataclass(frozen=True, slots=True)
class Slot:
    """Where a note goes: onset and length in eighths, and the index of the chord that sounds."""

    onset: int
    length: int
    span: int

    @property
    def ends_phrase(self) -> bool:
        """Whether it is the last of its phrase."""
        return self.length > 1


def slots(spans: Sequence[Span], phrase: Phrase) -> Iterator[Slot]:
    """Yield where the notes of a running phrase go: one an eighth up to its last note, which lasts.

    Args:
        spans: the chords in order.
        phrase: when it plays.
    """
    sounding = [number for number, span in enumerate(spans) for _ in range(BEAT * span.beats)]
    last = (phrase.end - 1) // STRONG * STRONG
    if last <= phrase.begin:
        last = (phrase.end - 1) // BEAT * BEAT
    last = max(last, phrase.begin, sounding.index(sounding[phrase.end - 1]))
    for onset in range(phrase.begin, last):
        yield Slot(onset, 1, sounding[onset])
    yield Slot(last, phrase.end - last, sounding[last])
