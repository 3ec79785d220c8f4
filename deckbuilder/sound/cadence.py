"""Chord progressions to recognise by ear: held chords, one after the other, nothing else.

Conventions: tempo quarter-notes a minute, times s, A4 in Hz; chords are counted from 0.
"""

from collections.abc import Sequence
from typing import Final

from deckbuilder.sound.arrangement import DEFAULT_TEMPO, LEAD_IN, check_a4, check_tempo, strum
from deckbuilder.sound.description import A4, Clip, NoteEvent, Patch, SoundError
from deckbuilder.sound.voice_leading import Change, Voicing, check_changes, voice_led

_VELOCITY: Final = 0.65


def cadence_clip(
    changes: Sequence[Change],
    *,
    tempo: float = DEFAULT_TEMPO,
    a4: float = A4,
    missing: int | None = None,
    marked: int | None = None,
    voicings: Sequence[Voicing] | None = None,
) -> Clip:
    """Hold each chord for its beats.

    Args:
        changes: the chords.
        tempo: quarter-notes a minute.
        a4: Hz of MIDI note 69.
        missing: the chord that is left out, its time kept.
        marked: the chord whose first beat a click marks.
        voicings: how each chord is voiced, MIDI notes, ascending; None to lead the voices from chord to chord.

    Returns:
        The clip.

    Raises:
        SoundError: a value out of range, or nothing left to hear.
    """
    check_tempo(tempo)
    check_a4(a4)
    check_changes(changes)
    voicings = voice_led(changes) if voicings is None else voicings
    for name, number in (("missing", missing), ("marked", marked)):
        if number is not None and not 0 <= number < len(changes):
            raise SoundError(f"{name} chord {number} is none: use 0 to {len(changes) - 1}")
    if missing is not None and len(changes) == 1:
        raise SoundError("the only chord is missing: give at least two chords")
    beat = 60.0 / tempo
    events: list[NoteEvent] = []
    at = LEAD_IN
    for number, (change, voicing) in enumerate(zip(changes, voicings, strict=True)):
        if number == marked:
            events.append(NoteEvent(midi=76, start=at, length=0.15, velocity=0.5, patch=Patch.CLICK))
        if number != missing:
            events.extend(strum(voicing, at, change.beats * beat, _VELOCITY))
        at += change.beats * beat
    return Clip(events=tuple(events), length=at, a4=a4)
