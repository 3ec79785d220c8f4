"""The string's spectrum and decay against what is published of plucked strings.

Sources, all from memory:
    [FR] Fletcher and Rossing, *The Physics of Musical Instruments*, 2nd ed., ch. 2: an ideal string plucked
    at the fraction p of its length lacks the partials whose number is a multiple of 1/p; a stiff string's
    partials lie at n·f·√(1 + B·n²); damping by air grows with √f, damping inside and at the ends with f, so
    that high partials die first.
    [V] Välimäki, Huopaniemi, Karjalainen and Jánosy, JAES 44 (1996), 331–353: steel and nylon guitar strings'
    partials decay in two stages, because the two polarisations lose energy at different rates.
    [B] Inharmonicity of guitar strings is of the order of 10⁻⁵ to 10⁻³, largest for thick short ones.
    [R] Times to decay by 60 dB of the fundamentals of recorded notes: percentiles in `recorded_notes.json`.
"""

import numpy as np
import pytest

from deckbuilder.sound.format import RATE
from deckbuilder.sound.instruments import GUITAR
from deckbuilder.sound.samples import Samples
from deckbuilder.sound.string import frequency, partials, pluck
from tests.outside.recorded import REGISTERS
from tests.sound.listening import peak_near

T60 = [(register.pitches, (register.limits["T60_1"])) for register in REGISTERS]


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
    """[FR] Plucked at about 13/100 of the length: near the multiples of 100/13 the spectrum dips."""
    dips = []
    for midi in (40, 41, 42, 43):
        sound = pluck(GUITAR, midi, 1.0, 1.0)[4000:30_000]
        levels = [strength(sound, hertz) for hertz in partials(GUITAR, midi, 1.0)[0][:26]]
        smooth = np.convolve(levels, np.ones(7) / 7, mode="valid")
        dips += [smooth[node - 4] - levels[node - 1] for node in (8, 15, 23)]
    assert np.mean(dips) > 6


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
    numbers = np.arange(1, 13 if midi < 52 else 7)  # of a low string more can be told apart
    found = np.array([peak_near(sound, number * frequency(midi), 0.01) for number in numbers])
    slope = np.polyfit(numbers**2, (found / numbers) ** 2, 1)
    assert 1e-5 < slope[0] / slope[1] < 1e-3


@pytest.mark.parametrize("midi", [40, 45, 64, 76, 79])
def test_fundamentals_ring_as_long_as_recorded(midi: int) -> None:
    """[R] From the 5th to the 95th percentile, and half an octave either way, since a beat may steepen the slope."""
    (least, most) = next(limits for pitches, limits in T60 if midi in pitches)
    assert least / 1.5 < decay_time(midi, 1, 0.1, 1.0) < most * 1.5


@pytest.mark.parametrize("midi", [40, 52, 64])
def test_high_partials_die_first(midi: int) -> None:
    """[FR], but for what the body takes from some partials and not from their neighbours."""
    times = [[decay_time(midi, number, 0.05, 0.5) for number in numbers] for numbers in ((1, 2, 3), (4, 5, 6), (9, 10))]
    low, middle, high = map(np.median, times)
    assert low > middle > high
    assert low > 2 * high


def test_partials_decay_in_two_stages() -> None:
    """[V] The late decay is slower than the early one: of most partials, since they beat as well."""
    early, late = (
        [1 / decay_time(midi, number, *span) for midi in (45, 52, 64, 76) for number in range(1, 7)]
        for span in ((0.1, 0.8), (1.5, 3.0))
    )
    assert np.median(early) > 1.1 * np.median(late)
