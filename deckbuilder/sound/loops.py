"""Backing loops: bass, comping, cymbal and count-in over a list of chords.

Conventions: pitches are MIDI note numbers, pitch classes 0–11 from C, intervals semitones above the root,
tempo quarter-notes a minute, times s. Four beats a bar; `feel` swings what is played and moves it about. Patterns
are common practice, no source: a two-feel bass, the Charleston rhythm in the comping, the cymbal leaning on 2 and
4, a count-in of two halves and four quarters.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from typing import Final

from deckbuilder.sound.arrangement import check_a4, check_tempo, strum
from deckbuilder.sound.description import A4, Clip, NoteEvent, Patch, SoundError
from deckbuilder.sound.feel import laid_back, stray, swung, touched
from deckbuilder.sound.voice_leading import Change, Voicing, check_changes, voice_led

LOOP_TEMPO: Final = 120.0
"""Quarter-notes a minute: medium swing."""
LONGEST_LOOP: Final = 25.0
"""s."""

_BAR: Final = 4  # beats
_COUNT_IN: Final = 2 * _BAR
_RINGS: Final = 3.0  # s; a ride rings on under the strokes that follow
_LINE_ON, _LINE_OFF = 0.9, 0.82  # an off-beat eighth is lighter
_UNDER_A_LINE: Final = 0.7  # the rhythm section's velocity, as a share of what it is alone
_LOWEST_BASS: Final = 28  # E1
_HIGHEST_BASS: Final = 43


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
    played, voicings = tuple(changes) * choruses, voice_led(changes) * choruses
    events = [
        *(_count_in(60.0 / tempo) if count_in else ()),
        *_comping(played, voicings, lead, tempo),
        *_bass(played, lead, tempo),
        *_cymbal(lead, beats, tempo),
    ]
    events.sort(key=lambda event: (event.start, event.patch, event.midi))
    return Clip(events=tuple(events), length=seconds, a4=a4)


def _when(place: float, tempo: float, patch: Patch) -> float:
    """Return when a player of the rhythm section comes in, s."""
    return max(0.0, swung(place, tempo) * 60.0 / tempo + stray(patch, place))


def line_over(
    changes: Sequence[Change],
    line: Sequence[tuple[int, Fraction, Fraction]],
    *,
    tempo: float = LOOP_TEMPO,
    a4: float = A4,
    patch: Patch = Patch.GUITAR,
) -> Clip:
    """Play a line of swung eighths, laid back over the rhythm section, once through the changes.

    Args:
        changes: the chords, in order.
        line: MIDI note, onset and length in beats from the first beat, in order of onset.
        tempo: quarter-notes a minute.
        a4: Hz of MIDI note 69.
        patch: what plays the line.

    Returns:
        The clip, at most `LONGEST_LOOP`.

    Raises:
        SoundError: a value out of range, or changes that last too long.
    """
    backing = backing_loop(changes, tempo=tempo, a4=a4)
    events = [
        NoteEvent(
            midi=midi,
            start=begin * 60.0 / tempo,
            length=(laid_back(onset + length, tempo) - begin) * 60.0 / tempo,
            velocity=touched(_LINE_OFF if onset % 1 else _LINE_ON, float(onset)),
            patch=patch,
        )
        for midi, onset, length in line
        for begin in (laid_back(onset, tempo),)
    ]
    quieter = (replace(event, velocity=event.velocity * _UNDER_A_LINE) for event in backing.events)
    played = sorted([*quieter, *events], key=lambda event: (event.start, event.patch, event.midi))
    return replace(backing, events=tuple(played))


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


def _starts(changes: Sequence[Change], lead: int) -> Iterator[tuple[Change, int]]:
    """Each chord with the beat it comes on."""
    at = lead
    for change in changes:
        yield change, at
        at += change.beats


def _count_in(beat: float) -> list[NoteEvent]:
    counts = (0, 2, 4, 5, 6, 7)
    return [NoteEvent(midi=76, start=at * beat, length=0.15, velocity=0.7, patch=Patch.CLICK) for at in counts]


def _comping(changes: Sequence[Change], voicings: Sequence[Voicing], lead: int, tempo: float) -> Iterator[NoteEvent]:
    """Strike each chord where it comes and, bar after bar in turn, on the swung second or third beat."""
    for number, ((change, at), voicing) in enumerate(zip(_starts(changes, lead), voicings, strict=True)):
        hits: list[tuple[float, float]] = [(0.0, min(1.4, change.beats - 0.2))]
        for bar in range(0, change.beats, _BAR):
            again = bar + (1.5 if number % 2 == 0 else 2.5)
            if bar:
                hits.append((bar, 1.4))
            if again + 1.5 <= change.beats:
                hits.append((again, 0.8))
        for offset, long in hits:
            start, velocity = _when(at + offset, tempo, Patch.GUITAR), 0.45 if offset % 1 else 0.5
            yield from strum(voicing, start, long * 60.0 / tempo, velocity, place=at + offset)


def _bass(changes: Sequence[Change], lead: int, tempo: float) -> Iterator[NoteEvent]:
    """Play the root or the written bass where a chord comes, another tone in the middle, a step into the next."""
    lows = _bass_notes(changes)
    for (change, at), low, following in zip(_starts(changes, lead), lows, (*lows[1:], lows[0]), strict=True):
        middle = _middle_of_bar(change, low)
        steps = (following - 1, following + 1, following + 2)
        approach = min(
            (pitch for pitch in steps if pitch >= _LOWEST_BASS and pitch != middle),
            key=lambda pitch: (pitch - following == 2, abs(pitch - middle), pitch),
        )
        line = {0: low}
        for half in range(2, change.beats - 1, 2):
            line[half] = middle if half % _BAR == 2 else low
        if change.beats > 1:
            line[change.beats - 1] = approach
        times = [*line, change.beats]
        for start, end in pairwise(times):
            yield NoteEvent(
                midi=line[start],
                start=_when(at + start, tempo, Patch.BASS),
                length=(end - start) * 60.0 / tempo * 0.96,
                velocity=touched(0.7 if start == 0 else 0.55, at + start),
                patch=Patch.BASS,
            )


def _middle_of_bar(change: Change, low: int) -> int:
    """Return what the bass plays on beat 3: the fifth; over a written bass the root, or that bass held as a pedal."""
    if change.bass is None:
        above = low + change.fifth
    elif (change.bass - change.root) % 12 in (change.third, change.fifth, change.seventh):
        above = low + (change.root - low) % 12
    else:
        return low
    above = above if above <= _HIGHEST_BASS + 2 else above - 12
    return above if above >= _LOWEST_BASS else above + 12


def _bass_notes(changes: Sequence[Change]) -> list[int]:
    """Return where the bass begins each chord: each the nearest to the one before, in the low octave and a bit.

    A written bass stays in the low octave, under every root that the comping plays.
    """
    lows: list[int] = []
    for change in changes:
        tone = change.root if change.bass is None else change.bass
        highest = _HIGHEST_BASS if change.bass is None else _LOWEST_BASS + 11
        choices = range(_LOWEST_BASS + (tone - _LOWEST_BASS) % 12, highest + 1, 12)
        near = lows[-1] if lows else 36
        lows.append(min(choices, key=lambda pitch: (abs(pitch - near), pitch)))
    return lows


def _cymbal(lead: int, beats: int, tempo: float) -> Iterator[NoteEvent]:
    """Ride on every beat, 2 and 4 stressed and followed by their swung eighth."""
    for at in range(lead, beats):
        stressed = (at - lead) % 2 == 1
        for place, velocity in ((at, 0.8), (at + 0.5, 0.4)) if stressed else ((at, 0.45),):
            start, strength = _when(place, tempo, Patch.RIDE), touched(velocity, place)
            yield NoteEvent(midi=60, start=start, length=_RINGS, velocity=strength, patch=Patch.RIDE)
