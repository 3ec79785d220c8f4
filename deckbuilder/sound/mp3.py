"""MP3 files from samples, in process.

Mono, 44.1 kHz, constant bit rate; a frame holds 1152 samples. The encoder comes in a wheel: no system
package, no process is started.

An encoder and a decoder together delay the sound by 1105 samples, and a file holds whole frames. So that a
player starts and stops on the sample, the first frame is an information
frame (silent in players that do not know it) that tells the delay and the padding. Layout of that frame:
the "Mp3 Info Tag" specification, revision 1 (from memory); two independent decoders check it in the tests.
"""

import struct
from typing import Final

import lameenc
import numpy as np

from deckbuilder.sound.crc import crc16
from deckbuilder.sound.format import BIT_RATE, DELAY, ENCODER_DELAY, FRAME, RATE
from deckbuilder.sound.frames import frame_bytes
from deckbuilder.sound.samples import Mix

QUALITY: Final = 3
"""LAME's scale, 0 slowest to 9 fastest; its own default."""

_ENCODER_GAIN: Final = 0.95  # LAME turns its input down by this; measured, −0.44 dB
_SIDE_INFORMATION: Final = 17  # bytes of a mono frame
_PADDING_BIT: Final = 0x02


def encode(samples: Mix) -> bytes:
    """Encode mono samples at `RATE`.

    Args:
        samples: −0.95 to 0.95; they come out of a decoder at this level.

    Returns:
        An MP3 file; the same samples give the same bytes.
    """
    frames = -(-(len(samples) + DELAY) // FRAME)
    scaled = samples * np.float32(32767.0 / _ENCODER_GAIN)
    data = np.rint(scaled, out=scaled).astype("<i2")
    encoder = lameenc.Encoder()
    encoder.silence()
    encoder.set_channels(1)
    encoder.set_in_sample_rate(RATE)
    encoder.set_out_sample_rate(RATE)
    encoder.set_bit_rate(BIT_RATE)
    encoder.set_quality(QUALITY)
    stream = bytes(encoder.encode(data.tobytes())) + bytes(encoder.flush())
    audio = stream[: _offset(stream, frames)]
    return _information(audio, frames, len(samples)) + audio


def _offset(stream: bytes, frames: int) -> int:
    """Byte at which so many frames have passed."""
    at = 0
    for _ in range(frames):
        at += frame_bytes(stream[at : at + 4])
    return at


def _information(audio: bytes, frames: int, length: int) -> bytes:
    """Write the information frame: counts, a seek table, delay and padding."""
    header = bytes((audio[0], audio[1], audio[2] & ~_PADDING_BIT, audio[3]))
    size = frame_bytes(header)
    padding = frames * FRAME - ENCODER_DELAY - length
    seek = bytes(256 * percent // 100 for percent in range(100))
    tag = (
        header
        + bytes(_SIDE_INFORMATION)
        + b"Info"
        + struct.pack(">III", 0x0F, frames, len(audio) + size)  # 0x0F: all four fields are there
        + seek
        + struct.pack(">I", 100 - 10 * QUALITY)
        + b"LAME3.100"
        + bytes((0x01, 0))  # constant bit rate; low-pass not told
        + bytes(8)  # no replay gain: the clip is levelled
        + bytes((0, BIT_RATE))
        + (ENCODER_DELAY << 12 | padding).to_bytes(3, "big")
        + bytes(4)
        + struct.pack(">IH", len(audio) + size, 0)
    )
    return (tag + struct.pack(">H", crc16(tag))).ljust(size, b"\0")
