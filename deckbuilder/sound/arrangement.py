"""From music to a clip: the chord's shell voicing, then the run.

Conventions: pitches are MIDI note numbers, pitch classes 0–11 from C, intervals semitones above the root,
tempo quarter-notes a minute, times s, A4 in Hz. Pure functions; nothing here makes sound.

A shell voicing is the root and the two guide tones. How it is spread follows what guitarists play (common
practice, no source): root on the lowest string, then seventh, then third above it; from a higher root the
third comes first, because thirds above about B2 no longer sound muddy.
"""

from collections.abc import Sequence
from enum import StrEnum
from functools import lru_cache
from typing import Final

from deckbuilder.sound.description import A4, RELEASE, Clip, NoteEvent, Patch, SoundError
from deckbuilder.sound.feel import stray, touched

DEFAULT_TEMPO: Final = 144.0
"""Quarter-notes a minute: a chord of two beats, a scale of 17 notes and its held last note take 5 s."""
TEMPOS: Final = (40.0, 240.0)
"""Slowest and fastest tempo, quarter-notes a minute."""
A4S: Final = (380.0, 480.0)
"""Lowest and highest pitch of A4, Hz."""
LOWEST_ROOT: Final = 40
"""Lowest root of a shell voicing on guitar: E2."""
LEAD_IN: Final = 0.04
"""s of silence before the first note, so that no player swallows its attack."""

_CLEAR_THIRD: Final = 47  # B2: from here up a third above the root is clear
_CHORD_BEATS: Final = 2.0
_CHORD_FADES: Final = 1.0  # beats, under the run
_LAST_BEATS: Final = 2.0
_STRUM: Final = 0.011  # s from string to string
_CHORD_VELOCITY: Final = 0.45
_ON_BEAT: Final = 0.85
_OFF_BEAT: Final = 0.75


class Direction(StrEnum):
    """How a run is played."""

    UP = "up"
    DOWN = "down"
    UP_AND_DOWN = "up-and-down"
    """The top note is struck once."""


def check_tempo(tempo: float) -> None:
    """Refuse a tempo that no run is played at.

    Args:
        tempo: quarter-notes a minute.

    Raises:
        SoundError: outside `TEMPOS`.
    """
    low, high = TEMPOS
    if not low <= tempo <= high:
        raise SoundError(f"tempo {tempo:g} is not playable: use {low:g} to {high:g} quarter-notes a minute")


def check_a4(a4: float) -> None:
    """Refuse a concert pitch that no instrument is tuned to.

    Args:
        a4: Hz.

    Raises:
        SoundError: outside `A4S`.
    """
    low, high = A4S
    if not low <= a4 <= high:
        raise SoundError(f"A4 = {a4:g} Hz is out of range: use {low:g} to {high:g} Hz (440 is usual)")


def shell_voicing(
    root_pitch_class: int, third: int, seventh: int, *, lowest: int = LOWEST_ROOT
) -> tuple[int, int, int]:
    """Root and guide tones of a chord in a low register.

    The root is in the octave from `lowest`; the voicing is root–seventh–third below B2 and root–third–seventh
    from there.

    >>> shell_voicing(7, 3, 10)  # Gm7: G2 F3 B♭3
    (43, 53, 58)
    >>> shell_voicing(0, 4, 10)  # C7: C3 E3 B♭3
    (48, 52, 58)

    Args:
        root_pitch_class: 0 (C) to 11 (B).
        third: semitones from the root to the third: 3 or 4; 2 or 5 where it is suspended.
        seventh: semitones from the root to the seventh: 9 (diminished, or a sixth), 10 or 11.
        lowest: lowest MIDI note of the root: 40 for guitar, 28 for bass, 60 for ukulele.

    Returns:
        Three MIDI notes, ascending.

    Raises:
        SoundError: an interval or a pitch out of range.
    """
    if not 0 <= root_pitch_class <= 11:
        raise SoundError(f"root pitch class {root_pitch_class} is out of range: use 0 (C) to 11 (B)")
    if not 2 <= third <= 5:
        raise SoundError(f"third of {third} semitones is none: use 3 or 4 (2 or 5 where suspended)")
    if not 9 <= seventh <= 11:
        raise SoundError(f"seventh of {seventh} semitones is none: use 9, 10 or 11")
    if not 0 <= lowest <= 96:
        raise SoundError(f"lowest root {lowest} is out of range: use MIDI notes 0 to 96")
    root = lowest + (root_pitch_class - lowest) % 12
    if root < _CLEAR_THIRD:
        return root, root + seventh, root + third + 12
    return root, root + third, root + seventh


def in_direction(run: Sequence[int], direction: Direction) -> tuple[int, ...]:
    """Put the notes of a run in the order of a direction.

    Args:
        run: MIDI notes, ascending.
        direction: how it is played.

    Returns:
        MIDI notes in the order they are played.
    """
    up = tuple(run)
    match direction:
        case Direction.UP:
            return up
        case Direction.DOWN:
            return up[::-1]
        case Direction.UP_AND_DOWN:
            return up + up[-2::-1]


def chord_then_run(
    chord: Sequence[int],
    run: Sequence[int],
    *,
    tempo: float = DEFAULT_TEMPO,
    a4: float = A4,
    direction: Direction = Direction.UP,
    chord_on: bool = True,
    eighths: int = 0,
) -> Clip:
    """Chord for two beats, dying away under the first beat of the run; the run in eighths.

    The last note of the run is held for two beats, or longer where the clip is to last as long as others.

    Args:
        chord: MIDI notes of the voicing, lowest first.
        run: MIDI notes, ascending.
        tempo: quarter-notes a minute.
        a4: Hz of MIDI note 69.
        direction: how the run is played.
        chord_on: False leaves the chord out; the run then begins at once.
        eighths: notes of the longest run that is to last no longer than this one.

    Returns:
        The clip.

    Raises:
        SoundError: a tempo, pitch or run that cannot be played.
    """
    check_tempo(tempo)
    check_a4(a4)
    notes = in_direction(run, direction)
    if not notes:
        raise SoundError("run is empty: give at least one MIDI note")
    beat = 60.0 / tempo
    events: list[NoteEvent] = []
    begin = LEAD_IN
    if chord_on and chord:
        events.extend(strum(chord, begin, _CHORD_BEATS * beat, _CHORD_VELOCITY, release=_CHORD_FADES * beat))
        begin += _CHORD_BEATS * beat
    last = len(notes) - 1
    held = _LAST_BEATS + max(0, eighths - len(notes)) / 2
    for count, midi in enumerate(notes):
        events.append(
            NoteEvent(
                midi,
                begin + count * beat / 2 + stray(Patch.GUITAR, count / 2),
                held * beat if count == last else beat / 2,
                touched(_OFF_BEAT if count % 2 else _ON_BEAT, count / 2),
            )
        )
    return Clip(events=tuple(events), length=begin + (last / 2 + held) * beat, a4=a4)


def chord_to_chord(
    chords: tuple[Sequence[int], Sequence[int]],
    tones: tuple[int, int],
    *,
    tempo: float = DEFAULT_TEMPO,
    a4: float = A4,
) -> Clip:
    """Play a step from a tone over one chord to a tone over the next.

    Each chord lasts two beats. The first tone comes on the second beat, where the chord has been heard; the other comes
    with its chord, as voices move when chords change, and is held.

    Args:
        chords: MIDI notes of both voicings, lowest first.
        tones: MIDI notes of the step.
        tempo: quarter-notes a minute.
        a4: Hz of MIDI note 69.

    Returns:
        The clip.

    Raises:
        SoundError: a tempo or pitch that cannot be played.
    """
    check_tempo(tempo)
    check_a4(a4)
    beat = 60.0 / tempo
    change = LEAD_IN + _CHORD_BEATS * beat
    events = (
        *strum(chords[0], LEAD_IN, _CHORD_BEATS * beat, _CHORD_VELOCITY),
        NoteEvent(midi=tones[0], start=LEAD_IN + beat, length=(_CHORD_BEATS - 1) * beat, velocity=_ON_BEAT),
        *strum(chords[1], change, _CHORD_BEATS * beat, _CHORD_VELOCITY),
        NoteEvent(midi=tones[1], start=change + _STRUM * len(chords[1]), length=_CHORD_BEATS * beat, velocity=_ON_BEAT),
    )
    return Clip(events=events, length=change + (_CHORD_BEATS + 1) * beat, a4=a4)


def strum(
    chord: Sequence[int], start: float, length: float, velocity: float, release: float = RELEASE, place: float = 0.0
) -> tuple[NoteEvent, ...]:
    """Strike a chord, string after string, lowest first; all are damped together.

    Args:
        chord: MIDI notes, lowest first.
        start: s of the first string.
        length: s from there until the chord is damped.
        velocity: 0 to 1.
        release: s that the damping takes.
        place: where it comes, in beats; no two strums are quite alike.

    Returns:
        One event a note.
    """
    return _strummed(tuple(chord), start, length, velocity, release, place)


@lru_cache(maxsize=4096, typed=True)
def _strummed(
    chord: tuple[int, ...], start: float, length: float, velocity: float, release: float, place: float
) -> tuple[NoteEvent, ...]:
    """Strike a chord; kept, because the clips of a chord all begin with it.

    A whole number and a float that equals it are kept apart, as `feel` draws them apart.
    """
    return tuple(
        NoteEvent(
            midi,
            start + count * _STRUM,
            length - count * _STRUM,
            touched(velocity, place, count),
            release=release,
        )
        for count, midi in enumerate(chord)
    )
