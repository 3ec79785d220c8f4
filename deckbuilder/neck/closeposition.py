"""Close position: an arpeggio within one octave from its root, at the hand position nearest the nut."""

from collections.abc import Iterator

from deckbuilder.neck.fingering import Fingering, fingering
from deckbuilder.neck.tuning import Tuning

_OCTAVE = 12


def close_position(tuning: Tuning, chord: tuple[int, ...], *, frets: int) -> Fingering:
    """Finger a chord's tones one after the other, ascending from the root within an octave.

    Args:
        tuning: the open strings.
        chord: the chord's pitch classes, root first, each above the one before.
        frets: the highest fret of the neck.

    Returns:
        One note per tone, at the first hand position that holds them all without a stretch or a shift at either end.
        Where none does, at the position that reaches most of them, with the least strain; `missing` are the pitches of
        those that no place within its reach gives.
    """
    positions = range(min(_OCTAVE, frets + 1))
    for index_fret in positions:
        for found in _from_roots(fingering(tuning, frozenset(chord), index_fret, frets=frets), chord):
            if not found.missing:
                return found
    strained = (
        found
        for index_fret in positions
        for found in _from_roots(fingering(tuning, frozenset(chord), index_fret, frets=frets, dear_ends=True), chord)
    )
    return min(strained, key=lambda found: (len(found.missing), found.cost))


def _from_roots(reached: Fingering, chord: tuple[int, ...]) -> Iterator[Fingering]:
    """Yield what a hand position holds of a chord from each of its roots, lowest first."""
    by_midi = {note.midi: note for note in reached.notes}
    for root in (midi for midi in by_midi if midi % _OCTAVE == chord[0]):
        run = [root + (pitch_class - chord[0]) % _OCTAVE for pitch_class in chord]
        notes = tuple(by_midi[midi] for midi in run if midi in by_midi)
        yield Fingering(reached.index_fret, notes, tuple(midi for midi in run if midi not in by_midi))
