"""Lines: an example line through changes in one region, in running eighths or one note a chord.

Conventions: eighth notes, four beats a bar, the first chord on beat 1; time is counted in eighths from 0. Beats 1 and 3
are strong. A running line is found by dynamic programming. Laws that it keeps:

- it plays in the phrases it is given, a note an eighth, and rests outside them;
- the first note over a chord is one that the chord says to land on, if it says so;
- a strong beat has a guide tone or another stable tone of its chord, wherever the hand reaches one;
- between them stand tones of the chord and its arpeggios, and approach notes: other tones of the scale, each left by a
  step of one or two semitones;
- no leap exceeds an octave, no pitch follows itself, and no two pitches alternate twice (A B A B), across a rest too;
- a phrase's last note falls on its last strong beat and lasts; on its last beat where the only strong beat is its
  first, and on its last chord's first beat where that comes later.

Within these laws the line with the least cost wins. Costs are this project's design: leaps and leaps that nothing
balances, turning back at once, stretched fingers and skipped strings, distance from a contour that rises and falls
through the region, and a little chance. Contour and chance follow from the seed alone, so that the same seed gives the
same line and another key, region or seed another one.

A held line has one note a chord, each the nearest of its chord's to the one before: it follows from where it begins.
"""

import math
import random
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from enum import IntEnum
from itertools import accumulate, pairwise
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

_BEAT: Final = 2
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
_TOLD_APART: Final = BAR  # notes; fewer are a figure, which any line may share
_NO_LINE: Final = "no line moves by an octave or less here; choose another region or tuning"

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


def line(
    spans: Sequence[Span], phrases: Sequence[Phrase], seed: str, unlike: Iterable[Sequence[LineNote]] = ()
) -> tuple[LineNote, ...]:
    """Find a running line.

    Args:
        spans: the chords in order.
        phrases: when it plays, in order, within the chords.
        seed: anything that tells this line from others: the recipe's seed, key, region and level.
        unlike: lines that this one may not resemble: at most half its notes may be theirs at the same time, up to
            transposition. Further chance is drawn from the same seed until one is found. Lines of less than a bar's
            notes are not compared.

    Returns:
        One note an eighth of each phrase up to its last note, which lasts.

    Raises:
        NeckError: there is no chord, a chord offers no note, no line lands where it has to and keeps within an octave
            a step, or every one that is tried resembles a line of `unlike`.
    """
    _check(spans)
    slots = [slot for phrase in phrases for slot in _slots(spans, phrase)]
    others = [melody(other) for other in unlike if len(other) >= _TOLD_APART] if len(slots) >= _TOLD_APART else []
    chance = random.Random(seed)
    for _ in range(_TRIES):
        notes = _Search(spans, slots, chance).best()
        found = tuple(_line_note(*pair) for pair in zip(slots, notes, strict=True))
        heard = melody(found)
        if not any(2 * shared(heard, other) > min(len(heard), len(other)) for other in others):
            return found
    raise NeckError(f"no line found that differs from the {len(others)} others; choose another seed")


def held_line(spans: Sequence[Span], seed: str) -> tuple[LineNote, ...]:
    """Find a line of one note a chord, held until the next chord, which takes the nearest of its notes to it.

    Args:
        spans: the chords in order, each with the notes that may be held over it.
        seed: anything that tells this line from others; it decides where the line begins.

    Raises:
        NeckError: there is no chord, a chord offers no note, or the nearest note is always farther than an octave.
    """
    _check(spans)
    chance = random.Random(seed)
    ways = [_nearest_way(first, spans) for first in spans[0].candidates]
    costs = [_way_cost(way) + _CHANCE * chance.random() for way in ways]
    cheapest = min(range(len(ways)), key=costs.__getitem__)
    if math.isinf(costs[cheapest]):
        raise NeckError(_NO_LINE)
    begins = accumulate((_BEAT * span.beats for span in spans), initial=0)
    return tuple(
        LineNote(begin, _BEAT * span.beats, number, note)
        for number, (begin, span, note) in enumerate(zip(begins, spans, ways[cheapest], strict=False))
    )


def melody(notes: Iterable[LineNote]) -> dict[int, int]:
    """Return a line's MIDI note numbers by their onsets."""
    return {note.onset: note.note.midi for note in notes}


def shared(one: Mapping[int, int], other: Mapping[int, int]) -> int:
    """Return how many notes two lines share at the same time, up to the transposition that makes it most.

    Args:
        one: MIDI note numbers by onset.
        other: the same of another line.
    """
    apart = Counter(midi - other[onset] for onset, midi in one.items() if onset in other)
    return max(apart.values(), default=0)


@dataclass(frozen=True, slots=True)
class _Slot:
    """Where a note goes: onset and length in eighths, and the index of the chord that sounds."""

    onset: int
    length: int
    span: int

    @property
    def ends_phrase(self) -> bool:
        return self.length > 1


def _check(spans: Sequence[Span]) -> None:
    if not spans or not all(span.candidates and span.beats > 0 for span in spans):
        raise NeckError("a line needs chords with notes in reach; choose another region or tuning")


def _slots(spans: Sequence[Span], phrase: Phrase) -> Iterator[_Slot]:
    sounding = [number for number, span in enumerate(spans) for _ in range(_BEAT * span.beats)]
    last = (phrase.end - 1) // STRONG * STRONG
    if last <= phrase.begin:
        last = (phrase.end - 1) // _BEAT * _BEAT
    last = max(last, phrase.begin, sounding.index(sounding[phrase.end - 1]))
    for onset in range(phrase.begin, last):
        yield _Slot(onset, 1, sounding[onset])
    yield _Slot(last, phrase.end - last, sounding[last])


def _line_note(slot: _Slot, note: Candidate) -> LineNote:
    return LineNote(slot.onset, slot.length, slot.span, note)


def _nearest_way(first: Candidate, spans: Sequence[Span]) -> list[Candidate]:
    """Follow the nearest note from chord to chord; of two as near, the easier and then the lower one."""
    way = [first]
    for span in spans[1:]:
        before = way[-1].midi
        way.append(min(span.candidates, key=lambda note: (abs(note.midi - before), note.cost, note.midi)))
    return way


def _way_cost(way: Sequence[Candidate]) -> float:
    sizes = [abs(after.midi - before.midi) for before, after in pairwise(way)]
    return sum(_HAND * note.cost for note in way) + sum(_LEAPS[size] if size <= WIDEST else math.inf for size in sizes)


class _Search:
    """Dynamic programming over pairs of pitches, each with or without a turn back (A B A) behind it.

    Arrays over pitches are indexed by `pitches`, all that any chord offers, ascending: [before last, last, next].
    """

    def __init__(self, spans: Sequence[Span], slots: Sequence[_Slot], chance: random.Random) -> None:
        self.spans = spans
        self.offers = [{note.midi: note for note in span.candidates} for span in spans]
        self.pitches = sorted({midi for offer in self.offers for midi in offer})
        self.heights = np.array(self.pitches)
        self.tones: dict[tuple[int, bool, bool], _Costs] = {}
        self.slots = slots
        steps = np.subtract.outer(self.pitches, self.pitches).T
        self.steps = steps
        self.turns = _turns(steps)
        height = _contour(self.pitches, chance)
        firsts = [True, *(before.span != slot.span for before, slot in pairwise(slots))]
        self.nodes = [
            self._node(slot, first, height(slot.onset), chance) for slot, first in zip(slots, firsts, strict=True)
        ]
        pairs = {(before.span, slot.span) for before, slot in pairwise(slots)}
        self.moves = {pair: self._moves(*pair) for pair in pairs}

    def best(self) -> list[Candidate]:
        """Return the notes of the cheapest line."""
        if len(self.slots) == 1:
            return [self._alone()]
        steps = [self.moves[before.span, slot.span] for before, slot in pairwise(self.slots)]
        fresh = self.nodes[0][:, None] + steps[0] + self.nodes[1][None, :]
        turned: _Costs = np.full_like(fresh, np.inf)
        trail: list[tuple[_Costs, NDArray[np.bool_]]] = []
        for step, node in zip(steps[1:], self.nodes[2:], strict=True):
            so_far = np.minimum(fresh, turned)
            trail.append((so_far, turned < fresh))
            last = step + node[None, :]
            fresh, turned = (so_far[:, :, None] + self.turns).min(axis=0) + last, fresh.T + _BACK + last
        return list(self._traced(fresh, turned, trail))

    def _alone(self) -> Candidate:
        cheapest = int(self.nodes[0].argmin())
        if not np.isfinite(self.nodes[0][cheapest]):
            raise NeckError(_NO_LINE)
        return self.offers[self.slots[0].span][self.pitches[cheapest]]

    def _traced(
        self, fresh: _Costs, turned: _Costs, trail: Sequence[tuple[_Costs, NDArray[np.bool_]]]
    ) -> Iterator[Candidate]:
        cheapest = np.minimum(fresh, turned)
        before, last = (int(index) for index in np.unravel_index(int(cheapest.argmin()), cheapest.shape))
        if not np.isfinite(cheapest[before, last]):
            raise NeckError(_NO_LINE)
        is_turn = bool(turned[before, last] < fresh[before, last])
        backwards = [last, before]
        for so_far, was_turn in reversed(trail):
            earlier = last if is_turn else int((so_far[:, before] + self.turns[:, before, last]).argmin())
            is_turn = not is_turn and bool(was_turn[earlier, before])
            before, last = earlier, before
            backwards.append(before)
        for slot, index in zip(self.slots, reversed(backwards), strict=True):
            yield self.offers[slot.span][self.pitches[index]]

    def _node(self, slot: _Slot, first: bool, height: float, chance: random.Random) -> _Costs:
        """Return what each pitch costs at a time, infinity where the chord does not offer it."""
        luck = np.array([chance.random() for _ in self.pitches])
        costs = self._tones(slot.span, slot.onset % STRONG == 0, first)
        costs = costs + _CONTOUR * np.abs(self.heights - height) + _CHANCE * luck
        if slot.ends_phrase:
            costs += [_UNLAWFUL * self._is_approach(slot.span, midi) for midi in self.pitches]
        return costs

    def _tones(self, span: int, strong: bool, first: bool) -> _Costs:
        """Return what each pitch asks of the hand and is worth to a chord, on a strong beat or not."""
        if (span, strong, first) not in self.tones:
            offer, landing = self.offers[span], self.spans[span].landing if first else None
            self.tones[span, strong, first] = np.array(
                [
                    _HAND * offer[midi].cost + _tone_cost(offer[midi].tone, strong, first)
                    if midi in offer and (landing is None or midi % 12 in landing)
                    else np.inf
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


def _contour(pitches: Sequence[int], chance: random.Random) -> Callable[[int], float]:
    """Return the height that a line tends to, by onset: two waves about the middle of the region."""
    low, high = pitches[0], pitches[-1]
    period, phase = chance.uniform(9, 19), chance.random()
    slow_period, slow_phase = chance.uniform(24, 48), chance.random()

    def height(onset: int) -> float:
        wave = math.sin(math.tau * (onset / period + phase)) + 0.6 * math.sin(
            math.tau * (onset / slow_period + slow_phase)
        )
        return (low + high) / 2 + 0.32 * (high - low) * wave

    return height
