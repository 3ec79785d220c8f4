"""Lines: an example line through changes in one region, found by dynamic programming.

Conventions: eighth notes, four beats a bar, the first chord on beat 1; time is counted in eighths from 0. Beats 1 and 3
are strong. Laws that every line keeps:

- a strong beat has a guide tone or another stable tone of its chord, wherever the hand reaches one;
- between them stand tones of the chord and its arpeggios, and approach notes: other tones of the scale, each left by a
  step of one or two semitones;
- no leap exceeds an octave, no pitch follows itself, and no two pitches alternate twice (A B A B);
- the last note falls on the last strong beat and lasts.

Within these laws the line with the least cost wins. Costs are this project's design: leaps and leaps that nothing
balances, turning back at once, stretched fingers and skipped strings, distance from a contour that rises and falls
through the region, and a little chance. Contour and chance follow from the seed alone, so that the same seed gives the
same line and another key, region or seed another one.
"""

import math
import random
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from enum import IntEnum
from itertools import pairwise
from operator import sub
from typing import Final

import numpy as np
from numpy.typing import NDArray

from deckbuilder.neck.fingering import FingeredNote
from deckbuilder.neck.tuning import NeckError, Place

BAR: Final = 8
"""Eighths in a bar."""
STRONG: Final = 4
"""Eighths from one strong beat to the next."""
WIDEST: Final = 12
"""Semitones of the widest leap."""

_APPROACH_STEP: Final = 2
_UNLAWFUL: Final = 1e4  # dearer than any lawful line, so that a law gives way only where the hand cannot keep it
_LEAPS: Final = (0.0, 0.0, 0.0, 0.3, 0.3, 0.8, 1.4, 1.2, 1.8, 2.2, 2.6, 3.0, 2.4)  # by semitones
_FIRST_ON_STABLE: Final = 1.2  # a chord announces itself by a guide tone
_LATER_ON_STABLE: Final = 0.3
_APPROACH: Final = 0.5
_TURN: Final = 0.35
_BACK: Final = 1.6  # A B A
_UNBALANCED: Final = 1.5
_WIDE: Final = 5  # semitones: a leap that wants balance
_HAND: Final = 0.8
_SKIPPED_STRING: Final = 0.4
_CROSSING: Final = 0.3  # a semitone beyond a step from chord to chord: voices lead
_CONTOUR: Final = 0.18  # a semitone
_CHANCE: Final = 3.6
_TRIES: Final = 32

_Costs = NDArray[np.float64]


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
    """

    beats: int
    candidates: tuple[Candidate, ...]


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


def candidates(
    notes: Iterable[FingeredNote],
    *,
    guides: AbstractSet[int],
    stable: AbstractSet[int],
    arpeggio: AbstractSet[int],
) -> tuple[Candidate, ...]:
    """Say what each note of a fingering is to a chord.

    Args:
        notes: what the hand reaches of the chord's scale.
        guides: pitch classes of the chord's guide tones.
        stable: pitch classes of the chord's tones that its scale keeps.
        arpeggio: pitch classes of the arpeggios over it.
    """

    def tone(pitch_class: int) -> Tone:
        if pitch_class in guides:
            return Tone.GUIDE
        if pitch_class in stable:
            return Tone.STABLE
        return Tone.ARPEGGIO if pitch_class in arpeggio else Tone.APPROACH

    return tuple(Candidate(note.midi, note.place, note.cost, tone(note.midi % 12)) for note in notes)


def line(spans: Sequence[Span], seed: str, unlike: Iterable[Sequence[LineNote]] = ()) -> tuple[LineNote, ...]:
    """Find an example line.

    Args:
        spans: the chords in order.
        seed: anything that tells this line from others: the recipe's seed, key, region and level.
        unlike: lines that this one may not resemble: at most half its notes may be theirs at the same time, up to
            transposition. Further chance is drawn from the same seed until one is found.

    Returns:
        One note an eighth up to the last strong beat, whose note lasts to the end.

    Raises:
        NeckError: there is no chord, a chord offers no note, no line keeps within an octave a step, or every one that
            is tried resembles a line of `unlike`.
    """
    if not spans or not all(span.candidates and span.beats > 0 for span in spans):
        raise NeckError("a line needs chords with notes in reach; choose another region or tuning")
    eighths = [number for number, span in enumerate(spans) for _ in range(2 * span.beats)]
    count = (len(eighths) - 1) // STRONG * STRONG + 1
    lengths = [1] * (count - 1) + [len(eighths) - count + 1]
    others = [[note.note.midi for note in other] for other in unlike]
    chance = random.Random(seed)
    for _ in range(_TRIES):
        notes = _Search(spans, eighths[:count], chance).best()
        midi = [note.midi for note in notes]
        if not any(2 * shared(midi, other) > min(len(midi), len(other)) for other in others):
            return tuple(
                LineNote(onset, length, number, note)
                for onset, (length, number, note) in enumerate(zip(lengths, eighths, notes, strict=False))
            )
    raise NeckError(f"no line found that differs from the {len(others)} others; choose another seed")


def shared(one: Sequence[int], other: Sequence[int]) -> int:
    """Return how many notes two lines share at the same time, up to the transposition that makes it most.

    Args:
        one: MIDI note numbers in order.
        other: the same of another line; what the longer has more is left out.
    """
    apart = Counter(map(sub, one, other))
    return max(apart.values(), default=0)


class _Search:
    """Dynamic programming over pairs of pitches, each with or without a turn back (A B A) behind it.

    Arrays over pitches are indexed by `pitches`, all that any chord offers, ascending: [before last, last, next].
    """

    def __init__(self, spans: Sequence[Span], eighths: Sequence[int], chance: random.Random) -> None:
        self.offers = [{note.midi: note for note in span.candidates} for span in spans]
        self.pitches = sorted({midi for offer in self.offers for midi in offer})
        self.heights = np.array(self.pitches)
        self.tones: dict[tuple[int, bool, bool], _Costs] = {}
        self.eighths = eighths
        steps = np.subtract.outer(self.pitches, self.pitches).T
        self.steps = steps
        self.turns = _turns(steps)
        wave = _contour(self.pitches, len(eighths), chance)
        self.nodes = [self._node(onset, wave[onset], chance) for onset in range(len(eighths))]
        pairs = set(pairwise(eighths))
        self.moves = {pair: self._moves(*pair) for pair in pairs}

    def best(self) -> list[Candidate]:
        """Return the notes of the cheapest line."""
        if len(self.eighths) == 1:
            return [self.offers[0][self.pitches[int(np.argmin(self.nodes[0]))]]]
        fresh = self.nodes[0][:, None] + self.moves[self.eighths[0], self.eighths[1]] + self.nodes[1][None, :]
        turned: _Costs = np.full_like(fresh, np.inf)
        trail: list[tuple[_Costs, NDArray[np.bool_]]] = []
        for onset in range(2, len(self.eighths)):
            so_far = np.minimum(fresh, turned)
            trail.append((so_far, turned < fresh))
            last = self.moves[self.eighths[onset - 1], self.eighths[onset]] + self.nodes[onset][None, :]
            fresh, turned = (so_far[:, :, None] + self.turns).min(axis=0) + last, fresh.T + _BACK + last
        return list(self._traced(fresh, turned, trail))

    def _traced(
        self, fresh: _Costs, turned: _Costs, trail: Sequence[tuple[_Costs, NDArray[np.bool_]]]
    ) -> Iterator[Candidate]:
        cheapest = np.minimum(fresh, turned)
        before, last = (int(index) for index in np.unravel_index(int(cheapest.argmin()), cheapest.shape))
        if not np.isfinite(cheapest[before, last]):
            raise NeckError("no line moves by an octave or less here; choose another region or tuning")
        is_turn = bool(turned[before, last] < fresh[before, last])
        backwards = [last, before]
        for so_far, was_turn in reversed(trail):
            earlier = last if is_turn else int((so_far[:, before] + self.turns[:, before, last]).argmin())
            is_turn = not is_turn and bool(was_turn[earlier, before])
            before, last = earlier, before
            backwards.append(before)
        for span, index in zip(self.eighths, reversed(backwards), strict=True):
            yield self.offers[span][self.pitches[index]]

    def _node(self, onset: int, height: float, chance: random.Random) -> _Costs:
        """Return what each pitch costs at a time, infinity where the chord does not offer it."""
        span = self.eighths[onset]
        first = onset == 0 or self.eighths[onset - 1] != span
        luck = np.array([chance.random() for _ in self.pitches])
        costs = (
            self._tones(span, onset % STRONG == 0, first) + _CONTOUR * np.abs(self.heights - height) + _CHANCE * luck
        )
        if onset == len(self.eighths) - 1:
            costs += [_UNLAWFUL * self._is_approach(span, midi) for midi in self.pitches]
        return costs

    def _tones(self, span: int, strong: bool, first: bool) -> _Costs:
        """Return what each pitch asks of the hand and is worth to a chord, on a strong beat or not."""
        if (span, strong, first) not in self.tones:
            offer = self.offers[span]
            self.tones[span, strong, first] = np.array(
                [
                    _HAND * offer[midi].cost + _tone_cost(offer[midi].tone, strong, first) if midi in offer else np.inf
                    for midi in self.pitches
                ]
            )
        return self.tones[span, strong, first]

    def _is_approach(self, span: int, midi: int) -> bool:
        note = self.offers[span].get(midi)
        return note is not None and note.tone is Tone.APPROACH

    def _moves(self, span: int, following: int) -> _Costs:
        """Return what it costs to go from each pitch over a chord to each pitch over the same or the next one."""
        size = np.abs(self.steps)
        costs = np.where((size > WIDEST) | (size == 0), np.inf, np.take(_LEAPS, np.minimum(size, WIDEST)))
        strings = (self._strings(span)[:, None], self._strings(following)[None, :])
        costs += _SKIPPED_STRING * np.maximum(np.abs(strings[0] - strings[1]) - 1, 0)
        approach = np.array([self._is_approach(span, midi) for midi in self.pitches])
        if span != following:
            costs += _CROSSING * np.maximum(size - _APPROACH_STEP, 0)
        costs += _UNLAWFUL * (approach[:, None] & (size > _APPROACH_STEP))
        return costs

    def _strings(self, span: int) -> NDArray[np.int_]:
        offer = self.offers[span]
        return np.array([offer[midi].place.string if midi in offer else 0 for midi in self.pitches])


def _tone_cost(tone: Tone, strong: bool, first: bool) -> float:
    if not strong:
        return _APPROACH if tone is Tone.APPROACH else 0.0
    if tone is Tone.GUIDE:
        return 0.0
    if tone is Tone.STABLE:
        return _FIRST_ON_STABLE if first else _LATER_ON_STABLE
    return _UNLAWFUL


def _turns(steps: NDArray[np.int_]) -> _Costs:
    """Return what three pitches in a row cost, infinity where the third is the first: such a turn is counted apart."""
    first, second = steps[:, :, None], steps[None, :, :]
    turning = first * second < 0
    wide, on = np.abs(first) >= _WIDE, np.abs(second) >= _WIDE
    costs = _TURN * turning + _UNBALANCED * (wide & ~turning & (on | (np.abs(first) > 2 * _WIDE)))
    return np.where(first + second == 0, np.inf, costs)


def _contour(pitches: Sequence[int], count: int, chance: random.Random) -> list[float]:
    """Return the height that a line tends to at each time: two waves about the middle of the region."""
    low, high = pitches[0], pitches[-1]
    period, phase = chance.uniform(9, 19), chance.random()
    slow_period, slow_phase = chance.uniform(24, 48), chance.random()

    def height(onset: int) -> float:
        wave = math.sin(math.tau * (onset / period + phase)) + 0.6 * math.sin(
            math.tau * (onset / slow_period + slow_phase)
        )
        return (low + high) / 2 + 0.32 * (high - low) * wave

    return [height(onset) for onset in range(count)]
