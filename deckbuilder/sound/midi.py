"""Standard MIDI Files of what is played, for notation and audio programs.

Conventions: one track a part, named after it, and one before them for title, tempo and metre; a quarter note is 960
ticks. Times are those that are played: swing and feel are in them. Programs and the ride cymbal's key are General
MIDI's (MIDI Manufacturers Association, General MIDI System Level 1).
"""

from collections.abc import Mapping, Sequence
from io import BytesIO
from itertools import pairwise
from typing import Any, Final

from deckbuilder.sound.description import NoteEvent, Patch

TICKS: Final = 960
"""In a quarter note."""

_JAZZ_GUITAR, _ACOUSTIC_BASS = 26, 32
_PERCUSSION: Final = 9
_RIDE, _WOOD_BLOCK = 51, 76
_DRUMS: Final = {Patch.RIDE: _RIDE, Patch.CLICK: _WOOD_BLOCK}


def midi_file(title: str, tempo: float, parts: Mapping[str, Sequence[NoteEvent]]) -> bytes:
    """Write parts as a Standard MIDI File of format 1.

    Args:
        title: the first track's name.
        tempo: quarter notes a minute.
        parts: what each plays, by its name; parts that play nothing are left out.
    """
    import mido

    file = mido.MidiFile(type=1, ticks_per_beat=TICKS, charset="utf-8")
    file.tracks.append(
        mido.MidiTrack(
            [
                mido.MetaMessage("track_name", name=title),
                mido.MetaMessage("set_tempo", tempo=mido.bpm2tempo(tempo)),
                mido.MetaMessage("time_signature", numerator=4, denominator=4),
                mido.MetaMessage("end_of_track"),
            ]
        )
    )
    for channel, (name, events) in enumerate((name, events) for name, events in parts.items() if events):
        file.tracks.append(mido.MidiTrack(_track(name, events, channel, TICKS * tempo / 60)))
    stream = BytesIO()
    file.save(file=stream)
    return stream.getvalue()


def _track(name: str, events: Sequence[NoteEvent], channel: int, ticks: float) -> list[Any]:
    import mido

    drums = events[0].patch in _DRUMS
    channel = _PERCUSSION if drums else channel
    messages: list[Any] = [mido.MetaMessage("track_name", name=name)]
    if not drums:
        program = _ACOUSTIC_BASS if events[0].patch is Patch.BASS else _JAZZ_GUITAR
        messages.append(mido.Message("program_change", channel=channel, program=program))
    at = 0
    for when, is_on, key, velocity in sorted(_strokes(events, ticks)):
        kind = "note_on" if is_on else "note_off"
        messages.append(mido.Message(kind, channel=channel, note=key, velocity=velocity, time=when - at))
        at = when
    return [*messages, mido.MetaMessage("end_of_track")]


def _strokes(events: Sequence[NoteEvent], ticks: float) -> list[tuple[int, bool, int, int]]:
    """Return when each key goes down and up: tick, whether it goes down, key and velocity.

    It goes up at the latest when it is struck again.
    """
    by_key: dict[int, list[NoteEvent]] = {}
    for event in events:
        by_key.setdefault(_DRUMS.get(event.patch, event.midi), []).append(event)
    strokes = []
    for key, struck in by_key.items():
        struck.sort(key=lambda event: event.start)
        ends = [*(other.start for _, other in pairwise(struck)), float("inf")]
        for event, end in zip(struck, ends, strict=True):
            begin = round(event.start * ticks)
            strokes.append((begin, True, key, max(1, round(127 * event.velocity))))
            strokes.append((max(begin + 1, round(min(event.start + event.length, end) * ticks)), False, key, 0))
    return strokes
