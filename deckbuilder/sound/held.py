"""Held chords over a bass: grips one after the other, each with its root below.

Conventions: pitches are MIDI note numbers, tempo quarter-notes a minute, times s, A4 in Hz.
"""

from collections.abc import Sequence
from typing import Final

from deckbuilder.sound.arrangement import DEFAULT_TEMPO, LEAD_IN, check_a4, check_tempo, strum
from deckbuilder.sound.description import A4, Clip, NoteEvent, Patch, SoundError

_LOWEST_BASS: Final = 28  # E1
_CHORD_VELOCITY, _BASS_VELOCITY = 0.6, 0.7


def held_over_bass(
    chords: Sequence[tuple[int, Sequence[int]]],
    beats: int,
    *,
    tempo: float = DEFAULT_TEMPO,
    a4: float = A4,
    patch: Patch = Patch.GUITAR,
) -> Clip:
    """Hold each chord for some beats, a plucked bass with its root below it.

    Args:
        chords: the root's pitch class and the voicing of each chord, as it is struck.
        beats: how long each lasts.
        tempo: quarter-notes a minute.
        a4: Hz of MIDI note 69.
        patch: what plays the voicings.

    Raises:
        SoundError: no chord, or a tempo or pitch that cannot be played.
    """
    check_tempo(tempo)
    check_a4(a4)
    if not chords or beats < 1:
        raise SoundError("give at least one chord and one beat for each")
    long = beats * 60.0 / tempo
    events: list[NoteEvent] = []
    for number, (root, voicing) in enumerate(chords):
        at = LEAD_IN + number * long
        bass = _LOWEST_BASS + (root - _LOWEST_BASS) % 12
        events.append(NoteEvent(midi=bass, start=at, length=long, velocity=_BASS_VELOCITY, patch=Patch.BASS))
        events.extend(strum(voicing, at, long, _CHORD_VELOCITY))
    return Clip(events=tuple(events), length=LEAD_IN + len(chords) * long, a4=a4).played_on(patch)
