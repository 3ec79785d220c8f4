"""String pitches against general references, and their frequencies against ISO 16.

Sources (from memory; scientific pitch notation after the Acoustical Society of America, 1939):
    Grove Music Online, articles on guitar, electric bass guitar, banjo, ukulele, mandolin and violoncello: the usual
    tunings of these instruments.
    Wikipedia, “List of guitar tunings” and “Guitar tunings”: dropped, open, regular, lowered and extended tunings.
    Major thirds and half and whole steps down are intervals, which are held as such.
    ISO 16:1975: A4 = 440 Hz; the other pitches by equal temperament.
    mingus and librosa: note numbers and frequencies by name, as independent readers of scientific pitch notation.
"""

from itertools import pairwise

import librosa
import pytest
from mingus.containers import Note

from deckbuilder.neck.tuning import TUNINGS
from deckbuilder.sound.string import frequency

PUBLISHED = {
    "standard": ["E2", "A2", "D3", "G3", "B3", "E4"],
    "drop-d": ["D2", "A2", "D3", "G3", "B3", "E4"],
    "double-drop-d": ["D2", "A2", "D3", "G3", "B3", "D4"],
    "dadgad": ["D2", "A2", "D3", "G3", "A3", "D4"],
    "open-g": ["D2", "G2", "D3", "G3", "B3", "D4"],
    "open-d": ["D2", "A2", "D3", "F#3", "A3", "D4"],
    "open-c": ["C2", "G2", "C3", "G3", "C4", "E4"],
    "all-fourths": ["E2", "A2", "D3", "G3", "C4", "F4"],
    "major-thirds": ["E2", "G#2", "C3", "E3", "G#3", "C4"],
    "half-step-down": ["Eb2", "Ab2", "Db3", "Gb3", "Bb3", "Eb4"],
    "whole-step-down": ["D2", "G2", "C3", "F3", "A3", "D4"],
    "baritone": ["B1", "E2", "A2", "D3", "F#3", "B3"],
    "seven-string": ["B1", "E2", "A2", "D3", "G3", "B3", "E4"],
    "eight-string": ["F#1", "B1", "E2", "A2", "D3", "G3", "B3", "E4"],
    "bass-4": ["E1", "A1", "D2", "G2"],
    "bass-5": ["B0", "E1", "A1", "D2", "G2"],
    "bass-6": ["B0", "E1", "A1", "D2", "G2", "C3"],
    "tenor": ["C3", "G3", "D4", "A4"],
    "plectrum": ["C3", "G3", "B3", "D4"],
    "ukulele": ["G4", "C4", "E4", "A4"],
    "mandolin": ["G3", "D4", "A4", "E5"],
    "octave-mandolin": ["G2", "D3", "A3", "E4"],
    "cello": ["C2", "G2", "D3", "A3"],
}
FREQUENCIES = {
    "standard": [82.41, 110.00, 146.83, 196.00, 246.94, 329.63],
    "bass-5": [30.87, 41.20, 55.00, 73.42, 98.00],
    "ukulele": [392.00, 261.63, 329.63, 440.00],
    "tenor": [130.81, 196.00, 293.66, 440.00],
    "mandolin": [196.00, 293.66, 440.00, 659.26],
    "cello": [65.41, 98.00, 146.83, 220.00],
}
"""Hz, two decimals, as acoustics tables print them."""
INTERVALS = {
    **{"all-fourths": 5, "major-thirds": 4, "bass-4": 5, "bass-5": 5, "bass-6": 5},
    **{"tenor": 7, "mandolin": 7, "octave-mandolin": 7, "cello": 7},
}
BELOW_STANDARD = {"half-step-down": 1, "whole-step-down": 2, "baritone": 5}


def mingus_midi(name: str) -> int:
    # mingus numbers C4 as 48, an octave below MIDI.
    return int(Note(f"{name[:-1]}-{name[-1]}")) + 12


def test_every_tuning_of_the_table_is_checked() -> None:
    assert PUBLISHED.keys() == TUNINGS.keys()


@pytest.mark.parametrize("name", PUBLISHED)
def test_open_strings(name: str) -> None:
    shown = [label.replace("♯", "#").replace("♭", "b") for label in TUNINGS[name].pitch_labels]
    assert shown == PUBLISHED[name]
    assert list(TUNINGS[name].open_midi) == [mingus_midi(pitch) for pitch in PUBLISHED[name]]
    assert list(TUNINGS[name].open_midi) == [round(librosa.note_to_midi(pitch)) for pitch in PUBLISHED[name]]


@pytest.mark.parametrize("name", PUBLISHED)
def test_frequencies_by_librosa(name: str) -> None:
    assert [frequency(midi) for midi in TUNINGS[name].open_midi] == pytest.approx(
        [librosa.note_to_hz(pitch) for pitch in PUBLISHED[name]]
    )


@pytest.mark.parametrize("name", FREQUENCIES)
def test_frequencies_by_table(name: str) -> None:
    assert [round(frequency(midi), 2) for midi in TUNINGS[name].open_midi] == FREQUENCIES[name]


@pytest.mark.parametrize("name", INTERVALS)
def test_regular_tunings_repeat_one_interval(name: str) -> None:
    assert {upper - lower for lower, upper in pairwise(TUNINGS[name].open_midi)} == {INTERVALS[name]}


@pytest.mark.parametrize("name", BELOW_STANDARD)
def test_lowered_tunings_are_standard_moved(name: str) -> None:
    raised = [midi + BELOW_STANDARD[name] for midi in TUNINGS[name].open_midi]
    assert raised == list(TUNINGS["standard"].open_midi)


@pytest.mark.parametrize(("name", "chord"), [("open-g", {7, 11, 2}), ("open-d", {2, 6, 9}), ("open-c", {0, 4, 7})])
def test_open_tunings_sound_their_major_chord(name: str, chord: set[int]) -> None:
    assert {midi % 12 for midi in TUNINGS[name].open_midi} == chord
