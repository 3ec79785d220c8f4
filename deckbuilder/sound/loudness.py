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
_NOTICED: Final = 1.25  # peaks higher than the ceiling by this much take loudness with them, some 0.05 LU
_LOOKAHEAD: Final = 0.012  # s over which the gain moves, either way
_BLOCK: Final = 64  # samples that share one value of the gain


def levelled(samples: NDArray[np.float64], rate: int, loop: bool = False) -> NDArray[np.float64]:
    """Bring a clip to the target loudness, its peaks below the ceiling.

    A peak that would stick out is met by a gain that dips smoothly around it; the loudness lost is made up.

    Args:
        samples: mono, at least 0.4 s (one block of BS.1770), not silent.
        rate: samples a second.
        loop: the end is followed by the beginning.

    Returns:
        The samples at the new level; a new array.
    """
    gain = 10.0 ** ((TARGET - _loudness(samples, rate)) / 20.0)
    louder = limited(samples * gain, rate, loop)
    if _peak(samples) * gain > _NOTICED * _CEILING:
        gain *= 10.0 ** ((TARGET - _loudness(louder, rate)) / 20.0)
        louder = limited(samples * gain, rate, loop)
    return louder


def _peak(samples: NDArray[np.float64]) -> float:
    return float(max(np.max(samples, initial=0.0), -np.min(samples, initial=0.0)))


def _loudness(samples: NDArray[np.float64], rate: int) -> float:
    """Measure loudness, LUFS, of every second sample: little sounds above 10 kHz, and it is the same to 0.01 LU."""
    return float(pyloudnorm.Meter(rate / 2).integrated_loudness(samples[::2]))


def limited(samples: NDArray[np.float64], rate: int, loop: bool = False) -> NDArray[np.float64]:
    """Turn the gain down smoothly around every peak above the ceiling.

    Args:
        samples: mono.
        rate: samples a second.
        loop: the end is followed by the beginning, so a dip may reach over the seam.

    Returns:
        Samples no higher than the ceiling; unchanged where nothing sticks out within the look-ahead.
    """
    if _peak(samples) <= _CEILING:
        return samples
    if loop:
        seam = 4 * round(_LOOKAHEAD * rate)
        around = np.concatenate((samples[-seam:], samples, samples[:seam]))
        return limited(around, rate)[seam : seam + len(samples)]
    whole = len(samples) // _BLOCK * _BLOCK
    blocks = samples[:whole].reshape(-1, _BLOCK)
    loudest = np.append(np.maximum(blocks.max(axis=1), -blocks.min(axis=1)), _peak(samples[whole:]))
    need = np.minimum(1.0, _CEILING / np.maximum(loudest, _CEILING))
    # The minimum reaches one block farther than the mean, so that neither the mean nor the line between two
    # means is above what a block needs.
    width = 2 * round(_LOOKAHEAD * rate / _BLOCK) + 1
    dip = uniform_filter1d(minimum_filter1d(need, width + 2, mode="nearest"), width, mode="nearest")
    return _led(samples, dip)


def _led(samples: NDArray[np.float64], gains: NDArray[np.float64]) -> NDArray[np.float64]:
    """Lead the gain in straight lines from the middle of one block to the next, where it is not 1 in both."""
    ends = np.pad(gains, 1, mode="edge")
    half = _BLOCK // 2
    sheet = np.zeros((len(gains) + 1, _BLOCK))
    led = sheet.reshape(-1)[half : half + len(samples)]
    led[:] = samples
    moved = np.flatnonzero(np.minimum(ends[:-1], ends[1:]) < 1.0)
    way = np.arange(_BLOCK) / _BLOCK
    sheet[moved] *= ends[moved, None] + (ends[moved + 1] - ends[moved])[:, None] * way
    return led
