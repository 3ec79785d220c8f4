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
from collections.abc import Iterable, Mapping, Sequence
from collections.abc import Set as AbstractSet
from itertools import accumulate, pairwise
from typing import Final

from deckbuilder.neck.fingering import FingeredNote
from deckbuilder.neck.linenotes import BAR, BEAT, Candidate, LineNote, Phrase, Slot, Span, Tone, slots
from deckbuilder.neck.linesearch import CHANCE, HAND, LEAPS, NO_LINE, WIDEST, Search
from deckbuilder.neck.tuning import NeckError

_TRIES: Final = 32
_TOLD_APART: Final = BAR  # notes; fewer are a figure, which any line may share


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
    places = [slot for phrase in phrases for slot in slots(spans, phrase)]
    others = [melody(other) for other in unlike if len(other) >= _TOLD_APART] if len(places) >= _TOLD_APART else []
    chance = random.Random(seed)
    for _ in range(_TRIES):
        notes = Search(spans, places, chance).best()
        found = tuple(_line_note(*pair) for pair in zip(places, notes, strict=True))
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
    costs = [_way_cost(way) + CHANCE * chance.random() for way in ways]
    cheapest = min(range(len(ways)), key=costs.__getitem__)
    if math.isinf(costs[cheapest]):
        raise NeckError(NO_LINE)
    begins = accumulate((BEAT * span.beats for span in spans), initial=0)
    return tuple(
        LineNote(begin, BEAT * span.beats, number, note)
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


def _check(spans: Sequence[Span]) -> None:
    if not spans or not all(span.candidates and span.beats > 0 for span in spans):
        raise NeckError("a line needs chords with notes in reach; choose another region or tuning")


def _line_note(slot: Slot, note: Candidate) -> LineNote:
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
    return sum(HAND * note.cost for note in way) + sum(LEAPS[size] if size <= WIDEST else math.inf for size in sizes)
