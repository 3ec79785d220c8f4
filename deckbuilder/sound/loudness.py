"""One loudness for all clips.

Loudness is measured by ITU-R BS.1770 in LUFS, peaks in dB of full scale. The target is the upper end of what
AES TD1004 (2015, recommendation for the loudness of streaming) allows, −16 LUFS with true peaks at most
−1 dBTP: loud enough for a phone speaker, and a plucked note's peak still fits.

The filters are those of BS.1770 for any rate: a shelf and a high-pass from the "Cookbook formulae for audio equalizer
biquad filter coefficients" (Bristow-Johnson), with the figures that pyloudnorm takes; the tests hold the loudness
against it.
"""

import math
from dataclasses import dataclass
from functools import cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from deckbuilder.sound.description import SoundError
from deckbuilder.sound.samples import Mix

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
_GATED, _HOP = 0.4, 0.1  # s of a block of BS.1770, and from one to the next
_SILENCE: Final = -70.0  # LUFS
_FORGOTTEN: Final = 0.06  # s after which what a filter has heard is at −90 dB, or some less
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
        The samples at the new level; a new array.

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
    return _led(samples, dips * gain)


def _missing(loudness: float) -> float:
    """Gain that brings what is so loud to the target."""
    if loudness == -math.inf:
        raise SoundError("clip is silent: nothing in it is loud enough to be measured; start a note earlier")
    return math.pow(10.0, (TARGET - loudness) / 20.0)


def _averaged(gains: NDArray[np.float64], count: int, wanted: int) -> NDArray[np.float64]:
    """Take so many gains together; the last one holds for what is left over."""
    padded = np.pad(gains, (0, max(0, wanted * count - len(gains))), mode="edge")
    squares = np.square(padded[: wanted * count].reshape(wanted, count))
    averaged: NDArray[np.float64] = np.sqrt(np.mean(squares, axis=1))
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
    heard = _filtered(samples, rate)
    starts = np.arange(0, len(heard), _BLOCK)
    energy = np.add.reduceat(np.square(heard, out=heard), starts)
    return Weighted(energy, np.append(starts, len(heard)) / rate, rate)


def _filtered(samples: Mix, rate: float) -> NDArray[np.float64]:
    """Filter by frequency, piece by piece; each begins so early that the filters have forgotten what was before.

    As fast as `scipy.signal.sosfilt`, whose package takes a second of processor time to load.
    """
    response, early = _weighting(rate)
    size = 2 * (len(response) - 1)
    step = size - early
    pieces = -(-len(samples) // step)
    padded = np.zeros(early + pieces * step)
    padded[early : early + len(samples)] = samples
    overlapping = np.lib.stride_tricks.sliding_window_view(padded, size)[::step]
    heard = np.fft.irfft(np.fft.rfft(overlapping) * response)[:, early:]
    return np.ascontiguousarray(heard).reshape(-1)[: len(samples)]


@cache
def _weighting(rate: float) -> tuple[NDArray[np.complex128], int]:
    """Return what the K-weighting does to each frequency, and the samples after which it has forgotten one."""
    early = 2 ** round(math.log2(_FORGOTTEN * rate))
    back = np.exp(-1j * np.pi * np.arange(2 * early + 1) / (2 * early))  # a sample's delay
    response = np.ones(len(back), dtype=np.complex128)
    for above, below in (_shelf(rate), _low_cut(rate)):
        response *= np.polyval(above[::-1], back) / np.polyval(below[::-1], back)
    return response, early


_Biquad = tuple[tuple[float, float, float], tuple[float, float, float]]
"""Coefficients of a filter of the second order, above and below the line, each from no delay on."""


def _shelf(rate: float) -> _Biquad:
    """Louder by 4 dB above 1.5 kHz: the head."""
    gain, sine, cosine = 10.0 ** (4.0 / 40.0), *_turn(1500.0, rate)
    slope = math.sqrt(gain) * sine * math.sqrt(2.0)
    more, less = gain + 1.0, gain - 1.0
    return (
        (
            gain * (more + less * cosine + slope),
            -2.0 * gain * (less + more * cosine),
            gain * (more + less * cosine - slope),
        ),
        (more - less * cosine + slope, 2.0 * (less - more * cosine), more - less * cosine - slope),
    )


def _low_cut(rate: float) -> _Biquad:
    """Without what lies below 38 Hz."""
    sine, cosine = _turn(38.0, rate)
    return ((1.0 + cosine) / 2.0, -1.0 - cosine, (1.0 + cosine) / 2.0), (1.0 + sine, -2.0 * cosine, 1.0 - sine)


def _turn(hertz: float, rate: float) -> tuple[float, float]:
    """Return sine and cosine of the angle by which a frequency turns in a sample."""
    return math.sin(2.0 * math.pi * hertz / rate), math.cos(2.0 * math.pi * hertz / rate)


def limit(samples: Mix, rate: int) -> None:
    """Turn the gain down smoothly around every peak above the ceiling, in place.

    What does not stick out is left alone, but for the look-ahead around a peak.

    Args:
        samples: mono, two blocks of 64 or more.
        rate: samples a second.
    """
    samples[:] = _led(samples, _dips(_loudest(samples), rate))


def _dips(loudest: NDArray[np.float64], rate: int) -> NDArray[np.float64]:
    """Gain of each block that keeps its peaks below the ceiling."""
    if loudest.max() <= CEILING:
        return np.ones(len(loudest))
    need = CEILING / np.maximum(loudest, CEILING)
    # The minimum reaches one block farther than the mean, so that neither the mean nor the line between two
    # means is above what a block needs.
    width = 2 * round(_LOOKAHEAD * rate / _BLOCK) + 1
    gains: NDArray[np.float64] = np.mean(_around(np.min(_around(need, width + 2), axis=1), width), axis=1)
    return gains


def _around(values: NDArray[np.float64], width: int) -> NDArray[np.float64]:
    """Return so many neighbours of each value, itself in their middle; the ends go on beyond themselves."""
    return np.lib.stride_tricks.sliding_window_view(np.pad(values, width // 2, mode="edge"), width)


def _loudest(samples: Mix) -> NDArray[np.float64]:
    """Peak of each block; what is left over at the end belongs to the last one."""
    starts = np.arange(len(samples) // _BLOCK) * _BLOCK
    loudest: NDArray[np.float64] = np.maximum.reduceat(np.abs(samples), starts).astype(np.float64)
    return loudest


def _led(samples: Mix, gains: NDArray[np.float64]) -> Mix:
    """Turn samples up and down, in straight lines from the middle of one block to the next."""
    half, gain = _BLOCK // 2, gains.astype(np.float32)
    led = np.empty_like(samples)
    inner = slice(half, half + (len(gain) - 1) * _BLOCK)
    way = np.arange(_BLOCK, dtype=np.float32) / _BLOCK
    lines = led[inner].reshape(-1, _BLOCK)
    np.multiply(np.diff(gain)[:, None], way, out=lines)
    lines += gain[:-1, None]
    lines *= samples[inner].reshape(-1, _BLOCK)
    led[: inner.start] = samples[: inner.start] * gain[0]
    led[inner.stop :] = samples[inner.stop :] * gain[-1]
    return led
