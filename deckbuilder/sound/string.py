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
    Woodhouse, "On the synthesis of guitar plucks", Acta Acustica 90 (2004): measured losses scatter from partial to
    partial, because the body takes energy from some of them and not from others.
    Figures are from memory, and fitted to percentiles of recorded notes that the tests carry (`tests/outside/`).
"""

from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from deckbuilder.sound.chance import band, scatter
from deckbuilder.sound.description import A4, RELEASE
from deckbuilder.sound.format import RATE
from deckbuilder.sound.instruments import StringModel
from deckbuilder.sound.modal import GRAIN, Modes
from deckbuilder.sound.samples import Mix, Samples

_TOP: Final = 10_000.0  # Hz; the encoder keeps little above
_MOST_PARTIALS: Final = 128


# What makes partials differ, up to so much either way; the same for a pitch whenever it is played.
_LEVEL: Final = 5.5  # dB
_DAMPING: Final = 0.45  # octaves
_SECOND: Final = (0.08, 0.42)  # the second polarisation's share of a partial
_SLOWER: Final = (0.25, 0.9)  # its damping, as a share of the first one's
_APART: Final = (0.7, 1.5e-4)  # Hz, and Hz a Hz, between the two
_NEARER: Final = 0.3  # the least of it, as a share
_APART_AT_MOST: Final = (2.0, 14.0)  # cents a partial's number, and at all: the lowest ones tell the pitch
_SECOND_PARTIALS: Final = 20

_STIFFENS: Final = 24.0  # semitones in which stiffness doubles: lengths get shorter, but strings thinner
_SOFTEST: Final = 0.3  # of the softness's Hz, at velocity 0
_NOISE_GROWS: Final = 0.3  # exponent of the note's frequency over 200 Hz
_TOUCHED: Final = 8.0  # times that it takes to fall by a factor e, until the noise of finger or pick is left out
SPOKEN: Final = 6 * GRAIN
"""Samples after which the attack is over: 0.14 s."""
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
    # Shorter sounding lengths bring the neck-side pluck nearer the middle.
    place = min(0.3, model.pluck * 2.0 ** ((midi - 40) / 40.0))
    stiffness = model.stiffness * 2.0 ** ((midi - 40) / _STIFFENS)
    hertz = low * number * np.sqrt((1.0 + stiffness * number**2) / (1.0 + stiffness))
    softness, always = model.softness
    edge = max(softness, always * low) * (_SOFTEST + (1.0 - _SOFTEST) * velocity)
    centre, octaves, gain = model.presence
    level = (
        np.sin(np.pi * number * place)
        / number
        / (1.0 + (hertz / edge) ** 2)
        * hertz**2
        / (hertz**2 + model.radiates_from**2)
        * (1.0 + gain * np.exp(-((np.log2(hertz / centre) / octaves) ** 2)))
    )
    return hertz, level * 10.0 ** (_LEVEL / 20.0 * _traits(midi)[0, : len(hertz)])


@lru_cache(maxsize=128)
def _traits(midi: int) -> Samples:
    """Draw what sets a pitch's partials apart: level, damping; the second polarisation's share, damping, pitch."""
    return scatter(midi, 5, _MOST_PARTIALS)


def _between(limits: tuple[float, float], trait: Samples) -> Samples:
    """Take a trait as a place between two limits."""
    low, high = limits
    return low + (high - low) * (trait + 1.0) / 2.0


def _apart(hertz: Samples, trait: Samples) -> Samples:
    """Hz from a partial's first polarisation to its second: they beat, and the pitch is kept."""
    fixed, growing = _APART
    apart = np.sign(trait) * (_NEARER + (1.0 - _NEARER) * np.abs(trait)) * (fixed + growing * hertz)
    cents, at_all = _APART_AT_MOST
    most = hertz * (2.0 ** (np.minimum(cents * np.arange(1, len(hertz) + 1), at_all) / 1200.0) - 1.0)
    return np.clip(apart, -most, most)


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
    count = max(2, round((length + release) * RATE))
    sound = ringing(model, midi, velocity, a4, max(SPOKEN, count))[:count]
    fade = damped(min(count, round(release * RATE)))
    sound[count - len(fade) :] *= fade
    return sound.astype(np.float64)


@lru_cache(maxsize=64)
def damped(count: int) -> Mix:
    """Gain of a string's last samples, under the damping hand.

    Args:
        count: how many; do not change them in place.
    """
    gain = (np.cos(np.linspace(0.0, np.pi / 2, count)) ** 2).astype(np.float32)
    gain[-1:] = 0.0
    return gain


def ringing(model: StringModel, midi: int, velocity: float, a4: float, count: int, first: int = 0) -> Mix:
    """Sound of one note that nobody damps.

    Args:
        model: the instrument.
        midi: MIDI note number.
        velocity: 0 to 1.
        a4: Hz of A4.
        count: samples wanted; from the pluck on `SPOKEN` at least.
        first: the first of them: 0, or a multiple of `modal.GRAIN` from `SPOKEN` on.

    Returns:
        Samples; each is the same to the bit whatever else is computed with it.
    """
    sound = _modes(model, midi, a4)[0].ring(_struck(model, midi, velocity, a4), count, first)
    if not first:
        # The finger or pick lets go over some milliseconds, the longer the heavier the string.
        periods, least, most = model.attack
        _let_in(sound, float(np.clip(periods / frequency(midi, a4), least, most)))
        _touch(sound, model, frequency(midi, a4), velocity, midi)
    sound *= np.float32(0.35 * velocity**1.5)
    return sound


@lru_cache(maxsize=128)
def _modes(model: StringModel, midi: int, a4: float) -> tuple[Modes, NDArray[np.complex128], NDArray[np.complex128]]:
    """Return the modes of a note, and what of each partial and with which phase goes to its two polarisations.

    Modes are those of the first polarisation, of the second, and of the body.
    """
    hertz, _ = partials(model, midi, 1.0, a4)
    _, losses, share, slower, pitch = _traits(midi)[:, : len(hertz)]
    rate = damping(model, hertz) * 2.0 ** (_DAMPING * losses)
    second, apart = _between(_SECOND, share), _apart(hertz, pitch)
    some = slice(0, _SECOND_PARTIALS)
    second[_SECOND_PARTIALS:] = 0.0
    knock = _knock(model)
    # Each polarisation lies so far off the partial that their middle, by weight, is on it.
    at = np.concatenate((hertz - second * apart, (hertz + (1.0 - second) * apart)[some], knock[:, 0]))
    decay = np.concatenate((rate, (rate * _between(_SLOWER, slower))[some], knock[:, 1]))
    # Without this the partials of a low note would peak together once a period, which sounds like a buzz.
    phase = np.exp(2j * np.pi * hertz * _SPREAD * np.log2(hertz / 50.0))
    return Modes(at, decay), phase * (1.0 - second), (phase * second)[some]


@lru_cache(maxsize=1024)
def _struck(model: StringModel, midi: int, velocity: float, a4: float) -> NDArray[np.complex128]:
    """Return the amplitudes of a note's modes."""
    hertz, level = partials(model, midi, velocity, a4)
    level = level / np.sqrt(np.sum((level * _heard(hertz)) ** 2))
    _, one, other = _modes(model, midi, a4)
    return np.concatenate((level * one, level[: len(other)] * other, _knock(model)[:, 2]))


def _knock(model: StringModel) -> Samples:
    """Return the modes of the body: Hz, damping rate and level in a row each."""
    return np.array(model.body)


def _touch(sound: Mix, model: StringModel, low: float, velocity: float, seed: int) -> None:
    """Add what finger or pick sound themselves; a softer pluck has less of it."""
    lowest, highest, decay, level = model.noise
    count = round(_TOUCHED * decay * RATE)
    burst = band(lowest, highest, seed)[:count] * np.exp(np.arange(count) / (-decay * RATE))
    _let_in(burst, model.attack[1])
    sound[:count] += (burst * (level * (0.5 + 0.5 * velocity) * (low / 200.0) ** _NOISE_GROWS)).astype(np.float32)


def _let_in(sound: Samples | Mix, seconds: float) -> None:
    """Fade a sound in, in place."""
    attack = round(RATE * seconds)
    sound[:attack] *= np.sin(np.linspace(0.0, np.pi / 2, attack, endpoint=False)) ** 2
