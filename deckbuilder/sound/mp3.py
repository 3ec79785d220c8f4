"""MP3 files from samples, in process.

Mono, 32 kHz, variable bit rate; a frame holds 1152 samples. The encoder comes in a wheel: no system package, no process
is started.

An encoder and a decoder together delay the sound by 1105 samples, and a file holds whole frames. So that a player
starts and stops on the sample and finds a place in a file of uneven frames, the first frame is an information frame
(silent in players that do not know it) that tells the delay, the padding and a table of places. Layout of that frame:
the "Mp3 Info Tag" specification, revision 1 (from memory); three independent decoders check it in the tests.

libsndfile writes such a frame by itself, but lets LAME work at its slowest only: five times the processor time.
"""

import struct
from functools import cache
from typing import Final

import lameenc
import numpy as np

from deckbuilder.sound.crc import crc16
from deckbuilder.sound.format import DELAY, ENCODER_DELAY, FRAME, RATE
from deckbuilder.sound.frames import frame_bytes
from deckbuilder.sound.samples import Mix

VBR_METHOD: Final = 4
"""LAME's newer and faster way to vary the bit rate ("mtrh")."""
VBR: Final = 6
"""How little noise the encoder may add, by LAME's scale, 0 least to 9 most: seven tenths of what 64 kbit/s takes."""
QUALITY: Final = 7
"""LAME's scale, 0 slowest to 9 fastest: twice as fast as 3, and no more noise that is not masked."""

_PART: Final = 1 << 16  # samples that a processor's cache holds
_SIDE_INFORMATION: Final = 17  # bytes of a mono frame
_INFORMATION_BIT_RATE: Final = 2  # 40 kbit/s in the header's index: 180 bytes, and 177 are told
_MOST_SEEK: Final = 255
_VARIABLE_BIT_RATE: Final = 0x05  # and revision 0 of the tag


def encode(samples: Mix) -> bytes:
    """Encode mono samples at `RATE`.

    Args:
        samples: −1 to 1; they come out of a decoder at this level.

    Returns:
        An MP3 file; the same samples give the same bytes.
    """
    encoder = lameenc.Encoder()
    encoder.silence()
    encoder.set_channels(1)
    encoder.set_in_sample_rate(RATE)
    encoder.set_out_sample_rate(RATE)
    encoder.set_vbr(VBR_METHOD)
    encoder.set_vbr_quality(VBR)
    encoder.set_quality(QUALITY)
    stream = bytes(encoder.encode(_numbers(samples))) + bytes(encoder.flush())
    places = _places(stream, -(-(len(samples) + DELAY) // FRAME))
    audio = stream[: places[-1]]
    return _information(audio, places, len(samples)) + audio


def _numbers(samples: Mix) -> bytes:
    """Return samples as numbers of 16 bits."""
    numbers = np.empty(len(samples), dtype="<i2")
    for first in range(0, len(samples), _PART):
        scaled = samples[first : first + _PART] * np.float32(32767.0)
        numbers[first : first + _PART] = np.rint(scaled, out=scaled)
    return numbers.tobytes()


def _places(stream: bytes, frames: int) -> list[int]:
    """Return the byte at which each of so many frames begins, and where the last one ends."""
    place, lengths = 0, _lengths(stream[:2])
    places = [place]
    for _ in range(frames):
        place += lengths[stream[place + 2]]
        places.append(place)
    return places


@cache
def _lengths(start: bytes) -> tuple[int, ...]:
    """Return how long a frame is by its header's third byte, which alone varies in a stream."""
    return tuple(frame_bytes(start + bytes((byte, 0))) for byte in range(256))


def _information(audio: bytes, places: list[int], length: int) -> bytes:
    """Write the information frame: counts, a seek table, delay and padding."""
    frames = len(places) - 1
    header = bytes((audio[0], audio[1], _INFORMATION_BIT_RATE << 4 | audio[2] & 0x0C, audio[3]))
    size = frame_bytes(header)
    whole = len(audio) + size
    padding = frames * FRAME - ENCODER_DELAY - length
    seek = [256 * (size + places[frames * percent // 100]) // whole for percent in range(100)]
    tag = (
        header
        + bytes(_SIDE_INFORMATION)
        + b"Xing"
        + struct.pack(">III", 0x0F, frames, whole)  # 0x0F: all four fields are there
        + bytes(min(_MOST_SEEK, place) for place in seek)
        + struct.pack(">I", 100 - 10 * VBR - QUALITY)
        + b"LAME3.100"
        + bytes((_VARIABLE_BIT_RATE, 0))  # low-pass not told
        + bytes(8)  # no replay gain: the clip is levelled
        + bytes((0, 0))  # no lowest bit rate was asked for
        + (ENCODER_DELAY << 12 | padding).to_bytes(3, "big")
        + bytes(4)
        + struct.pack(">IH", whole, 0)
    )
    return (tag + struct.pack(">H", crc16(tag))).ljust(size, b"\0")
