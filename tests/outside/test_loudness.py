"""Loudness and true peak of rendered clips, measured on the decoded files by two independent meters.

Sources:
    ITU-R BS.1770: loudness (gated, K-weighted) and true peak (at least four-fold oversampling).
    pyloudnorm is one implementation; ffmpeg's `ebur128` filter, which decodes the file itself, the other.
    Target: AES TD1004 (2015), streams between −20 and −16 LUFS, true peak at most −1 dBTP (from memory).
"""

import re
import subprocess
from functools import cache

import imageio_ffmpeg
import numpy as np
import pyloudnorm
import pytest
from scipy import signal

from deckbuilder.sound.arrangement import chord_then_run, shell_voicing
from deckbuilder.sound.cadence import cadence_clip
from deckbuilder.sound.description import Clip
from deckbuilder.sound.format import RATE
from deckbuilder.sound.loops import backing_loop
from deckbuilder.sound.render import render
from deckbuilder.sound.voice_leading import Change
from tests.sound.listening import decoded

CADENCE = [Change(7, 3, 10), Change(0, 4, 10), Change(5, 4, 11)]
CLIPS = {
    **{
        f"run from {lowest} over {root}": chord_then_run(
            shell_voicing(root, 4, 10), range(lowest, lowest + 16, 2), tempo=tempo
        )
        for lowest, root, tempo in [(40, 5, 144), (45, 10, 144), (52, 3, 60), (60, 8, 240), (70, 1, 144)]
    },
    "bass register": chord_then_run(shell_voicing(4, 4, 10, lowest=28), range(23, 40, 2)),
    "ukulele register": chord_then_run(shell_voicing(0, 4, 10, lowest=60), (60, 64, 67, 70, 72, 76)),
    "run alone": chord_then_run((), (43, 46, 50, 53, 55, 58, 62), chord_on=False),
    "one tone over a chord": chord_then_run(shell_voicing(0, 4, 10), (66,)),
    "cadence": cadence_clip(CADENCE),
    "loop": backing_loop(CADENCE),
    "loop with count-in": backing_loop(CADENCE, count_in=True),
}


@cache
def file(name: str) -> bytes:
    clip: Clip = CLIPS[name]
    return render(clip)


@pytest.mark.parametrize("name", CLIPS)
def test_loudness_by_pyloudnorm(name: str) -> None:
    assert pyloudnorm.Meter(RATE).integrated_loudness(decoded(file(name))) == pytest.approx(-16, abs=0.5)


@pytest.mark.parametrize("name", CLIPS)
def test_true_peak_by_oversampling(name: str) -> None:
    peak = np.max(np.abs(signal.resample_poly(decoded(file(name)), 4, 1)))
    assert 20 * np.log10(peak) <= -1


@pytest.mark.parametrize("name", CLIPS)
def test_loudness_and_true_peak_by_ffmpeg(name: str) -> None:
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-nostats", "-hide_banner", "-i", "pipe:0"]
    command += ["-af", "ebur128=peak=true:dualmono=false", "-f", "null", "-"]
    told = subprocess.run(command, input=file(name), capture_output=True, check=True).stderr.decode()
    summary = told[told.rindex("Summary:") :]
    loudness = re.search(r"I:\s+(-?[\d.]+) LUFS", summary)
    peak = re.search(r"Peak:\s+(-?[\d.]+) dBFS", summary)
    assert loudness is not None
    assert peak is not None
    assert float(loudness[1]) == pytest.approx(-16, abs=1)
    assert float(peak[1]) <= -1
