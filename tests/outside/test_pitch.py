"""Pitch and time of rendered clips, heard by librosa; note numbers and frequencies by published tables.

Sources:
    ISO 16:1975, Acoustics — Standard tuning frequency: A in the treble stave is 440 Hz.
    MIDI 1.0 Detailed Specification: note number 60 is middle C. Frequencies: the table of equal-tempered
    pitches printed in acoustics textbooks and in the MIDI tuning standard (two decimals; from memory).
    librosa: YIN (de Cheveigné and Kawahara, JASA 111, 2002) for pitch, spectral flux for onsets.
"""

import librosa
import numpy as np
import pytest
from librosa.onset import onset_detect

from deckbuilder.sound.arrangement import Direction, chord_then_run, in_direction, shell_voicing
from deckbuilder.sound.description import Clip, NoteEvent, Patch
from deckbuilder.sound.format import RATE
from deckbuilder.sound.loops import backing_loop
from deckbuilder.sound.render import render
from deckbuilder.sound.samples import Samples
from deckbuilder.sound.string import frequency
from deckbuilder.sound.voice_leading import Change
from tests.sound.listening import cents, decoded, peak_near

# YIN is compiled where it is first called, which takes half a minute: on one worker.
pytestmark = pytest.mark.xdist_group("yin")

PUBLISHED = {
    21: 27.50,  # A0
    23: 30.87,  # B0
    28: 41.20,  # E1
    33: 55.00,  # A1
    40: 82.41,  # E2
    45: 110.00,  # A2
    50: 146.83,  # D3
    55: 196.00,  # G3
    59: 246.94,  # B3
    60: 261.63,  # C4
    64: 329.63,  # E4
    69: 440.00,  # A4
    72: 523.25,  # C5
    76: 659.26,  # E5
    81: 880.00,  # A5
    86: 1174.66,  # D6
    88: 1318.51,  # E6
}


@pytest.mark.parametrize("midi", PUBLISHED)
def test_frequency_of_a_note_number(midi: int) -> None:
    assert round(frequency(midi), 2) == PUBLISHED[midi]
    assert frequency(midi) == pytest.approx(librosa.midi_to_hz(midi))


def heard(samples: Samples, low: float = 60.0, high: float = 1500.0, window: int = 4096) -> float:
    """Median pitch in Hz, by YIN."""
    window = min(window, len(samples))
    found = librosa.yin(samples, fmin=low, fmax=high, sr=RATE, frame_length=window, hop_length=1024, center=False)
    return float(np.median(found))


@pytest.mark.parametrize("midi", range(40, 87))
def test_every_pitch_of_a_guitar_with_24_frets(midi: int) -> None:
    sound = decoded(render(Clip((NoteEvent(midi=midi, start=0.05, length=0.9),), length=1.0)))
    assert abs(cents(heard(sound[round(0.15 * RATE) : round(0.6 * RATE)]), frequency(midi))) < 5


@pytest.mark.parametrize("midi", [23, 28, 33, 38, 88])
def test_pitches_below_and_above_the_guitar(midi: int) -> None:
    sound = decoded(render(Clip((NoteEvent(midi=midi, start=0.05, length=0.9),), length=1.0)))
    found = heard(sound[round(0.15 * RATE) : round(0.6 * RATE)], low=25.0, window=16384)
    # A string so low has many partials within YIN's reach, and stiffness makes them sharp: that is heard, and played.
    assert abs(cents(found, frequency(midi))) < (10 if midi < 40 else 5)


MAJOR, ALTERED = (0, 2, 4, 5, 7, 9, 11), (0, 1, 3, 4, 6, 8, 10)


def run_of(root: int, steps: tuple[int, ...], lowest: int, count: int) -> list[int]:
    pitches = (pitch for pitch in range(lowest, lowest + 48) if (pitch - root) % 12 in steps)
    return [pitch for pitch, _ in zip(pitches, range(count), strict=False)]


CLIPS = [
    (key, lowest, steps, direction)
    for number, key in enumerate(range(12))
    for lowest, steps, direction in [
        (
            (40, 45, 50, 54, 57)[number % 5],
            (MAJOR, (0, 3, 7, 10), ALTERED, (0, 4, 7, 11), (0, 3, 6, 10))[number % 5],
            tuple(Direction)[number % 3],
        )
    ]
]


@pytest.mark.parametrize(("key", "lowest", "steps", "direction"), CLIPS)
def test_onsets_and_pitches_of_a_run(key: int, lowest: int, steps: tuple[int, ...], direction: Direction) -> None:
    """The onsets are the chord's and the run's, none else; the pitches are the run, in order."""
    chord = shell_voicing(key, 4, 10)
    run = run_of(key, steps, lowest, 9)
    clip = chord_then_run(chord, run, direction=direction)
    sound = decoded(render(clip))
    notes = clip.events[len(chord) :]
    assert tuple(note.midi for note in notes) == in_direction(run, direction)

    onsets = onset_detect(y=sound, sr=RATE, hop_length=128, units="time")
    expected = [clip.events[0].start, *(note.start for note in notes)]
    assert len(onsets) == len(expected)
    assert np.max(np.abs(onsets - expected)) < 0.03

    chord_ends = clip.events[0].start + clip.events[0].length + clip.events[0].release
    for note in notes:
        part = sound[round((note.start + 0.04) * RATE) : round((note.start + 0.2) * RATE)]
        wanted = frequency(note.midi)
        found = [heard(part)]
        if note.start < chord_ends:
            # Under the run's first beat the chord still rings, and YIN may hear that: the tone stands out all the same.
            found.append(peak_near(part, wanted))
        assert min(abs(cents(pitch, wanted)) for pitch in found) < 10


@pytest.mark.parametrize("a4", [415.0, 442.0])
def test_a_run_at_another_concert_pitch(a4: float) -> None:
    clip = chord_then_run((), run_of(0, MAJOR, 48, 8), a4=a4, chord_on=False)
    sound = decoded(render(clip))
    for note in clip.events:
        part = sound[round((note.start + 0.04) * RATE) : round((note.start + 0.2) * RATE)]
        assert abs(cents(heard(part), frequency(note.midi, a4))) < 10


@pytest.mark.parametrize("key", range(12))
def test_the_bass_of_a_loop_is_heard_as_the_roots(key: int) -> None:
    """Of the pitches from E1 to G2 in each bar's first two beats, the root is the strongest."""
    changes = [
        Change((key + 2) % 12, 3, 10),
        Change((key + 7) % 12, 4, 10),
        Change(key, 4, 11),
        Change((key + 9) % 12, 4, 10),
    ]
    clip = backing_loop(changes)
    sound = decoded(render(clip))
    bass = [event for event in clip.events if event.patch is Patch.BASS]
    for number, change in enumerate(changes):
        start = number * clip.length / 4
        beat = sound[round((start + 0.05) * RATE) : round((start + 0.9) * RATE)]
        spectrum = np.abs(np.fft.rfft(beat * np.hanning(len(beat)), 1 << 18))
        strengths = {midi: spectrum[round(frequency(midi) * (1 << 18) / RATE)] for midi in range(28, 44)}
        found = max(strengths, key=lambda midi: strengths[midi])
        assert found % 12 == change.root
        # The second partial of a low string may be stronger than its first.
        assert {found, found - 12} & {event.midi for event in bass}
