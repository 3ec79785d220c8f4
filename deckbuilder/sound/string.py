"""A plucked string and the body it drives, as a sum of decaying partials.

Conventions: pitches are MIDI note numbers, frequencies Hz, times s, damping rates 1/s (amplitude falls by a
factor e in 1/rate). A string is linear once it is let go, so its sound is exactly the sum of
its modes; each is computed in closed form, which puts every pitch in tune by construction and cannot alias.

Sources:
    Fletcher and Rossing, *The Physics of Musical Instruments*, 2nd ed., ch. 2 (the spectrum of a plucked
    string by pluck position; stiffness; the three causes of damping) and ch. 9 (guitar body: air and
    top-plate modes near 100 and 200 Hz, little radiation below them).
    Välimäki, Huopaniemi, Karjalainen and Jánosy, "Physical Modeling of Plucked String Instruments with
    Application to Real-Time Sound Synthesis", JAES 44 (1996): two polarisations that decay at different
    rates, the pluck's own low-pass filter, the body's short response.
    Figures are from memory and fitted by ear and by the decay times that the tests compare.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from deckbuilder.sound.description import A4, RELEASE
from deckbuilder.sound.format import RATE
from deckbuilder.sound.modal import ring
from deckbuilder.sound.samples import Samples

_TOP: Final = 10_000.0  # Hz; the encoder keeps little above
_MOST_PARTIALS: Final = 128


@dataclass(frozen=True, slots=True)
class StringModel:
    """What makes one kind of plucked instrument.

    Args:
        pluck: place of the pluck at MIDI note 40, as a fraction of the sounding length from the bridge.
        stiffness: inharmonicity coefficient B at MIDI note 40.
        air: damping per square root of Hz (viscous drag of the air).
        inner: damping per Hz (losses inside the string and through its ends).
        softness: Hz above which the finger or pick leaves the string without energy, at full velocity.
        body: (Hz, damping rate, level) of the body modes that the pluck knocks on.
        radiates_from: Hz below which the body radiates less and less.
        presence: (Hz, width in octaves, gain) of the band that carries low notes on a small speaker.
    """

    pluck: float
    stiffness: float
    air: float
    inner: float
    softness: float
    body: tuple[tuple[float, float, float], ...]
    radiates_from: float
    presence: tuple[float, float, float]


GUITAR: Final = StringModel(
    pluck=0.15,
    stiffness=3e-5,
    air=0.06,
    inner=0.0022,
    softness=2300.0,
    body=((98.0, 28.0, 0.05), (204.0, 34.0, 0.06), (410.0, 60.0, 0.04), (890.0, 110.0, 0.03)),
    radiates_from=110.0,
    presence=(850.0, 1.1, 1.0),
)
"""Hollow-body guitar played near the neck: warm, quick to speak."""

BASS: Final = StringModel(
    pluck=0.21,
    stiffness=3e-5,
    air=0.07,
    inner=0.0045,
    softness=900.0,
    body=((64.0, 22.0, 0.07), (118.0, 30.0, 0.08), (260.0, 55.0, 0.05)),
    radiates_from=75.0,
    presence=(520.0, 1.2, 1.2),
)
"""Upright bass plucked with the flesh of the finger."""

NYLON: Final = StringModel(
    pluck=0.2,
    stiffness=1e-5,
    air=0.09,
    inner=0.0045,
    softness=1800.0,
    body=((270.0, 40.0, 0.06), (420.0, 55.0, 0.05), (640.0, 80.0, 0.04)),
    radiates_from=180.0,
    presence=(950.0, 1.1, 0.8),
)
"""Ukulele: round and short, its body's modes an octave above a guitar's."""

MANDOLIN: Final = StringModel(
    pluck=0.12,
    stiffness=4e-5,
    air=0.06,
    inner=0.0018,
    softness=4200.0,
    body=((190.0, 34.0, 0.05), (390.0, 50.0, 0.06), (720.0, 80.0, 0.04), (1300.0, 130.0, 0.03)),
    radiates_from=180.0,
    presence=(1600.0, 1.2, 0.8),
)
"""Mandolin family with a hard pick: bright."""

_SECOND_POLARISATION: Final = (0.28, 0.45, 0.5)  # level, damping relative to the first, cents apart
_SECOND_PARTIALS: Final = 16
_SPREAD: Final = 0.004  # s an octave by which the body and a stiff string let lows come after highs


def frequency(midi: int, a4: float = A4) -> float:
    """Frequency of a MIDI note number in twelve-tone equal temperament.

    Args:
        midi: MIDI note number; 69 is A4.
        a4: Hz of A4 (ISO 16: 440).

    Returns:
        Hz.
    """
    return float(a4 * 2.0 ** ((midi - 69) / 12.0))


def damping(model: StringModel, hertz: Samples) -> Samples:
    """Damping rate of a partial: drag of the air, and losses in the string and at its ends.

    Args:
        model: the instrument.
        hertz: frequencies of partials.

    Returns:
        Rates in 1/s; the time to fall by 60 dB is ln(1000)/rate.
    """
    return model.air * np.sqrt(hertz) + model.inner * hertz


def partials(model: StringModel, midi: int, velocity: float, a4: float = A4) -> tuple[Samples, Samples]:
    """Frequencies and signed amplitudes of a note's partials at the moment of the pluck.

    Args:
        model: the instrument.
        midi: MIDI note number.
        velocity: 0 to 1; the harder, the brighter.
        a4: Hz of A4.

    Returns:
        Frequencies in Hz and amplitudes, lowest partial first; levels are relative to each other.
    """
    low = frequency(midi, a4)
    number = np.arange(1, min(_MOST_PARTIALS, max(1, int(_TOP / low))) + 1, dtype=np.float64)
    # Shorter sounding lengths bring the neck-side pluck nearer the middle; stiffness grows likewise.
    place = min(0.3, model.pluck * 2.0 ** ((midi - 40) / 40.0))
    stiffness = model.stiffness * 2.0 ** ((midi - 40) / 18.0)
    hertz = low * number * np.sqrt((1.0 + stiffness * number**2) / (1.0 + stiffness))
    edge = max(model.softness, 2.2 * low) * (0.2 + 0.8 * velocity)
    centre, octaves, gain = model.presence
    level = (
        np.sin(np.pi * number * place)
        / number
        / (1.0 + (hertz / edge) ** 2) ** 1.25
        * hertz**2
        / (hertz**2 + model.radiates_from**2)
        * (1.0 + gain * np.exp(-((np.log2(hertz / centre) / octaves) ** 2)))
    )
    return hertz, level


def _heard(hertz: Samples) -> Samples:
    """Weight of a partial in the loudness of a note: small speakers and the ear both lose the lows."""
    return hertz**2 / (hertz**2 + 180.0**2)


def pluck(
    model: StringModel, midi: int, length: float, velocity: float, a4: float = A4, release: float = RELEASE
) -> Samples:
    """Sound of one note, from the pluck until the damping hand has silenced it.

    Every note of a velocity is about equally loud, whatever its pitch.

    Args:
        model: the instrument.
        midi: MIDI note number.
        length: s until the string is damped.
        velocity: 0 to 1.
        a4: Hz of A4.
        release: s that the damping takes, after `length`.

    Returns:
        Samples around −1…1 at velocity 1; the first and the last are 0.
    """
    hertz, level = partials(model, midi, velocity, a4)
    rate = damping(model, hertz)
    second, slower, cents = _SECOND_POLARISATION
    some = slice(0, _SECOND_PARTIALS)
    level = level / np.sqrt(np.sum((level * _heard(hertz)) ** 2))
    knock = np.array(model.body)
    modes = np.concatenate((hertz, hertz[some] * 2.0 ** (cents / 1200.0), knock[:, 0]))
    amplitude = np.concatenate((level * (1.0 - second), level[some] * second, knock[:, 2]))
    decay = np.concatenate((rate, rate[some] * slower, knock[:, 1]))
    # Without this the partials of a low note would peak together once a period, which sounds like a buzz.
    phase = 2.0 * np.pi * hertz * _SPREAD * np.log2(hertz / 50.0)
    turned = amplitude * np.exp(1j * np.concatenate((phase, phase[some], np.zeros(len(knock)))))

    count = max(2, round((length + release) * RATE))
    sound = ring(modes, turned, decay, count)
    sound *= 0.35 * velocity**1.5
    # The finger or pick lets go over some milliseconds, the longer the heavier the string.
    attack = min(count // 2, round(RATE * float(np.clip(0.35 / frequency(midi, a4), 0.0012, 0.005))))
    sound[:attack] *= np.sin(np.linspace(0.0, np.pi / 2, attack, endpoint=False)) ** 2
    fade = min(count // 2, round(release * RATE))
    sound[count - fade :] *= np.cos(np.linspace(0.0, np.pi / 2, fade)) ** 2
    sound[-1] = 0.0
    return sound
