"""One loudness for all clips.

Loudness is measured by ITU-R BS.1770 in LUFS, peaks in dB of full scale. The target is the upper end of what
AES TD1004 (2015, recommendation for the loudness of streaming) allows, −16 LUFS with true peaks at most
−1 dBTP: loud enough for a phone speaker, and a plucked note's peak still fits.
"""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from deckbuilder.sound.description import SoundError
from deckbuilder.sound.samples import Mix, Samples
from deckbuilder.sound.weighting import BLOCK, k_weighted

TARGET: Final = -16.0
"""LUFS."""
PEAK: Final = -1.0
"""dBTP, the highest true peak of a decoded clip."""
CEILING: Final = 10.0 ** ((PEAK - 2.0) / 20.0)
"""The highest sample before encoding: room for peaks between samples and for the encoder's errors."""
_NOTICED: Final = 1.25  # peaks higher than the ceiling by this much take loudness with them, some 0.05 LU
_ENOUGH: Final = 1.02  # a gain that is not worth another round, 0.2 LU
_LOOKAHEAD: Final = 0.012  # s over which the gain moves, either way
_BLOCK: Final = 64  # samples that share one value of the gain
_WAY: Final = np.stack((1.0 - np.arange(_BLOCK) / _BLOCK, np.arange(_BLOCK) / _BLOCK)).astype(np.float32)
_TOGETHER: Final = 1024  # blocks in a product: so few that the linear-algebra library does not split it over threads
_GATED, _HOP = 0.4, 0.1  # s of a block of BS.1770, and from one to the next
_SILENCE: Final = -70.0  # LUFS
_OFFSET: Final = -0.691  # dB, of BS.1770
_MEASURED: Final = 3  # every so manieth sample tells the loudness of known sounds
_ROUNDS: Final = 6  # in which what unknown ones lose is made up


def levelled(samples: Mix, rate: int, *, known: bool = True) -> Mix:
    """Bring a clip to the target loudness, its peaks below the ceiling.

    A peak that would stick out is met by a gain that dips smoothly around it; the loudness lost is made up.

    Args:
        samples: mono, at least 0.4 s (one block of BS.1770), not silent.
        rate: samples a second.
        known: whether they are sounds made here, of which little lies above 5 kHz and few peaks stick out; others are
            measured in full, and what is lost is made up several times.

    Returns:
        The same samples, brought to the new level in place.

    Raises:
        SoundError: they are silent.
    """
    every, rounds = (_MEASURED, 1) if known else (1, _ROUNDS)
    loudest, power = _loudest(samples), weighted(samples[::every], rate / every)
    gain = _missing(power.loudness())
    dips = _dips(loudest * gain, rate)
    if loudest.max() * gain > _NOTICED * CEILING:
        for count in range(rounds):
            lost = _missing(power.loudness(gain * _averaged(dips, every, len(power.energy))))
            if count and 1.0 / _ENOUGH < lost < _ENOUGH:
                break
            # Half of it: where much of a clip lies at the gate, loudness jumps, and the whole would swing about it.
            gain *= lost if count == 0 else math.sqrt(lost)
            dips = _dips(loudest * gain, rate)
    _lead(samples, dips * gain)
    return samples


def _missing(loudness: float) -> float:
    """Gain that brings what is so loud to the target."""
    if loudness == -math.inf:
        raise SoundError("clip is silent: nothing in it is loud enough to be measured; start a note earlier")
    return math.pow(10.0, (TARGET - loudness) / 20.0)


def _averaged(gains: NDArray[np.float64], count: int, wanted: int) -> NDArray[np.float64]:
    """Take so many gains together; the last one holds for what is left over."""
    beyond = np.full(max(0, wanted * count - len(gains)), gains[-1])
    squares = np.square(np.concatenate((gains, beyond))[: wanted * count].reshape(wanted, count))
    averaged: NDArray[np.float64] = np.sqrt(squares @ np.ones(count) / count)
    return averaged


@dataclass(frozen=True, eq=False, slots=True)
class Weighted:
    """A clip as BS.1770 weighs it, in short blocks: what its loudness is, and what it would be at another gain.

    Args:
        energy: of the K-weighted samples of each block.
        ends: where the first block begins, and where each ends, in s.
        rate: samples a second.
    """

    energy: NDArray[np.float64]
    ends: NDArray[np.float64]
    rate: float

    def loudness(self, gain: NDArray[np.float64] | float = 1.0) -> float:
        """Measure the loudness by ITU-R BS.1770-4: in blocks of 0.4 s, gated twice.

        Args:
            gain: of all blocks, or of each, if it moves slowly: the filters remember some 10 ms.

        Returns:
            LUFS; minus infinity for silence.
        """
        energy = np.concatenate(([0.0], np.cumsum(self.energy * np.square(gain))))
        start = np.arange(round((self.ends[-1] - _GATED) / _HOP) + 1) * _HOP
        mean = np.diff(np.interp([start, start + _GATED], self.ends, energy), axis=0)[0] / (_GATED * self.rate)
        heard = mean[mean > 10.0 ** ((_SILENCE - _OFFSET) / 10.0)]
        if not len(heard):
            return -math.inf
        loud = heard[heard > np.mean(heard) / 10.0]
        return float(_OFFSET + 10.0 * np.log10(np.mean(loud)))


def weighted(samples: Mix, rate: float) -> Weighted:
    """Weigh a clip as BS.1770 does.

    Every third sample is enough where little sounds above 5 kHz: the loudness is the same to 0.05 LU.

    Args:
        samples: mono, at least 0.4 s.
        rate: samples a second.
    """
    heard = k_weighted(samples, rate)
    energy = np.einsum("ij,ij->i", heard, heard).astype(np.float64)
    ends = np.minimum(np.arange(len(heard) + 1) * BLOCK, len(samples)) / rate
    return Weighted(energy, ends, rate)


def limit(samples: Mix, rate: int) -> None:
    """Turn the gain down smoothly around every peak above the ceiling, in place.

    What does not stick out is left alone, but for the look-ahead around a peak.

    Args:
        samples: mono, two blocks of 64 or more.
        rate: samples a second.
    """
    _lead(samples, _dips(_loudest(samples), rate))


def _dips(loudest: NDArray[np.float64], rate: int) -> NDArray[np.float64]:
    """Gain of each block that keeps its peaks below the ceiling."""
    if loudest.max() <= CEILING:
        return np.ones(len(loudest))
    need = CEILING / np.maximum(loudest, CEILING)
    # The minimum reaches one block farther than the mean, so that neither the mean nor the line between two
    # means is above what a block needs.
    width = 2 * round(_LOOKAHEAD * rate / _BLOCK) + 1
    return np.convolve(_extended(_least(_extended(need, width + 2), width + 2), width), np.ones(width) / width, "valid")


def _extended(values: Samples, width: int) -> Samples:
    """Go on beyond both ends, so that each value is in the middle of so many."""
    beyond = np.ones(width // 2)
    return np.concatenate((beyond * values[0], values, beyond * values[-1]))


def _least(values: Samples, width: int) -> Samples:
    """Return the least of each so many values in a row: of two windows that meet or overlap comes a wider one."""
    reach = 1
    while reach < width:
        step = min(reach, width - reach)
        values = np.minimum(values[:-step], values[step:])
        reach += step
    return values


def _loudest(samples: Mix) -> NDArray[np.float64]:
    """Peak of each block; what is left over at the end belongs to the last one."""
    starts = np.arange(len(samples) // _BLOCK) * _BLOCK
    loudest: NDArray[np.float64] = np.maximum.reduceat(np.abs(samples), starts).astype(np.float64)
    return loudest


def _lead(samples: Mix, gains: NDArray[np.float64]) -> None:
    """Turn samples up and down, in place, in straight lines from the middle of one block to the next."""
    half, gain = _BLOCK // 2, gains.astype(np.float32)
    inner = slice(half, half + (len(gain) - 1) * _BLOCK)
    blocks, ends = samples[inner].reshape(-1, _BLOCK), np.stack((gain[:-1], gain[1:]), axis=1)
    for first in range(0, len(blocks), _TOGETHER):
        blocks[first : first + _TOGETHER] *= ends[first : first + _TOGETHER] @ _WAY
    samples[: inner.start] *= gain[0]
    samples[inner.stop :] *= gain[-1]
