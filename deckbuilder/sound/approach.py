"""Approaches: a chord, then tones that lead into a target, which comes on the beat.

Conventions: pitches are MIDI note numbers, tempo quarter-notes a minute, times s, A4 in Hz.
"""

from collections.abc import Sequence
from typing import Final

from deckbuilder.sound.arrangement import DEFAULT_TEMPO, LEAD_IN, check_a4, check_tempo, strum
from deckbuilder.sound.description import A4, Clip, NoteEvent, SoundError

_CHORD_BEATS: Final = 2.0
_CHORD_VELOCITY: Final = 0.45
_HELD: Final = 2.0
"""Beats of the last target."""
_APPROACH, _TARGET = 0.72, 0.88


def approached(
    chord: Sequence[int], figures: Sequence[Sequence[int]], *, tempo: float = DEFAULT_TEMPO, a4: float = A4
) -> Clip:
    """Play a chord for two beats, then each figure: its approach in eighths, its target a beat long.

    Args:
        chord: the voicing, lowest first.
        figures: approach tones and, last, the target; of all as many approach tones, an even number, so that every
            target comes on a beat.
        tempo: quarter-notes a minute.
        a4: Hz of MIDI note 69.

    Raises:
        SoundError: no figure, one that puts its target off the beat, or a tempo or pitch that cannot be played.
    """
    check_tempo(tempo)
    check_a4(a4)
    if not figures or any(len(figure) % 2 == 0 for figure in figures):
        raise SoundError("give at least one figure, each with an even number of approach tones before its target")
    beat = 60.0 / tempo
    events = list(strum(chord, LEAD_IN, _CHORD_BEATS * beat, _CHORD_VELOCITY, release=beat))
    at = _CHORD_BEATS
    for number, figure in enumerate(figures):
        *approach, target = figure
        for midi in approach:
            events.append(NoteEvent(midi=midi, start=LEAD_IN + at * beat, length=beat / 2, velocity=_APPROACH))
            at += 0.5
        held = _HELD if number == len(figures) - 1 else 1.0
        events.append(NoteEvent(midi=target, start=LEAD_IN + at * beat, length=held * beat, velocity=_TARGET))
        at += held
    return Clip(events=tuple(events), length=LEAD_IN + at * beat, a4=a4)
