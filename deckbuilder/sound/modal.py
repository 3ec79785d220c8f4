"""Sound as a sum of decaying sines: what anything does that was struck or plucked and then left alone.

Conventions: frequencies Hz, damping rates 1/s, `RATE` samples a second.
"""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from deckbuilder.sound.format import RATE
from deckbuilder.sound.samples import Mix, Samples

# Products so small that the linear-algebra library does not split them over threads: a build has a process
# a core already, and idle threads that wait for the next product cost more than they save.
_BLOCK: Final = 192  # samples in a row of the matrix product
_FINE: Final = 16  # samples after which the sine of a mode is taken anew, rather than turned on from there
_CHUNK: Final = 4  # rows after which modes that have died are dropped
_INAUDIBLE: Final = 1e-4  # of the loudest mode, amplitude

GRAIN: Final = _BLOCK * _CHUNK
"""Samples that are computed together; a sound that is computed in parts is cut between them."""


def ring(hertz: Samples, amplitude: NDArray[np.complex128], damping: Samples, count: int, first: int = 0) -> Mix:
    """Sum the modes: Σ |a|·exp(−d·t)·sin(2πf·t + arg a).

    A mode at a block's start, times the same mode inside a block, is the mode; so the whole sum is a product
    of two small matrices, and no sine is taken sample by sample.

    Args:
        hertz: frequencies of the modes, below half of `RATE`.
        amplitude: their amplitudes and phases.
        damping: their damping rates.
        count: samples wanted.
        first: the first of them, a multiple of `GRAIN`.

    Returns:
        `count` samples; each is the same to the bit whatever else is computed with it.
    """
    # Modes that ring longest come first, so that those alive in a block are the first so many.
    floor = np.log(_INAUDIBLE * float(np.max(np.abs(amplitude))))
    with np.errstate(divide="ignore"):
        life = (np.log(np.abs(amplitude)) - floor) / damping
    order = np.argsort(-life)
    life, power = life[order], (2j * np.pi * hertz - damping)[order]
    chunks = -(-count // GRAIN)
    blocks = first // _BLOCK + np.arange(chunks * _CHUNK)
    start = amplitude[order] * np.exp(np.outer(blocks * (_BLOCK / RATE), power))
    coarse = np.exp(np.outer(power, np.arange(0, _BLOCK, _FINE) / RATE))
    fine = np.exp(np.outer(power, np.arange(_FINE) / RATE))
    inside = (coarse[:, :, None] * fine[:, None, :]).reshape(len(power), _BLOCK)
    # Im(z e) as a product of real numbers: (Re z, Im z) times (Im e, Re e), mode by mode.
    rows = start.view(np.float64).astype(np.float32)
    columns = np.stack((inside.imag, inside.real), axis=1).reshape(-1, _BLOCK).astype(np.float32)
    sound = np.empty((chunks * _CHUNK, _BLOCK), dtype=np.float32)
    alive = 2 * np.searchsorted(-life, (first + np.arange(chunks) * GRAIN) / -RATE)
    for chunk, modes in enumerate(alive):
        # All products are of one shape, so that a sample does not hang on how many are computed with it.
        part = slice(chunk * _CHUNK, (chunk + 1) * _CHUNK)
        np.matmul(rows[part, :modes], columns[:modes], out=sound[part])
    return sound.reshape(-1)[:count]
