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
_FINE: Final = 16  # samples after which the sine of a mode is taken anew, rather than turned on from there
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
    # Modes that ring longest come first, so that those alive in a block are the first so many.
    floor = np.log(_INAUDIBLE * float(np.max(np.abs(amplitude))))
    with np.errstate(divide="ignore"):
        life = (np.log(np.abs(amplitude)) - floor) / damping
    order = np.argsort(-life)
    life, power = life[order], (2j * np.pi * hertz - damping)[order]
    blocks = -(-count // _BLOCK)
    start = amplitude[order] * np.exp(np.outer(np.arange(blocks) * (_BLOCK / RATE), power))
    coarse = np.exp(np.outer(power, np.arange(0, _BLOCK, _FINE) / RATE))
    fine = np.exp(np.outer(power, np.arange(_FINE) / RATE))
    inside = (coarse[:, :, None] * fine[:, None, :]).reshape(len(power), _BLOCK)
    # Im(z e) as a product of real numbers: (Re z, Im z) times (Im e, Re e), mode by mode.
    rows = start.view(np.float64).astype(np.float32)
    columns = np.stack((inside.imag, inside.real), axis=1).reshape(-1, _BLOCK).astype(np.float32)
    sound = np.empty((blocks, _BLOCK), dtype=np.float32)
    for first in range(0, blocks, _CHUNK):
        part = slice(first, first + _CHUNK)
        alive = 2 * int(np.searchsorted(-life, -first * _BLOCK / RATE))
        np.matmul(rows[part, :alive], columns[:alive], out=sound[part])
    return sound.reshape(-1)[:count].astype(np.float64)
