"""The string's spectrum and decay against what is published of plucked strings.

Sources, all from memory:
    [FR] Fletcher and Rossing, *The Physics of Musical Instruments*, 2nd ed., ch. 2: an ideal string plucked
    at the fraction p of its length lacks the partials whose number is a multiple of 1/p; a stiff string's
    partials lie at n·f·√(1 + B·n²); damping by air grows with √f, damping inside and at the ends with f, so
    that high partials die first.
    [V] Välimäki, Huopaniemi, Karjalainen and Jánosy, JAES 44 (1996), 331–353: steel and nylon guitar strings'
    partials decay in two stages, because the two polarisations lose energy at different rates.
    [B] Inharmonicity of guitar strings is of the order of 10⁻⁵ to 10⁻³, largest for thick short ones.
    [T] Times to decay by 60 dB of a guitar's fundamentals: of the order of 5 to 15 s for the low E, 1 to 6 s
    for the high E, 0.5 to 3 s for its twelfth fret and above.
"""

import numpy as np
import pytest

from deckbuilder.sound.format import RATE
from deckbuilder.sound.samples import Samples
from deckbuilder.sound.string import GUITAR, frequency, partials, pluck
from tests.sound.listening import peak_near


def strength(samples: Samples, hertz: float) -> float:
    """Level of a partial, dB, in a window of its own length."""
    window = np.hanning(len(samples))
    turning = np.exp(-2j * np.pi * hertz * np.arange(len(samples)) / RATE)
    return 20.0 * float(np.log10(np.abs(np.sum(samples * window * turning)) / np.sum(window)))


def decay_time(midi: int, number: int, start: float, end: float) -> float:
    """Seconds to fall by 60 dB, from the slope of a partial's level."""
    sound = pluck(GUITAR, midi, end + 0.5, 0.8)
    hertz = partials(GUITAR, midi, 0.8)[0][number - 1]
    times = np.linspace(start, end, 12)
    width = round(max(0.12, 6.0 / frequency(midi)) * RATE)
    levels = [strength(sound[round(time * RATE) :][:width], hertz) for time in times]
    return float(-60.0 / np.polyfit(times, levels, 1)[0])


def test_partials_at_a_node_of_the_pluck_are_missing() -> None:
    """[FR] Plucked at about 3/20 of the length: near the multiples of 20/3 the spectrum dips."""
    sound = pluck(GUITAR, 40, 1.0, 1.0)[4000:30_000]
    levels = [strength(sound, hertz) for hertz in partials(GUITAR, 40, 1.0)[0][:26]]
    smooth = np.convolve(levels, np.ones(7) / 7, mode="valid")
    for node in (7, 13, 20):
        assert levels[node - 1] < smooth[node - 4] - 6


def test_the_spectrum_rolls_off() -> None:
    """[FR] An ideal pluck's velocity falls by 6 dB an octave; finger and body make it steeper."""
    sound = pluck(GUITAR, 40, 1.0, 0.8)[2000:20_000]
    hertz = partials(GUITAR, 40, 0.8)[0]

    def band(low: float, high: float) -> float:
        chosen = hertz[(hertz >= low) & (hertz < high)]
        return max(strength(sound, each) for each in chosen)

    assert band(1400, 2800) < band(350, 700) - 12
    assert band(2800, 5600) < band(1400, 2800) - 12


@pytest.mark.parametrize("midi", [28, 40, 52, 64, 76])
def test_stiffness_stretches_the_partials(midi: int) -> None:
    """[FR], [B] Inharmonicity fitted to the sound's own peaks."""
    sound = pluck(GUITAR, midi, 2.0, 0.9)[1500:40_000]
    numbers = np.arange(1, 7)
    found = np.array([peak_near(sound, number * frequency(midi), 0.01) for number in numbers])
    slope = np.polyfit(numbers**2, (found / numbers) ** 2, 1)
    assert 1e-5 < slope[0] / slope[1] < 1e-3


@pytest.mark.parametrize(
    ("midi", "least", "most"),
    [(40, 5.0, 15.0), (45, 4.0, 13.0), (64, 1.0, 6.0), (76, 0.5, 3.0), (86, 0.5, 3.0)],
)
def test_fundamentals_ring_as_long_as_published(midi: int, least: float, most: float) -> None:
    """[T]."""
    assert least < decay_time(midi, 1, 0.1, 1.0) < most


@pytest.mark.parametrize("midi", [40, 52, 64])
def test_high_partials_die_first(midi: int) -> None:
    """[FR]."""
    times = [decay_time(midi, number, 0.05, 0.5) for number in (1, 2, 4, 9)]
    assert times == sorted(times, reverse=True)
    assert times[0] > 3 * times[3]


@pytest.mark.parametrize("midi", [52, 64, 76])
def test_partials_decay_in_two_stages(midi: int) -> None:
    """[V] The late decay is slower than the early one."""
    early, late = decay_time(midi, 1, 0.1, 0.8), decay_time(midi, 1, 2.5, 3.5)
    assert late > 1.1 * early
