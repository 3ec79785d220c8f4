"""Close position: an arpeggio within one octave from its root, at the hand position nearest the nut."""

from deckbuilder.neck.fingering import FingeredNote, fingering
from deckbuilder.neck.tuning import Tuning

_OCTAVE = 12


def close_position(tuning: Tuning, chord: tuple[int, ...], *, frets: int) -> tuple[FingeredNote, ...]:
    """Finger a chord's tones one after the other, ascending from the root within an octave.

    Args:
        tuning: the open strings.
        chord: the chord's pitch classes, root first, each above the one before.
        frets: the highest fret of the neck.

    Returns:
        One note per tone. Where no hand position below the twelfth fret reaches them all, the longest part that one
        position reaches, from the root on.
    """
    best: tuple[FingeredNote, ...] = ()
    for index_fret in range(min(_OCTAVE, frets + 1)):
        notes = fingering(tuning, frozenset(chord), index_fret, frets=frets).notes
        by_midi = {note.midi: note for note in notes}
        for root in (note for note in notes if note.midi % _OCTAVE == chord[0]):
            found = _from_root(by_midi, root, chord)
            if len(found) > len(best):
                best = found
        if len(best) == len(chord):
            break
    return best


def _from_root(
    by_midi: dict[int, FingeredNote], root: FingeredNote, chord: tuple[int, ...]
) -> tuple[FingeredNote, ...]:
    found = []
    for pitch_class in chord:
        note = by_midi.get(root.midi + (pitch_class - chord[0]) % _OCTAVE)
        if note is None:
            break
        found.append(note)
    return tuple(found)
