"""The search for a running line: the cheapest way through the notes that chords offer, by dynamic programming.

Costs are this project's design; `deckbuilder.neck.lines` states the laws that they keep.
"""

import math
import random
from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from deckbuilder.neck.linenotes import STRONG, Candidate, Slot, Span, Tone
from deckbuilder.neck.tuning import NeckError

WIDEST: Final = 12
"""Semitones of the widest leap."""
LEAPS: Final = (0.0, 0.0, 0.0, 0.3, 0.3, 0.8, 1.4, 1.2, 1.8, 2.2, 2.6, 3.0, 2.4)
"""Cost of a step or leap, by semitones."""
HAND: Final = 0.8
"""Cost of what a note asks of the hand."""
CHANCE: Final = 3.6
"""Cost of a note's luck, at most."""
BACK: Final = 1.6
"""Cost of a turn back, A B A."""
NO_LINE: Final = "no line moves by an octave or less here; choose another region or tuning"

_APPROACH_STEP: Final = 2
_UNLAWFUL: Final = 1e4  # dearer than any lawful line, so that a law gives way only where the hand cannot keep it
_FIRST_ON_STABLE: Final = 1.2  # a chord announces itself by a guide tone
_LATER_ON_STABLE: Final = 0.3
_APPROACH: Final = 0.5
_TURN: Final = 0.35
_UNBALANCED: Final = 1.5
_WIDE: Final = 5  # semitones: a leap that wants balance
_SKIPPED_STRING: Final = 0.4
_CROSSING: Final = 0.3  # a semitone beyond a step from chord to chord: voices lead
_CONTOUR: Final = 0.18  # a semitone

_Costs = NDArray[np.float64]


class Search:
    """Dynamic programming over pairs of pitches, each with or without a turn back (A B A) behind it.

    Arrays over pitches are indexed by `pitches`, all that any chord offers, ascending: [before last, last, next].

    Args:
        spans: the chords in order.
        slots: where notes go, in order.
        chance: of the contour and of a note's luck.
    """

    def __init__(self, spans: Sequence[Span], slots: Sequence[Slot], chance: random.Random) -> None:
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
            fresh, turned = (so_far[:, :, None] + self.turns).min(axis=0) + last, fresh.T + BACK + last
        return list(self._traced(fresh, turned, trail))

    def _alone(self) -> Candidate:
        cheapest = int(self.nodes[0].argmin())
        if not np.isfinite(self.nodes[0][cheapest]):
            raise NeckError(NO_LINE)
        return self.offers[self.slots[0].span][self.pitches[cheapest]]

    def _traced(
        self, fresh: _Costs, turned: _Costs, trail: Sequence[tuple[_Costs, NDArray[np.bool_]]]
    ) -> Iterator[Candidate]:
        cheapest = np.minimum(fresh, turned)
        before, last = (int(index) for index in np.unravel_index(int(cheapest.argmin()), cheapest.shape))
        if not np.isfinite(cheapest[before, last]):
            raise NeckError(NO_LINE)
        is_turn = bool(turned[before, last] < fresh[before, last])
        backwards = [last, before]
        for so_far, was_turn in reversed(trail):
            earlier = last if is_turn else int((so_far[:, before] + self.turns[:, before, last]).argmin())
            is_turn = not is_turn and bool(was_turn[earlier, before])
            before, last = earlier, before
            backwards.append(before)
        for slot, index in zip(self.slots, reversed(backwards), strict=True):
            yield self.offers[slot.span][self.pitches[index]]

    def _node(self, slot: Slot, first: bool, height: float, chance: random.Random) -> _Costs:
        """Return what each pitch costs at a time, infinity where the chord does not offer it."""
        luck = np.array([chance.random() for _ in self.pitches])
        costs = self._tones(slot.span, slot.onset % STRONG == 0, first)
        costs = costs + _CONTOUR * np.abs(self.heights - height) + CHANCE * luck
        if slot.ends_phrase:
            costs += [_UNLAWFUL * self._is_approach(slot.span, midi) for midi in self.pitches]
        return costs

    def _tones(self, span: int, strong: bool, first: bool) -> _Costs:
        """Return what each pitch asks of the hand and is worth to a chord, on a strong beat or not."""
        if (span, strong, first) not in self.tones:
            offer, landing = self.offers[span], self.spans[span].landing if first else None
            self.tones[span, strong, first] = np.array(
                [
                    HAND * offer[midi].cost + _tone_cost(offer[midi].tone, strong, first)
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
        costs = np.where((size > WIDEST) | (size == 0), np.inf, np.take(LEAPS, np.minimum(size, WIDEST)))
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
