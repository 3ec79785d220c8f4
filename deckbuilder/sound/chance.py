"""Unevenness that is the same on every machine and every day: what varies is drawn from a seed.

The generator is the Mersenne Twister as NumPy's `RandomState` keeps it: its stream is frozen for good (NumPy
enhancement proposal 19), so a clip's bytes do not hang on NumPy's version.
"""

from functools import lru_cache
from typing import Final

import numpy as np

from deckbuilder.sound.format import RATE
from deckbuilder.sound.samples import Samples

_NOISE: Final = 1 << 14  # samples


def scatter(seed: int, rows: int, count: int) -> Samples:
    """Draw numbers between −1 and 1, so evenly that eight in a row lie in different eighths of the range.

    Args:
        seed: 0 or more; the same seed draws the same numbers.
        rows: how many rows of numbers.
        count: numbers in a row, a multiple of eight.
    """
    eighths, within = np.random.RandomState(seed).random_sample((2, rows, count // 8, 8))
    drawn: Samples = (np.argsort(eighths) + within).reshape(rows, count) / 4.0 - 1.0
    return drawn


@lru_cache(maxsize=256)
def band(low: float, high: float, seed: int) -> Samples:
    """Make noise between two frequencies; its edges fall by 18 dB an octave.

    Args:
        low: Hz.
        high: Hz.
        seed: 0 or more; the same seed makes the same noise.

    Returns:
        Samples with an RMS of 1; do not change them in place.
    """
    hertz = np.fft.rfftfreq(_NOISE, 1.0 / RATE)
    hertz[0] = 1.0
    phase = 2.0 * np.pi * np.random.RandomState(seed).random_sample(len(hertz))
    edges = (1.0 + (low / hertz) ** 6) * (1.0 + (hertz / high) ** 6)
    noise: Samples = np.fft.irfft(np.exp(1j * phase) / np.sqrt(edges))
    noise /= np.sqrt(np.mean(noise**2))
    return noise
