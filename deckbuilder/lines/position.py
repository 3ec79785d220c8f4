"""What a hand reaches in a region: the scale where it is learned, and the chromatic tones between.

A tone of the chord's scale has the place that the scale's fingering gives it; any other has the cheapest place in the
region, at most one fret outside the hand.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

from deckbuilder.neck.fingering import FingeredNote
from deckbuilder.neck.hand import STRETCH
from deckbuilder.neck.instrument import Instrument

_CHROMATIC = frozenset(range(12))


@dataclass(frozen=True, slots=True)
class Position:
    """A hand in a region.

    Args:
        instrument: the tuned neck.
        index_fret: the fret under the first finger.
    """

    instrument: Instrument
    index_fret: int


@lru_cache(maxsize=4096)
def reach(position: Position, pitch_classes: frozenset[int]) -> Mapping[int, FingeredNote]:
    """Return what a hand reaches, by MIDI number.

    Args:
        position: the hand in its region.
        pitch_classes: the scale whose fingering comes first.
    """
    scale = position.instrument.fingering(pitch_classes, position.index_fret).notes
    between = {note.midi: note for note in _chromatic(position) if note.midi % 12 not in pitch_classes}
    return MappingProxyType(between | {note.midi: note for note in scale})


@lru_cache(maxsize=256)
def _chromatic(position: Position) -> tuple[FingeredNote, ...]:
    notes = position.instrument.fingering(_CHROMATIC, position.index_fret).notes
    return tuple(note for note in notes if note.cost <= STRETCH)
