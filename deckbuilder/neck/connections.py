"""Connections: from each guide tone of a chord to the nearest tones of the next chord in the same region.

Nearest is counted in semitones. Of two tones equally near, a guide tone goes before another chord tone and the lower
one before the higher: lines resolve downward (common practice, no source). A tone that both chords share stays where
it is fingered.
"""

from collections.abc import Iterable
from collections.abc import Set as AbstractSet
from dataclasses import dataclass

from deckbuilder.neck.fingering import FingeredNote
from deckbuilder.neck.tuning import NeckError


@dataclass(frozen=True, slots=True)
class Connection:
    """The ways on from one guide tone.

    Args:
        start: a guide tone of the first chord.
        guide: the nearest guide tone of the second.
        tone: the nearest tone of the second chord, guide tone or not.
    """

    start: FingeredNote
    guide: FingeredNote
    tone: FingeredNote

    @property
    def guide_step(self) -> int:
        """Semitones from the start up to the guide tone, negative for down, 0 for a tone that stays."""
        return self.guide.midi - self.start.midi

    @property
    def tone_step(self) -> int:
        """Semitones from the start up to the chord tone, negative for down, 0 for a tone that stays."""
        return self.tone.midi - self.start.midi


def connections(
    first: Iterable[FingeredNote],
    second: Iterable[FingeredNote],
    *,
    guides: AbstractSet[int],
    next_guides: AbstractSet[int],
    next_chord: AbstractSet[int],
) -> tuple[Connection, ...]:
    """Connect every guide tone of a chord in a region to the next chord.

    Args:
        first: what the hand reaches of the first chord's scale.
        second: what it reaches of the second chord's scale.
        guides: pitch classes of the first chord's guide tones.
        next_guides: pitch classes of the second chord's guide tones.
        next_chord: pitch classes of all tones of the second chord.

    Returns:
        One connection for each guide tone in reach, from the lowest to the highest.

    Raises:
        NeckError: the hand reaches no guide tone of the second chord.
    """
    tones = [note for note in second if note.midi % 12 in next_chord | next_guides]
    targets = [note for note in tones if note.midi % 12 in next_guides]
    if not targets:
        raise NeckError("the hand reaches no guide tone of the next chord; choose another region")
    return tuple(
        Connection(start, _nearest(start, targets, next_guides), _nearest(start, tones, next_guides))
        for start in first
        if start.midi % 12 in guides
    )


def _nearest(start: FingeredNote, targets: Iterable[FingeredNote], guides: AbstractSet[int]) -> FingeredNote:
    found = min(targets, key=lambda note: (abs(note.midi - start.midi), note.midi % 12 not in guides, note.midi))
    return start if found.midi == start.midi else found
