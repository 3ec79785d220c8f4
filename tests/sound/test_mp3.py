import subprocess

import imageio_ffmpeg
import numpy as np
import pytest

from deckbuilder.sound.format import DELAY, FRAME, RATE
from deckbuilder.sound.mp3 import encode
from deckbuilder.sound.samples import Mix, Samples
from tests.sound.listening import decoded

LENGTHS = [RATE // 2, 44_100, 100 * FRAME - DELAY, 100 * FRAME - DELAY + 1, 222_264]


def tone(length: int) -> Mix:
    """Make a sine that fits the length a whole number of times."""
    sine = 0.5 * np.sin(2 * np.pi * round(440 * length / RATE) * np.arange(length) / length)
    return sine.astype(np.float32)


def by_ffmpeg(mp3: bytes) -> Samples:
    """Decode with another decoder."""
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", "-i", "pipe:0", "-f", "f64le", "pipe:1"]
    done = subprocess.run(command, input=mp3, capture_output=True, check=True)
    assert done.stderr == b""
    return np.frombuffer(done.stdout, "<f8")


@pytest.mark.parametrize("length", LENGTHS)
def test_two_decoders_start_on_the_sample(length: int) -> None:
    wanted = tone(length)
    inside = slice(2 * FRAME, length - 2 * FRAME)
    mp3 = encode(wanted)
    for found in (decoded(mp3), by_ffmpeg(mp3)):
        assert np.max(np.abs(found[inside] - wanted[inside])) < 0.01


@pytest.mark.parametrize("length", LENGTHS)
def test_a_decoder_that_knows_the_padding_stops_on_the_sample(length: int) -> None:
    assert len(decoded(encode(tone(length)))) == length
