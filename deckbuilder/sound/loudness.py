"""One loudness for all clips.

Loudness is measured by ITU-R BS.1770 in LUFS, peaks in dB of full scale. The target is the upper end of what
AES TD1004 (2015, recommendation for the loudness of streaming) allows, −16 LUFS with true peaks at most
−1 dBTP: loud enough for a phone speaker, and a plucked note's peak still fits.
"""

import math
from functools import cache
from typing import Final

import numpy as np
import pyloudnorm
from numpy.typing import NDArray
from scipy.ndimage import minimum_filter1d, uniform_filter1d

from deckbuilder.sound.description import SoundError
from deckbuilder.sound.samples import Mix

TARGET: Final = -16.0
"""LUFS."""
PEAK: Final = -1.0
"""dBTP, the highest true peak of a decoded clip."""
CEILING: Final = 10.0 ** ((PEAK - 2.0) / 20.0)
"""The highest sample before encoding: room for peaks between samples and for the encoder's errors."""
_NOTICED: Final = 1.25  # peaks higher than the ceiling by this much take loudness with them, some 0.05 LU
_LOOKAHEAD: Final = 0.012  # s over which the gain moves, either way
_BLOCK: Final = 64  # samples that share one value of the gain
_MEASURED: Final = 3  # every so manieth sample tells the loudness


def levelled(samples: Mix, rate: int) -> Mix:
    """Bring a clip to the target loudness, its peaks below the ceiling.

    A peak that would stick out is met by a gain that dips smoothly around it; the loudness lost is made up.

    Args:
        samples: mono, at least 0.4 s (one block of BS.1770), not silent.
        rate: samples a second.

    Returns:
        The samples at the new level; a new array.

    Raises:
        SoundError: they are silent.
    """
    gain = _missing(samples, rate)
    louder = samples * gain
    limit(louder, rate)
    if _peak(samples) * gain > _NOTICED * CEILING:
        np.multiply(samples, gain * _missing(louder, rate), out=louder)
        limit(louder, rate)
    return louder


def _peak(samples: Mix) -> float:
    return float(max(np.max(samples), -np.min(samples)))


def _missing(samples: Mix, rate: int) -> np.float32:
    """Gain that brings samples to the target.

    Every third one is measured: little sounds above 5 kHz, and the loudness is the same to 0.05 LU.
    """
    loudness = _meter(rate / _MEASURED).integrated_loudness(samples[::_MEASURED])
    if loudness == -math.inf:
        raise SoundError("clip is silent: nothing in it is loud enough to be measured; start a note earlier")
    return np.float32(10.0 ** ((TARGET - loudness) / 20.0))


@cache
def _meter(rate: float) -> pyloudnorm.Meter:
    return pyloudnorm.Meter(rate)


def limit(samples: Mix, rate: int) -> None:
    """Turn the gain down smoothly around every peak above the ceiling, in place.

    What does not stick out is left alone, but for the look-ahead around a peak.

    Args:
        samples: mono, two blocks of 64 or more.
        rate: samples a second.
    """
    loudest = _loudest(samples)
    if loudest.max() <= CEILING:
        return
    need = np.minimum(1.0, CEILING / np.maximum(loudest, CEILING))
    # The minimum reaches one block farther than the mean, so that neither the mean nor the line between two
    # means is above what a block needs.
    width = 2 * round(_LOOKAHEAD * rate / _BLOCK) + 1
    _lead(samples, uniform_filter1d(minimum_filter1d(need, width + 2, mode="nearest"), width, mode="nearest"))


def _loudest(samples: Mix) -> NDArray[np.float64]:
    """Peak of each block; what is left over at the end belongs to the last one."""
    blocks = len(samples) // _BLOCK
    whole = samples[: blocks * _BLOCK].reshape(blocks, _BLOCK)
    loudest: NDArray[np.float64] = np.maximum(whole.max(axis=1), -whole.min(axis=1)).astype(np.float64)
    loudest[-1] = _peak(samples[(blocks - 1) * _BLOCK :])
    return loudest


def _lead(samples: Mix, gains: NDArray[np.float64]) -> None:
    """Lead the gain in straight lines from the middle of one block to the next, where it is not 1 in both."""
    half = _BLOCK // 2
    lines = samples[half : half + (len(gains) - 1) * _BLOCK].reshape(-1, _BLOCK)
    moved = np.flatnonzero(np.minimum(gains[:-1], gains[1:]) < 1.0)
    way = np.arange(_BLOCK) / _BLOCK
    lines[moved] *= (gains[moved, None] + (gains[moved + 1] - gains[moved])[:, None] * way).astype(samples.dtype)
    samples[half + lines.size :] *= samples.dtype.type(gains[-1])
    samples[:half] *= samples.dtype.type(gains[0])
