"""What a tuning costs the hand: stretches, shifts and tones out of reach, counted over a whole deck's scales.

Convention: the scales are each key's own and the altered scales of its V and VI, in every region of twelve keys.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from deckbuilder.neck.fingering import Fingering
from deckbuilder.neck.instrument import Instrument
from deckbuilder.neck.regions import DEFAULT_REGIONS
from deckbuilder.theory.colours import COLOURS
from deckbuilder.theory.functions import FUNCTIONS, harmony
from deckbuilder.theory.keys import DEFAULT_KEYS, Key
from deckbuilder.theory.scales import Scale


@dataclass(frozen=True, slots=True)
class Survey:
    """Totals over every scale in every region of twelve keys.

    Args:
        fingerings: how many fingerings were counted.
        notes: notes in them.
        stretches: notes one fret outside the hand.
        shifts: notes for which the hand moves.
        missing: tones that the hand does not reach.
    """

    fingerings: int
    notes: int
    stretches: int
    shifts: int
    missing: int


def survey(instrument: Instrument, count: int = DEFAULT_REGIONS) -> Survey:
    """Count what an instrument costs the hand.

    Args:
        instrument: the tuned neck.
        count: number of regions, 3 to 7.

    Raises:
        NeckError: no set of so many regions covers the octave on this neck.
    """
    found = tuple(_fingerings(instrument, count))
    return Survey(
        fingerings=len(found),
        notes=sum(len(fingering.notes) for fingering in found),
        stretches=sum(fingering.stretches for fingering in found),
        shifts=sum(fingering.shifts for fingering in found),
        missing=sum(len(fingering.missing) for fingering in found),
    )


def _fingerings(instrument: Instrument, count: int) -> Iterator[Fingering]:
    for name in DEFAULT_KEYS:
        key = Key.parse(name)
        for region in instrument.regions(key.tonic.pitch_class, count):
            for scale in _scales(key):
                yield instrument.fingering(scale.pitch_classes, region.index_fret)


def _scales(key: Key) -> Iterator[Scale]:
    yield key.scale
    for function in ("V", "VI"):
        yield harmony(key, FUNCTIONS[function], COLOURS["altered"]).scale
