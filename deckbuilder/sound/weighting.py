"""K-weighting of ITU-R BS.1770: a clip as loud as its frequencies are to the ear.

The filters are those of BS.1770 for any rate: a shelf and a high-pass from the "Cookbook formulae for audio equalizer
biquad filter coefficients" (Bristow-Johnson), with the figures that pyloudnorm takes; the tests hold the loudness
against it.

Both together turn four numbers that they remember and a block of samples into a filtered block and what they remember
then. That is one matrix, so a clip is filtered by a few products of matrices, in less than half the time that Fourier
transforms or `scipy.signal.sosfilt` take, whose package besides takes a second of processor time to load.
"""

import math
from functools import cache
from typing import Final

import numpy as np

from deckbuilder.sound.samples import Mix

BLOCK: Final = 64
"""Samples that are filtered at once."""
_STATE: Final = 4  # numbers that the filters remember
_TOGETHER: Final = 32  # blocks in a product: so few that the linear-algebra library does not split it over threads
_FORGOTTEN: Final = 0.06  # s after which what a filter has heard is at −90 dB, or some less


def k_weighted(samples: Mix, rate: float) -> Mix:
    """Filter a clip.

    Args:
        samples: mono.
        rate: samples a second.

    Returns:
        Filtered samples in blocks, shape (blocks, `BLOCK`); zeros after the last one.
    """
    matrix = _matrix(rate)
    blocks = np.zeros((-(-len(samples) // (BLOCK * _TOGETHER)), _TOGETHER, BLOCK), dtype=np.float32)
    blocks.reshape(-1)[: len(samples)] = samples
    heard = blocks @ matrix[_STATE:, :BLOCK]
    # What the filters remember before each block: first of the block before, then of two, of four and so on.
    state = np.zeros((blocks.size // BLOCK, _STATE), dtype=np.float32)
    state[1:] = (blocks @ matrix[_STATE:, BLOCK:]).reshape(-1, _STATE)[:-1]
    step, stays = 1, matrix[:_STATE, BLOCK:]
    while step * BLOCK < _FORGOTTEN * rate:
        state[step:] += state[:-step] @ stays
        step, stays = 2 * step, stays @ stays
    heard += state.reshape(-1, _TOGETHER, _STATE) @ matrix[:_STATE, :BLOCK]
    heard.reshape(-1)[len(samples) :] = 0.0
    return heard.reshape(-1, BLOCK)[: -(-len(samples) // BLOCK)]


@cache
def _matrix(rate: float) -> Mix:
    """Return what takes memory and samples, in a row, to filtered samples and memory.

    Each row is what comes of a 1 in one place: the filters are run on all of them together.
    """
    start = np.eye(_STATE + BLOCK)
    memory, heard = list(start[:, :_STATE].T), list(start[:, _STATE:].T)
    for first, (above, below) in ((0, _shelf(rate)), (2, _low_cut(rate))):
        scale = below[0]
        for at, sample in enumerate(heard):
            # Transposed direct form II.
            heard[at] = out = memory[first] + above[0] / scale * sample
            memory[first] = memory[first + 1] + above[1] / scale * sample - below[1] / scale * out
            memory[first + 1] = above[2] / scale * sample - below[2] / scale * out
    return np.stack((*heard, *memory), axis=1).astype(np.float32)


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
