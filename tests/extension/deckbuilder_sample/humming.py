"""A medium that is heard, in a form of its own: one tone as a WAV file."""

import wave
from dataclasses import dataclass
from io import BytesIO
from math import pi, sin
from struct import pack

from deckbuilder.medium import Description, MediaType

_RATE, _LENGTH = 8000, 4000  # samples a second, and of a tone


@dataclass(frozen=True, slots=True)
class Hum(Description):
    """A tone.

    Args:
        midi: its MIDI number.
    """

    media_type = MediaType.SOUND
    prefix = "hum"
    ending = ".wav"
    version = 1
    renderer = "deckbuilder_sample.humming"

    midi: int


def render(hum: Hum) -> bytes:
    """Write a hum as WAV."""
    step = 2 * pi * 440 * 2 ** ((hum.midi - 69) / 12) / _RATE
    data = BytesIO()
    with wave.open(data, "wb") as file:
        file.setparams((1, 2, _RATE, _LENGTH, "NONE", ""))
        file.writeframes(b"".join(pack("<h", int(9000 * sin(step * number))) for number in range(_LENGTH)))
    return data.getvalue()
