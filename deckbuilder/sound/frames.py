"""Frames of an MP3 file, walked without decoding.

Source: ISO/IEC 11172-3, the header of MPEG-1 Layer III frames (table from memory, checked against two decoders in the
tests).
"""

from functools import lru_cache
from typing import Final

HEADER: Final = 4
"""Bytes of a frame's header."""
BIT_RATES: Final = (0, 32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320, 0)
"""kbit/s by the header's index; 0 is not allowed here."""
RATES: Final = (44_100, 48_000, 32_000, 0)
"""Samples a second by the header's index; 0 is not allowed."""
_SYNC_AND_LAYER: Final = (0xFF, 0xFA)


@lru_cache(maxsize=1024)
def frame_bytes(header: bytes) -> int:
    """Return a frame's length.

    Args:
        header: its first four bytes.

    Returns:
        Bytes, the header included; 0 where this is no frame's header.
    """
    if len(header) < HEADER or (header[0], header[1] & 0xFE) != _SYNC_AND_LAYER:
        return 0
    bit_rate, rate = BIT_RATES[header[2] >> 4], RATES[header[2] >> 2 & 3]
    return 144 * bit_rate * 1000 // rate + (header[2] >> 1 & 1) if bit_rate and rate else 0
