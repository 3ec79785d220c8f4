"""Files as three independent decoders read them: libsndfile (mpg123), ffmpeg and miniaudio (dr_mp3)."""

import subprocess
from collections.abc import Callable
from pathlib import Path

import imageio_ffmpeg
import miniaudio
import numpy as np
import pytest

from deckbuilder.sound.format import DELAY, FRAME, RATE
from deckbuilder.sound.frames import HEADER, frame_bytes
from deckbuilder.sound.mp3 import encode
from deckbuilder.sound.samples import Mix, Samples
from tests.sound.listening import decoded

LENGTHS = [RATE // 2, 44_100, 100 * FRAME - DELAY, 100 * FRAME - DELAY + 1, 100 * FRAME - DELAY - 1, 161_234]
START, SEEK = 21, 37
"""Bytes at which the information frame's mark and its seek table begin."""


def tone(length: int) -> Mix:
    """Make a sine that fits the length a whole number of times."""
    sine = 0.5 * np.sin(2 * np.pi * round(440 * length / RATE) * np.arange(length) / length)
    return sine.astype(np.float32)


def by_ffmpeg(path: Path) -> Samples:
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", "-i", str(path), "-f", "f64le", "pipe:1"]
    done = subprocess.run(command, capture_output=True, check=True)
    assert done.stderr == b""
    return np.frombuffer(done.stdout, "<f8")


def by_libsndfile(path: Path) -> Samples:
    return decoded(path.read_bytes())


def by_miniaudio(path: Path) -> Samples:
    found = miniaudio.mp3_read_file_f32(str(path))
    assert (found.nchannels, found.sample_rate) == (1, RATE)
    return np.array(found.samples, dtype=np.float64)


@pytest.mark.parametrize("length", LENGTHS)
@pytest.mark.parametrize("decode", [by_libsndfile, by_ffmpeg, by_miniaudio])
def test_three_decoders_start_and_stop_on_the_sample(
    decode: Callable[[Path], Samples], length: int, tmp_path: Path
) -> None:
    wanted = tone(length)
    path = tmp_path / "clip.mp3"
    path.write_bytes(encode(wanted))
    found = decode(path)
    assert len(found) == length
    early, on_time, late = (
        np.sqrt(np.mean((found[2 * FRAME + shift : length - 2 * FRAME + shift] - wanted[2 * FRAME : -2 * FRAME]) ** 2))
        for shift in (-1, 0, 1)
    )
    assert on_time < 0.5 * min(early, late)


def test_the_seek_table_tells_where_a_part_of_the_time_begins() -> None:
    """Silence, then noise: frames are small, then large, and half the time is not half the bytes."""
    noise = np.random.default_rng(3).normal(0, 0.1, 4 * RATE).astype(np.float32)
    noise[: 2 * RATE] = 0
    mp3 = encode(noise)
    assert mp3[START : START + 4] == b"Xing"
    places = [0]
    while places[-1] < len(mp3):
        places.append(places[-1] + frame_bytes(mp3[places[-1] : places[-1] + HEADER]))
    frames = len(places) - 2  # neither the information frame nor the end
    for percent, part in enumerate(mp3[SEEK : SEEK + 100]):
        begins = places[1 + frames * percent // 100]
        assert 0 <= begins / len(mp3) - part / 256 < 1 / 256
    assert mp3[SEEK + 50] < 100
