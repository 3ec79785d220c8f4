"""What every clip file is: MP3, mono, 44.1 kHz, constant bit rate. Numbers only."""

from typing import Final

RATE: Final = 44_100
"""Samples a second."""
BIT_RATE: Final = 64
"""kbit/s: transparent for plucked strings, 8 kB a second."""
FRAME: Final = 1152
"""Samples in an MP3 frame; a file holds whole frames."""
ENCODER_DELAY: Final = 576
"""Samples by which the encoder delays the sound."""
DECODER_DELAY: Final = 529
"""Samples by which any decoder delays it further."""
DELAY: Final = ENCODER_DELAY + DECODER_DELAY
"""Samples of silence before the sound in a player that does not know of them: 25 ms."""
