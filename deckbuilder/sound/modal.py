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
_GROUP: Final = 16  # blocks whose starts are taken from that of the first one
_INAUDIBLE: Final = 1e-4  # of the loudest mode, amplitude

_GROUPED: Final = _BLOCK * _GROUP
GRAIN: Final = _BLOCK * _CHUNK
"""Samples that are computed together; a sound that is computed in parts is cut between them."""


class Modes:
    """Modes of something that was struck or plucked, made ready to ring at any amplitudes.

    A mode at a block's start, times the same mode inside a block, is the mode; so a sum of modes is a product of two
    small matrices, and no sine is taken sample by sample.

    Args:
        hertz: their frequencies, below half of `RATE`.
        damping: their damping rates.
    """

    def __init__(self, hertz: Samples, damping: Samples) -> None:
        # Modes that ring longest come first, so that those alive in a block are the first so many.
        self._order = np.argsort(damping)
        self._damping = damping[self._order]
        self._power = 2j * np.pi * hertz[self._order] - self._damping
        self._blocks = self._exp(np.arange(_GROUP) * _BLOCK)
        coarse, fine = self._exp(np.arange(0, _BLOCK, _FINE)), self._exp(np.arange(_FINE))
        inside = (coarse.T[:, :, None] * fine.T[:, None, :]).reshape(-1, _BLOCK)
        # Im(z e) as a product of real numbers: (Re z, Im z) times (Im e, Re e), mode by mode.
        self._columns = np.stack((inside.imag, inside.real), axis=1).reshape(-1, _BLOCK).astype(np.float32)

    def _exp(self, samples: NDArray[np.integer]) -> NDArray[np.complex128]:
        """Return what each mode has come to after so many samples, a row for each number of them."""
        come_to: NDArray[np.complex128] = np.exp(np.outer(samples / RATE, self._power))
        return come_to

    def ring(self, amplitude: NDArray[np.complex128], count: int, first: int = 0) -> Mix:
        """Sum the modes: Σ |a|·exp(−d·t)·sin(2πf·t + arg a).

        Args:
            amplitude: their amplitudes and phases.
            count: samples wanted.
            first: the first of them, a multiple of `GRAIN`.

        Returns:
            `count` samples; each is the same to the bit whatever else is computed with it.
        """
        loud = np.abs(amplitude[self._order])
        with np.errstate(divide="ignore"):
            life = np.log(loud / (_INAUDIBLE * loud.max())) / self._damping
        # No mode after one of these is heard any longer.
        life = np.maximum.accumulate(life[::-1])[::-1]
        chunks = first + np.arange(-(-count // GRAIN)) * GRAIN
        groups = np.arange(first // _GROUPED, -(-(first + count) // _GROUPED))
        start = (amplitude[self._order] * self._exp(groups * _GROUPED))[:, None, :] * self._blocks
        skipped = first % _GROUPED // _BLOCK
        start = start.reshape(-1, len(self._power))[skipped : skipped + len(chunks) * _CHUNK]
        rows = start.view(np.float64).astype(np.float32).reshape(len(chunks), _CHUNK, -1)
        sound = np.empty((len(chunks), _CHUNK, _BLOCK), dtype=np.float32)
        alive = 2 * np.searchsorted(-life, chunks / -RATE)
        for chunk, modes in enumerate(alive):
            # All products are of one shape, so that a sample does not hang on how many are computed with it.
            np.matmul(rows[chunk, :, :modes], self._columns[:modes], out=sound[chunk])
        return sound.reshape(-1)[:count]
