"""What makes one kind of plucked instrument sound unlike another: places, losses, noises, bodies.

Conventions: frequencies Hz, times s, damping rates 1/s (amplitude falls by a factor e in 1/rate).
Sources: see `deckbuilder.sound.string`.
"""

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, eq=False, slots=True)
class StringModel:
    """What makes one kind of plucked instrument; each is itself alone, so that what is kept of it is found at once.

    Args:
        pluck: place of the pluck at MIDI note 40, as a fraction of the sounding length from the bridge.
        stiffness: inharmonicity coefficient B at MIDI note 40.
        air: damping per square root of Hz (viscous drag of the air).
        inner: damping per Hz (losses inside the string and through its ends).
        softness: Hz above which the finger or pick leaves the string without energy, at full velocity, and the
            partial below which it never does so.
        attack: how long the string takes to speak: periods of the note, and the least and most s.
        noise: lowest and highest Hz of what finger or pick sound themselves, s in which it falls by a factor e, level.
        body: (Hz, damping rate, level) of the body modes that the pluck knocks on.
        radiates_from: Hz below which the body radiates less and less.
        presence: (Hz, width in octaves, gain) of the band that carries low notes on a small speaker.
    """

    pluck: float
    stiffness: float
    air: float
    inner: float
    softness: tuple[float, float]
    attack: tuple[float, float, float]
    noise: tuple[float, float, float, float]
    body: tuple[tuple[float, float, float], ...]
    radiates_from: float
    presence: tuple[float, float, float]


GUITAR: Final = StringModel(
    pluck=0.13,
    stiffness=3.5e-5,
    air=0.031,
    inner=0.001,
    softness=(3000.0, 10.0),
    attack=(1.3, 0.0012, 0.014),
    noise=(1000.0, 5200.0, 0.005, 0.85),
    body=((98.0, 28.0, 0.15), (204.0, 34.0, 0.18), (410.0, 60.0, 0.12), (890.0, 110.0, 0.09)),
    radiates_from=110.0,
    presence=(850.0, 1.1, 0.9),
)
"""Hollow-body guitar played near the neck: warm, quick to speak."""

BASS: Final = StringModel(
    pluck=0.21,
    stiffness=3.6e-6,
    air=0.07,
    inner=0.0045,
    softness=(900.0, 2.2),
    attack=(1.8, 0.0012, 0.035),
    noise=(150.0, 900.0, 0.012, 0.35),
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
    softness=(2200.0, 5.0),
    attack=(1.0, 0.0012, 0.008),
    noise=(600.0, 3500.0, 0.004, 0.4),
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
    softness=(4200.0, 8.0),
    attack=(0.6, 0.0012, 0.004),
    noise=(1500.0, 6000.0, 0.003, 0.7),
    body=((190.0, 34.0, 0.05), (390.0, 50.0, 0.06), (720.0, 80.0, 0.04), (1300.0, 130.0, 0.03)),
    radiates_from=180.0,
    presence=(1600.0, 1.2, 0.8),
)
"""Mandolin family with a hard pick: bright."""
