"""Parts: what a note plays, divided by who plays it, for files that other programs open.

Conventions: events as in `deckbuilder.sound.description`, from the beginning of what is played.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from deckbuilder.cards.comping import change
from deckbuilder.cards.facts import Slot
from deckbuilder.cards.note import Note
from deckbuilder.sound.description import Clip, NoteEvent, Patch
from deckbuilder.sound.loops import LOOP_TEMPO, backing_loop
from deckbuilder.sound.voice_leading import Change

LINE, COMPING, BASS, CYMBAL = "line", "comping", "bass", "cymbal"
_RHYTHM: Final = {Patch.BASS: BASS, Patch.RIDE: CYMBAL, Patch.CLICK: CYMBAL}


@dataclass(frozen=True, slots=True)
class Played:
    """What is played.

    Args:
        parts: events by the part that plays them.
        length: s.
        tempo: quarter notes a minute.
    """

    parts: Mapping[str, tuple[NoteEvent, ...]]
    length: float
    tempo: float


def changes_of(note: Note) -> tuple[Change, ...]:
    """Return the changes of an improvisation as a rhythm section plays them."""
    return tuple(change(chord, beats) for chord, beats in zip(note.music.chords, note.music.beats, strict=True))


def tempo_of(note: Note) -> float:
    """Return the tempo of an improvisation's example, quarter notes a minute."""
    return round(sum(note.music.beats) * 60 / _clip(note, Slot.EXAMPLE).length, 3)


def played(note: Note) -> Played:
    """Return what a note plays: its example line over the changes, else its clip.

    Args:
        note: the note.
    """
    if Slot.EXAMPLE in note.media:
        clip, tempo = _clip(note, Slot.EXAMPLE), tempo_of(note)
        backing = backing_loop(changes_of(note), tempo=tempo, a4=clip.a4)
        return Played(_divided(clip, Counter(map(_what, backing.events))), clip.length, tempo)
    clip, run = _clip(note, Slot.CLIP), note.music.midi
    strings = [event for event in clip.events if event.patch not in _RHYTHM]
    line = strings[-len(run) :] if run else []
    # A hand is a little uneven: the whole run tells its tempo.
    eighth = (line[-1].start - line[0].start) / (len(line) - 1) if len(line) > 1 else 30 / LOOP_TEMPO
    return Played(
        _divided(clip, Counter(map(_what, strings[: len(strings) - len(line)]))), clip.length, round(30 / eighth)
    )


def one_after_the_other(pieces: Sequence[Played]) -> Mapping[str, tuple[NoteEvent, ...]]:
    """Join what is played, each piece from the end of the one before."""
    joined: dict[str, list[NoteEvent]] = {name: [] for name in (LINE, COMPING, BASS, CYMBAL)}
    at = 0.0
    for piece in pieces:
        for name, events in piece.parts.items():
            joined[name] += later(events, at)
        at += piece.length
    return {name: tuple(events) for name, events in joined.items()}


def later(events: Sequence[NoteEvent], by: float) -> Iterator[NoteEvent]:
    """Yield events so many seconds later."""
    return (replace(event, start=event.start + by) for event in events)


def _clip(note: Note, slot: Slot) -> Clip:
    clip = note.media[slot].description
    assert isinstance(clip, Clip)
    return clip


def _what(event: NoteEvent) -> tuple[int, int, Patch]:
    """Tell an event from others but for its strength; times to the microsecond."""
    return event.midi, round(event.start * 1e6), event.patch


def _divided(clip: Clip, comping: Counter[tuple[int, int, Patch]]) -> Mapping[str, tuple[NoteEvent, ...]]:
    parts: dict[str, list[NoteEvent]] = {name: [] for name in (LINE, COMPING, BASS, CYMBAL)}
    for event in clip.events:
        what = _what(event)
        if event.patch in _RHYTHM:
            parts[_RHYTHM[event.patch]].append(event)
        elif comping[what]:
            comping[what] -= 1
            parts[COMPING].append(event)
        else:
            parts[LINE].append(event)
    return {name: tuple(events) for name, events in parts.items()}
