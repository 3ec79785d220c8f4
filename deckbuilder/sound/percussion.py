"""What keeps time in a backing loop: a wooden click and a ride cymbal.

Both are sums of decaying modes. A wood block has a few, quickly damped; a cymbal has so many, so closely and
irregularly spaced, that they are heard as one shimmer (Fletcher and Rossing, *The Physics of Musical
Instruments*, 2nd ed., ch. 19 and 20, from memory).
"""

from typing import Final

import numpy as np

from deckbuilder.sound.chance import band
from deckbuilder.sound.format import RATE
from deckbuilder.sound.modal import Modes
from deckbuilder.sound.samples import Mix, Samples

_WOOD: Final = ((1180.0, 75.0, 1.0), (1870.0, 110.0, 0.5), (2950.0, 160.0, 0.3))  # Hz, damping, level
_SHIMMER: Final = 180  # modes of the cymbal
_SHIMMER_HERTZ: Final = (380.0, 9500.0)
_PING: Final = ((2740.0, 14.0, 0.5), (4130.0, 18.0, 0.4))
_GOLDEN: Final = (5**0.5 - 1) / 2  # multiples of it, modulo 1, are spread evenly without a pattern
_CLICK_LEVEL: Final = 0.9
_RIDE_LEVEL: Final = 0.0105
_RIDE_DAMPING: Final = (1.0, 1e-4)  # 1/s, and 1/s a Hz
_STICK: Final = (2500.0, 9000.0, 0.006, 40.0)  # lowest and highest Hz, s in which it falls by a factor e, level
_ATTACK: Final = 0.0006  # s
_RELEASE: Final = 0.05  # s


def click(length: float, velocity: float) -> Mix:
    """Sound a wooden click.

    Args:
        length: s until it is silent.
        velocity: 0 to 1.

    Returns:
        Samples; the first and the last are 0.
    """
    hertz, damping, level = np.array(_WOOD).T
    return _struck(hertz, level, damping, length, velocity) * np.float32(_CLICK_LEVEL)


def ride(length: float, velocity: float) -> Mix:
    """Sound a ride cymbal, struck with the tip of the stick.

    Args:
        length: s until it is choked.
        velocity: 0 to 1; the harder, the brighter.

    Returns:
        Samples; the first and the last are 0.
    """
    low, high = _SHIMMER_HERTZ
    place = (np.arange(_SHIMMER) + np.arange(_SHIMMER) * _GOLDEN % 1.0) / _SHIMMER
    shimmer = low + (high - low) * place / place.max()
    ping = np.array(_PING).T
    hertz = np.concatenate((shimmer, ping[0]))
    level = np.concatenate((0.3 + 0.7 * velocity * place, ping[2] * 3.0))
    steady, growing = _RIDE_DAMPING
    damping = np.concatenate((steady + growing * shimmer, ping[1]))
    sound = _struck(hertz, level, damping, length, velocity)
    lowest, highest, decay, loud = _STICK
    count = min(len(sound), round(8 * decay * RATE))
    burst = band(lowest, highest, 0)[:count] * np.exp(np.arange(count) / (-decay * RATE))
    sound[:count] += _enveloped((burst * loud).astype(np.float32), velocity)
    return sound * np.float32(_RIDE_LEVEL)


def _struck(hertz: Samples, level: Samples, damping: Samples, length: float, velocity: float) -> Mix:
    count = max(2, round(length * RATE))
    phase = 2.0 * np.pi * np.arange(len(hertz)) ** 2 * _GOLDEN
    return _enveloped(Modes(hertz, damping).ring(level * np.exp(1j * phase), count), velocity)


def _enveloped(sound: Mix, velocity: float) -> Mix:
    """Give a sound its strength, its attack and its end, in place."""
    count = len(sound)
    sound *= velocity**1.5
    attack = min(count // 2, round(_ATTACK * RATE))
    sound[:attack] *= np.linspace(0.0, 1.0, attack, endpoint=False)
    fade = min(count // 2, round(_RELEASE * RATE))
    sound[count - fade :] *= np.linspace(1.0, 0.0, fade)
    return sound
