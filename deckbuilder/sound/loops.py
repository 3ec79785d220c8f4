"""Backing loops: bass, comping, cymbal and count-in over a list of chords.

Conventions: pitches are MIDI note numbers, pitch classes 0–11 from C, intervals semitones above the root,
tempo quarter-notes a minute, times s. Four beats a bar; `feel` swings what is played and moves it about. The bass
has the root and the comping leaves it out (`bassline`, `rhythms`, `voice_leading`). What is common practice, no source:
the cymbal leans on 2 and 4, a count-in has two halves and four quarters.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from operator import attrgetter
from typing import Final

from deckbuilder.sound.arrangement import check_a4, check_tempo, strum
from deckbuilder.sound.bassline import bass_line
from deckbuilder.sound.description import A4, Clip, NoteEvent, Patch, SoundError
from deckbuilder.sound.feel import laid_back, stray, swung, touched
from deckbuilder.sound.rhythms import strokes
from deckbuilder.sound.voice_leading import Change, check_changes, voice_led

LOOP_TEMPO: Final = 120.0
"""Quarter-notes a minute: medium swing."""
LONGEST_LOOP: Final = 90.0
"""s; twelve bars once and their count-in at the slowest tempo."""

_BAR: Final = 4  # beats
_COUNT_IN: Final = 2 * _BAR
_RINGS: Final = 3.0  # s; a ride rings on under the strokes that follow
_LINE_ON, _LINE_OFF = 0.9, 0.82  # an off-beat eighth is lighter
_UNDER_A_LINE: Final = 0.7  # the rhythm section's velocity, as a share of what it is alone
_COMPED_ON, _COMPED_OFF = 0.6, 0.55
_BASS_ON_ONE, _BASS = 0.65, 0.55
_DETACHED: Final = 0.96  # of its length a note of the rhythm section sounds
_KEPT: Final = 128  # loops that are remembered


def backing_loop(
    changes: Sequence[Change],
    *,
    tempo: float = LOOP_TEMPO,
    a4: float = A4,
    choruses: int = 1,
    count_in: bool = False,
) -> Clip:
    """Arrange a rhythm section over the changes.

    Args:
        changes: the chords of one chorus, in order.
        tempo: quarter-notes a minute.
        a4: Hz of MIDI note 69.
        choruses: times that the changes are played.
        count_in: begin with two bars of clicks.

    Returns:
        The clip, at most `LONGEST_LOOP`.

    Raises:
        SoundError: a value out of range, or a loop that lasts too long.
    """
    return _backing(tuple(changes), tempo, a4, choruses, count_in)


@lru_cache(maxsize=_KEPT)
def _backing(changes: tuple[Change, ...], tempo: float, a4: float, choruses: int, count_in: bool) -> Clip:
    """Arrange a loop; kept, because every region of a key has the same one."""
    check_tempo(tempo)
    check_a4(a4)
    check_changes(changes)
    if choruses < 1:
        raise SoundError(f"{choruses} choruses are none: use 1 or more")
    lead = _COUNT_IN if count_in else 0
    beats = _beats(changes, choruses, count_in)
    seconds = loop_seconds(changes, tempo, choruses, count_in)
    if seconds > LONGEST_LOOP:
        raise SoundError(
            f"a loop of {beats} beats at tempo {tempo:g} lasts {seconds:.1f} s: "
            f"use a faster tempo or fewer bars, at most {LONGEST_LOOP:g} s"
        )
    events = [
        *(_count_in(60.0 / tempo) if count_in else ()),
        *_comping(changes, choruses, lead, tempo),
        *_bass(changes, choruses, lead, tempo),
        *_cymbal(lead, beats, tempo),
    ]
    events.sort(key=_turn)
    return Clip(events=tuple(events), length=seconds, a4=a4)


def _when(place: float, tempo: float, patch: Patch) -> float:
    """Return when a player of the rhythm section comes in, s."""
    return max(0.0, swung(place, tempo) * 60.0 / tempo + stray(patch, place))


def line_over(
    changes: Sequence[Change],
    line: Sequence[tuple[int, float, float]],
    *,
    tempo: float = LOOP_TEMPO,
    a4: float = A4,
    patch: Patch = Patch.GUITAR,
) -> Clip:
    """Play a line of swung eighths, laid back over the rhythm section, once through the changes.

    Args:
        changes: the chords, in order.
        line: MIDI note, and when it begins and ends as written, in beats from the first one; in order of beginning.
        tempo: quarter-notes a minute.
        a4: Hz of MIDI note 69.
        patch: what plays the line.

    Returns:
        The clip, at most `LONGEST_LOOP`.

    Raises:
        SoundError: a value out of range, or changes that last too long.
    """
    backing = _under_a_line(tuple(changes), tempo, a4)
    events = [
        NoteEvent(
            midi,
            start * 60.0 / tempo,
            (laid_back(end, tempo) - start) * 60.0 / tempo,
            touched(_LINE_OFF if begin % 1 else _LINE_ON, begin),
            patch,
        )
        for midi, begin, end in line
        for start in (laid_back(begin, tempo),)
    ]
    return replace(backing, events=tuple(sorted([*backing.events, *events], key=_turn)))


@lru_cache(maxsize=_KEPT)
def _under_a_line(changes: tuple[Change, ...], tempo: float, a4: float) -> Clip:
    """Arrange one chorus, quieter than a line over it."""
    backing = _backing(changes, tempo, a4, 1, False)
    return replace(backing, events=tuple(map(_quieter, backing.events)))


def _quieter(event: NoteEvent) -> NoteEvent:
    # Written out: `replace` takes twice as long, and there are many.
    strength = event.velocity * _UNDER_A_LINE
    return NoteEvent(event.midi, event.start, event.length, strength, event.patch, event.release)


_turn = attrgetter("start", "patch", "midi")
"""By what events are put in order."""


def loop_seconds(changes: Sequence[Change], tempo: float, choruses: int, count_in: bool) -> float:
    """Measure how long a loop lasts.

    Args:
        changes: the chords of one chorus.
        tempo: quarter-notes a minute.
        choruses: times that the changes are played.
        count_in: whether two bars of clicks come first.

    Returns:
        Seconds.
    """
    return _beats(changes, choruses, count_in) * 60.0 / tempo


def _beats(changes: Sequence[Change], choruses: int, count_in: bool) -> int:
    return (_COUNT_IN if count_in else 0) + choruses * sum(change.beats for change in changes)


def _count_in(beat: float) -> list[NoteEvent]:
    counts = (0, 2, 4, 5, 6, 7)
    return [NoteEvent(midi=76, start=at * beat, length=0.15, velocity=0.7, patch=Patch.CLICK) for at in counts]


def _comping(changes: Sequence[Change], choruses: int, lead: int, tempo: float) -> Iterator[NoteEvent]:
    """Strike the chords, on an off-beat lighter."""
    voicings = voice_led(changes, rooted=False)
    for stroke in strokes(changes, choruses):
        place, velocity = lead + stroke.beat, _COMPED_OFF if stroke.beat % 1 else _COMPED_ON
        held = (swung(place + stroke.beats, tempo) - swung(place, tempo)) * _DETACHED * 60.0 / tempo
        voicing = voicings[stroke.chord % len(voicings)]
        yield from strum(voicing, _when(place, tempo, Patch.GUITAR), held, velocity, place=place)


def _bass(changes: Sequence[Change], choruses: int, lead: int, tempo: float) -> Iterator[NoteEvent]:
    """Play the bass line, the first beat of a bar strongest."""
    for note in bass_line(changes, choruses):
        place, velocity = lead + note.beat, _BASS if note.beat % _BAR else _BASS_ON_ONE
        yield NoteEvent(
            midi=note.midi,
            start=_when(place, tempo, Patch.BASS),
            length=note.beats * _DETACHED * 60.0 / tempo,
            velocity=touched(velocity, place),
            patch=Patch.BASS,
        )


@lru_cache(maxsize=_KEPT)
def _cymbal(lead: int, beats: int, tempo: float) -> tuple[NoteEvent, ...]:
    """Ride on every beat, 2 and 4 stressed and followed by their swung eighth; kept, because all keys have the same."""
    return tuple(
        NoteEvent(60, _when(place, tempo, Patch.RIDE), _RINGS, touched(velocity, place), Patch.RIDE)
        for at in range(lead, beats)
        for place, velocity in (((at, 0.8), (at + 0.5, 0.4)) if (at - lead) % 2 else ((at, 0.45),))
    )
