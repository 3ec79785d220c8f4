"""Connections: the shortest ways from a tone of a chord to the tones of the next chord in the same region.

Nearest is counted in semitones, between any two places that the hand reaches. Two tones may be equally near; then the
ways to both are found, that to a guide tone first, else the one downward: lines resolve downward (common practice, no
source). A tone that both chords share stays where it is fingered.
"""

from collections.abc import Iterable
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from itertools import product

from deckbuilder.neck.fingering import FingeredNote


@dataclass(frozen=True, slots=True)
class Way:
    """A way from one place to another.

    Args:
        start: where it begins, a tone of the first chord.
        end: where it leads, a tone of the second; `start` itself for a tone that stays.
    """

    start: FingeredNote
    end: FingeredNote

    @property
    def step(self) -> int:
        """Semitones from the start up to the end, negative for down, 0 for a tone that stays."""
        return self.end.midi - self.start.midi


def nearest(
    starts: Iterable[FingeredNote], targets: Iterable[FingeredNote], guides: AbstractSet[int]
) -> tuple[Way, ...]:
    """Return the shortest ways from a tone to the next chord.

    Args:
        starts: where the hand has the tone.
        targets: where it has the tones that count.
        guides: pitch classes of the next chord's guide tones.

    Returns:
        Every way than which none is shorter: to guide tones first, then downward, then from the lowest start. None
        where the hand has no start or no target.
    """
    ways = [Way(start, start if end.midi == start.midi else end) for start, end in product(starts, targets)]
    least = min((abs(way.step) for way in ways), default=0)
    return tuple(
        sorted(
            (way for way in ways if abs(way.step) == least),
            key=lambda way: (way.end.midi % 12 not in guides, way.step, way.start.midi),
        )
    )
