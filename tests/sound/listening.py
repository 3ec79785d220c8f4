"""What the sound tests measure with: decoding, cents, loudness of a stretch.

Conventions: samples −1 to 1, frequencies Hz, pitch differences in cents.
"""

import io

import numpy as np
import soundfile

from deckbuilder.sound.format import RATE
from deckbuilder.sound.samples import Samples


def decoded(mp3: bytes) -> Samples:
    """Decode an MP3 file with libsndfile."""
    samples, rate = soundfile.read(io.BytesIO(mp3))
    assert rate == RATE
    assert samples.ndim == 1
    return np.asarray(samples)


def cents(hertz: float, reference: float) -> float:
    return 1200.0 * float(np.log2(hertz / reference))


def peak_near(samples: Samples, hertz: float, within: float = 0.03) -> float:
    """Frequency of the highest spectral peak near one, by a parabola through the logarithms of three bins."""
    size = 1 << 19
    spectrum = np.log(np.abs(np.fft.rfft(samples * np.hanning(len(samples)), size)) + 1e-12)
    low, high = (round(hertz * (1 + side * within) * size / RATE) for side in (-1, 1))
    top = low + int(np.argmax(spectrum[low : high + 1]))
    before, at, after = spectrum[top - 1 : top + 2]
    return float((top + 0.5 * (before - after) / (before - 2 * at + after)) * RATE / size)


def level(samples: Samples) -> float:
    """Root mean square, dB of full scale."""
    return 10.0 * float(np.log10(np.mean(samples**2) + 1e-12))
