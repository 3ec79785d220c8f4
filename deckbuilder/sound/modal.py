"""Sound as a sum of decaying sines: what anything does that was struck or plucked and then left alone.

Conventions: frequencies Hz, damping rates 1/s, `RATE` samples a second.
"""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from deckbuilder.sound.format import RATE
from deckbuilder.sound.samples import Samples

# Products so small that the linear-algebra library does not split them over threads: a build has a process
# a core already, and idle threads that wait for the next product cost more than they save.
_BLOCK: Final = 192  # samples in a row of the matrix product
_CHUNK: Final = 4  # rows after which modes that have died are dropped
_INAUDIBLE: Final = 1e-4  # of the loudest mode, amplitude


def ring(hertz: Samples, amplitude: NDArray[np.complex128], damping: Samples, count: int) -> Samples:
    """Sum the modes: Σ |a|·exp(−d·t)·sin(2πf·t + arg a).

    A mode at a block's start, times the same mode inside a block, is the mode; so the whole sum is a product
    of two small matrices, and no sine is taken sample by sample.

    Args:
        hertz: frequencies of the modes, below half of `RATE`.
        amplitude: their amplitudes and phases.
        damping: their damping rates.
        count: samples wanted.

    Returns:
        `count` samples.
    """
    power = 2j * np.pi * hertz - damping
    blocks = -(-count // _BLOCK)
    inside = np.exp(np.outer(power, np.arange(_BLOCK) / RATE))
    start = amplitude * np.exp(np.outer(np.arange(blocks) * (_BLOCK / RATE), power))
    floor = _INAUDIBLE * float(np.max(np.abs(amplitude)))
    sound = np.empty((blocks, _BLOCK))
    for first in range(0, blocks, _CHUNK):
        rows = slice(first, first + _CHUNK)
        alive = np.abs(start[first]) > floor
        z, e = start[rows, alive], inside[alive]
        sound[rows] = np.hstack((z.imag, z.real)) @ np.vstack((e.real, e.imag))
    return sound.reshape(-1)[:count]
