"""Fingerings: each tone of a scale once, at its cheapest place under one hand position.

Rule: the hand, and what a place costs it, are the instrument's (`deckbuilder.neck.hand`). Tones that need a stretch or
a shift at the lower or upper end are dropped, since the next region has them without. In the open position open
strings come first.
Source: this project's design.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from typing import NamedTuple

from deckbuilder.neck.hand import REACH, SHIFT, STRETCH, Hand
from deckbuilder.neck.tuning import Place, Tuning


@dataclass(frozen=True, slots=True)
class FingeredNote:
    """One note of a fingering.

    Args:
        midi: MIDI note number.
        place: where it is fretted.
        cost: 0 under the hand, `STRETCH` or `SHIFT` outside it.
        finger: 1 to 4, 0 for an open string.
    """

    midi: int
    place: Place
    cost: int
    finger: int


class _Choice(NamedTuple):
    """A place where a tone may be fretted, and what it costs."""

    midi: int
    place: Place
    cost: int


@dataclass(frozen=True, slots=True)
class Fingering:
    """Notes in ascending order, each pitch once.

    Args:
        index_fret: the fret under the first finger.
        notes: the notes.
        missing: MIDI numbers of tones between the lowest and the highest note that no place gives.
    """

    index_fret: int
    notes: tuple[FingeredNote, ...]
    missing: tuple[int, ...] = ()

    @property
    def cost(self) -> int:
        """Sum of the notes' costs."""
        return sum(note.cost for note in self.notes)

    @property
    def stretches(self) -> int:
        """Number of stretched notes."""
        return sum(note.cost == STRETCH for note in self.notes)

    @property
    def shifts(self) -> int:
        """Number of notes for which the hand moves."""
        return sum(note.cost == SHIFT for note in self.notes)

    def run(self, pitch_classes: AbstractSet[int]) -> tuple[FingeredNote, ...]:
        """Return the notes that belong to an arpeggio, lowest to highest.

        Args:
            pitch_classes: the arpeggio's pitch classes.
        """
        return tuple(note for note in self.notes if note.midi % 12 in pitch_classes)


def fingering(
    tuning: Tuning,
    pitch_classes: AbstractSet[int],
    index_fret: int,
    *,
    frets: int,
    lowest_fret: int = 0,
    dear_ends: bool = False,
) -> Fingering:
    """Finger a scale in one hand position.

    Args:
        tuning: the open strings and the hand that plays them.
        pitch_classes: the scale's pitch classes.
        index_fret: the fret under the first finger.
        frets: the highest fret of the neck.
        lowest_fret: lowest fret that may be used; 0 allows open strings, which are free where `index_fret` is 0 or 1.
        dear_ends: whether tones at either end that need a stretch or a shift are kept.

    Returns:
        The fingering; it has no notes where the hand reaches no tone of the scale.
    """
    choices = _choices(tuning, pitch_classes, index_fret, range(lowest_fret, frets + 1))
    spans = _free_spans(choices.values())
    chosen = []
    for _, places in sorted(choices.items()):
        best = min(places, key=lambda note: _dearness(note, spans)) if len(places) > 1 else places[0]
        spans[best.place.string] = _widened(spans, best)
        chosen.append(best)
    kept = chosen if dear_ends else _without_dear_ends(chosen)
    notes = tuple(_fingered(kept, tuning.hand, index_fret))
    return Fingering(index_fret, notes, _missing(notes, pitch_classes))


def _choices(
    tuning: Tuning, pitch_classes: AbstractSet[int], index_fret: int, neck: range
) -> Mapping[int, list[_Choice]]:
    """Return every reachable place of every tone, by MIDI number."""
    found: dict[int, list[_Choice]] = {}
    covered = tuning.hand.frets(index_fret)
    reach = range(max(covered.start - REACH, neck.start), min(covered.stop + REACH, neck.stop))
    costs = {fret: tuning.hand.cost(fret, index_fret) for fret in reach}
    for string, open_midi in tuning.numbered():
        for fret in reach:
            midi = open_midi + fret
            if midi % 12 in pitch_classes:
                found.setdefault(midi, []).append(_Choice(midi, Place(string, fret), costs[fret]))
    return found


def _fingered(choices: Sequence[_Choice], hand: Hand, index_fret: int) -> Iterator[FingeredNote]:
    """Give each note its finger, which depends on what else its string has."""
    strings: dict[int, list[int]] = {}
    for choice in choices:
        strings.setdefault(choice.place.string, []).append(choice.place.fret)
    fingers = {string: hand.on_string(frets, index_fret) for string, frets in strings.items()}
    for midi, place, cost in choices:
        yield FingeredNote(midi, place, cost, fingers[place.string][place.fret])


def _dearness(note: _Choice, spans: Mapping[int, range]) -> tuple[int, bool, int, int, int]:
    """Return what places of one tone are chosen by, cheapest first."""
    return note.cost, note.place.fret > 0, len(_widened(spans, note)), note.place.fret, note.place.string


def _free_spans(choices: Iterable[Sequence[_Choice]]) -> dict[int, range]:
    """Return the frets that each string's free notes span, open strings aside."""
    spans: dict[int, range] = {}
    for places in choices:
        for note in places:
            if note.cost == 0:
                spans[note.place.string] = _widened(spans, note)
    return spans


def _widened(spans: Mapping[int, range], note: _Choice) -> range:
    """Return the frets a string spans together with one more note: the tie-break between places of equal cost.

    A fourth finger that goes one fret up after a string's other notes is easier than a first finger that goes back on
    a string the hand already fills, and the other way round.
    """
    fret = note.place.fret
    span = spans.get(note.place.string, range(0))
    if fret == 0:
        return span
    return range(min(span.start, fret), max(span.stop, fret + 1)) if span else range(fret, fret + 1)


def _without_dear_ends(notes: Sequence[_Choice]) -> tuple[_Choice, ...]:
    free = [position for position, note in enumerate(notes) if note.cost == 0]
    return tuple(notes[free[0] : free[-1] + 1]) if free else ()


def _missing(notes: Sequence[FingeredNote], pitch_classes: AbstractSet[int]) -> tuple[int, ...]:
    if not notes:
        return ()
    reached = {note.midi for note in notes}
    between = range(notes[0].midi, notes[-1].midi)
    return tuple(midi for midi in between if midi % 12 in pitch_classes and midi not in reached)
