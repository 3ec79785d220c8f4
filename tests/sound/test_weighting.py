"""K-weighting against the filters that ITU-R BS.1770-4 prints for 48 kHz (annex 1, tables 1 and 2; from memory)."""

import numpy as np
import pytest
from scipy import signal

from deckbuilder.sound.weighting import BLOCK, k_weighted

SHELF = (1.53512485958697, -2.69169618940638, 1.19839281085285), (1.0, -1.69065929318241, 0.73248077421585)
LOW_CUT = (1.0, -2.0, 1.0), (1.0, -1.99004745483398, 0.99007225036621)
RATE = 48_000


@pytest.mark.parametrize("length", [1, BLOCK, 40 * BLOCK + 1, 2 * RATE])
def test_filters_are_those_of_the_standard(length: int) -> None:
    """A step and noise: lows, which are remembered for long, and highs."""
    sound = np.random.default_rng(7).normal(1.0, 0.5, length).astype(np.float32)
    wanted = signal.lfilter(*LOW_CUT, signal.lfilter(*SHELF, sound))
    heard = k_weighted(sound, RATE)
    assert heard.shape == (-(-length // BLOCK), BLOCK)
    assert np.max(np.abs(heard.reshape(-1)[:length] - wanted)) < 0.012 * np.max(np.abs(wanted))
    assert not heard.reshape(-1)[length:].any()


def test_what_was_heard_long_ago_is_forgotten_no_sooner_than_the_filters_do() -> None:
    click = np.zeros(RATE, dtype=np.float32)
    click[0] = 1.0
    wanted = signal.lfilter(*LOW_CUT, signal.lfilter(*SHELF, click))
    heard = k_weighted(click, RATE).reshape(-1)
    assert np.max(np.abs(heard - wanted)[100:]) < 1e-4
