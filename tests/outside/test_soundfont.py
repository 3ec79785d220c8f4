"""A SoundFont of known pitches: clips sound at theirs, heard by librosa, at the loudness of every clip.

Sources: ISO 16 and equal temperament, YIN by librosa (see `test_pitch`); BS.1770 by pyloudnorm (see `test_loudness`).
"""

import hashlib
from dataclasses import replace

import librosa
import numpy as np
import pyloudnorm
import pytest
from scipy.signal import resample_poly

from deckbuilder.sound.arrangement import chord_then_run, shell_voicing
from deckbuilder.sound.cadence import cadence_clip
from deckbuilder.sound.description import Clip, NoteEvent, OwnSound, Patch
from deckbuilder.sound.format import RATE
from deckbuilder.sound.loops import backing_loop
from deckbuilder.sound.render import render
from deckbuilder.sound.voice_leading import Change
from tests.sound.listening import cents, decoded
from tests.sound.soundfonts import duo

# YIN is compiled where it is first called, which takes half a minute: on one worker.
pytestmark = pytest.mark.xdist_group("yin")

CADENCE = [Change(7, 3, 10), Change(0, 4, 10), Change(5, 4, 11)]


@pytest.fixture(scope="module")
def own(tmp_path_factory: pytest.TempPathFactory) -> OwnSound:
    path = tmp_path_factory.mktemp("soundfont") / "duo.sf2"
    path.write_bytes(duo())
    return OwnSound(hashlib.sha256(duo()).hexdigest(), path=str(path))


@pytest.mark.parametrize(
    ("midi", "patch", "a4"),
    [
        *((midi, Patch.GUITAR, 440.0) for midi in (40, 45, 52, 57, 62, 63, 70, 75, 86)),
        *((midi, Patch.BASS, 440.0) for midi in (28, 33, 40, 43)),
        *((midi, Patch.GUITAR, 415.0) for midi in (52, 69)),
    ],
)
def test_pitches(own: OwnSound, midi: int, patch: Patch, a4: float) -> None:
    event = NoteEvent(midi=midi, start=0.05, length=0.9, patch=patch)
    sound = decoded(render(Clip((event,), 1.0, a4, own)))[round(0.15 * RATE) : round(0.8 * RATE)]
    low, window = (25.0, 8192) if midi < 45 else (60.0, 4096)
    heard = librosa.yin(sound, fmin=low, fmax=1500.0, sr=RATE, frame_length=window, hop_length=1024, center=False)
    assert abs(cents(float(np.median(heard)), a4 * librosa.midi_to_hz(midi) / 440.0)) < 3


@pytest.mark.parametrize(
    "clip",
    [chord_then_run(shell_voicing(5, 4, 10), range(45, 61, 2)), cadence_clip(CADENCE), backing_loop(CADENCE)],
    ids=["run", "cadence", "loop"],
)
def test_loudness_and_true_peak(own: OwnSound, clip: Clip) -> None:
    sound = decoded(render(replace(clip, own=own)))
    assert pyloudnorm.Meter(RATE).integrated_loudness(sound) == pytest.approx(-16, abs=0.5)
    assert 20 * np.log10(np.max(np.abs(resample_poly(sound, 4, 1)))) <= -1
