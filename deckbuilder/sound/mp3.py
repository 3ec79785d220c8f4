"""MP3 files from samples, in process.

Mono, 44.1 kHz, constant bit rate; a frame is 1152 samples. The encoder comes in a wheel: no system package,
no process is started.
"""

from typing import Final

import lameenc
import numpy as np
from numpy.typing import NDArray

BIT_RATE: Final = 64
"""kbit/s: transparent for one plucked string, 8 kB a second."""
_QUALITY: Final = 2  # LAME's scale, 0 slowest to 9 fastest; its own recommendation
_ENCODER_GAIN: Final = 0.95  # LAME turns its input down by this; measured, −0.44 dB


def encode(samples: NDArray[np.float64], rate: int) -> bytes:
    """Encode mono samples.

    Args:
        samples: −1 to 1, at most 0.95 either way; they come out of a decoder at this level.
        rate: samples a second.

    Returns:
        An MP3 file: audio frames only, no tags, so that the same samples give the same bytes.
    """
    encoder = lameenc.Encoder()
    encoder.silence()
    encoder.set_channels(1)
    encoder.set_in_sample_rate(rate)
    encoder.set_out_sample_rate(rate)
    encoder.set_bit_rate(BIT_RATE)
    encoder.set_quality(_QUALITY)
    data = np.round(samples * (32767.0 / _ENCODER_GAIN)).astype("<i2").tobytes()
    return bytes(encoder.encode(data)) + bytes(encoder.flush())
