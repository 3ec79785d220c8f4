"""What every clip file is: MP3, mono, 32 kHz, variable bit rate. Numbers only."""

from typing import Final

RATE: Final = 32_000
"""Samples a second: whatever sounds here ends at 10 kHz, and the encoder keeps little above 15."""
FRAME: Final = 1152
"""Samples in an MP3 frame; a file holds whole frames."""
ENCODER_DELAY: Final = 576
"""Samples by which the encoder delays the sound."""
DECODER_DELAY: Final = 529
"""Samples by which any decoder delays it further."""
DELAY: Final = ENCODER_DELAY + DECODER_DELAY
"""Samples of silence before the sound in a player that does not know of them: 35 ms."""
