"""One loudness for all clips.

Loudness is measured by ITU-R BS.1770 in LUFS, peaks in dB of full scale. The target is the upper end of what
AES TD1004 (2015, recommendation for the loudness of streaming) allows, −16 LUFS with true peaks at most
−1 dBTP: loud enough for a phone speaker, and a plucked note's peak still fits.
"""

from typing import Final

import numpy as np
import pyloudnorm
from numpy.typing import NDArray
from scipy.ndimage import minimum_filter1d, uniform_filter1d

TARGET: Final = -16.0
"""LUFS."""
PEAK: Final = -1.0
"""dBTP, the highest true peak of a decoded clip."""
_CEILING: Final = 10.0 ** ((PEAK - 1.2) / 20.0)  # room for peaks between samples and for the encoder's errors
_LOOKAHEAD: Final = 0.008  # s over which the gain moves


def levelled(samples: NDArray[np.float64], rate: int) -> NDArray[np.float64]:
    """Bring a clip to the target loudness, its peaks below the ceiling.

    A peak that would stick out is met by a gain that dips smoothly around it; the loudness lost is made up.

    Args:
        samples: mono, at least 0.4 s (one block of BS.1770), not silent.
        rate: samples a second.

    Returns:
        The samples at the new level; a new array.
    """
    meter = pyloudnorm.Meter(rate)
    gain = 10.0 ** ((TARGET - meter.integrated_loudness(samples)) / 20.0)
    louder = limited(samples * gain, rate)
    if np.max(np.abs(samples)) * gain > _CEILING:
        gain *= 10.0 ** ((TARGET - meter.integrated_loudness(louder)) / 20.0)
        louder = limited(samples * gain, rate)
    return louder


def limited(samples: NDArray[np.float64], rate: int) -> NDArray[np.float64]:
    """Turn the gain down smoothly around every peak above the ceiling.

    Args:
        samples: mono.
        rate: samples a second.

    Returns:
        Samples no higher than the ceiling; unchanged where nothing sticks out within the look-ahead.
    """
    size = np.abs(samples)
    if size.max(initial=0.0) <= _CEILING:
        return samples
    width = 2 * round(_LOOKAHEAD * rate) + 1
    # Every mean over `width` lies within the minimum's reach of its sample, so it is never above its need.
    need = minimum_filter1d(np.minimum(1.0, _CEILING / np.maximum(size, _CEILING)), width, mode="nearest")
    dip: NDArray[np.float64] = uniform_filter1d(need, width, mode="nearest")
    return samples * dip
