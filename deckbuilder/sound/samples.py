"""Samples: how sound is held in memory. `RATE` a second, 1 is the loudest that a file can hold."""

import numpy as np
from numpy.typing import NDArray

Samples = NDArray[np.float64]
"""A note while it is computed."""
Mix = NDArray[np.float32]
"""Notes laid over each other: a clip. Its 24 bits are more than the encoder's 16, and half as many bytes to move."""
