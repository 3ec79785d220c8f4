"""SoundFonts that tests make: tones of known pitch, packed by the specification (2.04, ch. 4 to 7).

Conventions: generators are pairs of number and amount; a zone is its generators, of an instrument without the sample.
"""

import struct
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from deckbuilder.sound.samples import Samples

RATE = 44_100
Generators = tuple[tuple[int, int], ...]

KEYS, MODES, ROOT, FINE, COARSE, ATTENUATION, SUSTAIN, DECAY, ATTACK, RELEASE = 43, 54, 58, 52, 51, 48, 37, 36, 34, 38


def span(low: int, high: int) -> int:
    """Write a range as an amount."""
    return high << 8 | low


@dataclass(frozen=True)
class Sample:
    """A sample: its name, its tones from −1 to 1, its root, and where its loop begins and ends."""

    name: str
    sound: Samples
    root: int
    loop: tuple[int, int] = (0, 0)
    correction: int = 0
    type: int = 1


def tone(name: str, root: int, seconds: float = 0.5, cents: float = 0.0, correction: int = 0) -> Sample:
    """Make a tone of three partials that do not peak together; its loop is a whole number of periods."""
    hertz = 440.0 * 2.0 ** ((root - 69 + cents / 100.0) / 12.0)
    time = np.arange(round(seconds * RATE)) / RATE
    sound = sum(np.sin(2 * np.pi * number * hertz * time + number**2) * 0.4 / number for number in (1, 2, 3))
    period = RATE / hertz
    count = min(range(1, 60), key=lambda number: abs(number * period - round(number * period)))
    begin = round(0.1 * RATE)
    return Sample(name, np.asarray(sound), root, (begin, begin + round(count * period)), correction)


@dataclass(frozen=True)
class Voice:
    """A preset with one instrument: its zones by the number of the sample and its generators.

    `over` are the generators of the preset's own zone, which is there so many `times`.
    """

    name: str
    bank: int
    program: int
    zones: tuple[tuple[int, Generators], ...]
    over: Generators = ()
    times: int = 1


def soundfont(samples: Sequence[Sample], voices: Sequence[Voice], version: int = 2) -> bytes:
    """Pack a SoundFont."""
    data, shdr = b"", b""
    for sample in samples:
        start = len(data) // 2
        data += (sample.sound * 32_000).astype("<i2").tobytes()
        end, (loop, loop_end) = len(data) // 2, sample.loop
        shdr += struct.pack(
            "<20s5I2B2H",
            sample.name.encode(),
            *(start, end, start + loop, start + loop_end, RATE),
            *(sample.root, sample.correction & 255, 0, sample.type),
        )
        data += bytes(92)
    shdr += struct.pack("<20s5I2B2H", b"EOS", *[0] * 9)
    phdr = pbag = pgen = inst = ibag = igen = b""
    for number, voice in enumerate(voices):
        phdr += struct.pack("<20s3H3I", voice.name.encode(), voice.program, voice.bank, len(pbag) // 4, 0, 0, 0)
        for _ in range(voice.times):
            pbag += struct.pack("<2H", len(pgen) // 4, 0)
            pgen += _packed((*voice.over, (41, number)))
        inst += struct.pack("<20sH", voice.name.encode(), len(ibag) // 4)
        for which, generators in voice.zones:
            ibag += struct.pack("<2H", len(igen) // 4, 0)
            igen += _packed((*generators, (53, which)))
    phdr += struct.pack("<20s3H3I", b"EOP", 0, 0, len(pbag) // 4, 0, 0, 0)
    inst += struct.pack("<20sH", b"EOI", len(ibag) // 4)
    pbag, ibag = (bag + struct.pack("<2H", len(gen) // 4, 0) for bag, gen in ((pbag, pgen), (ibag, igen)))
    tables = (
        *((b"phdr", phdr), (b"pbag", pbag), (b"pmod", bytes(10)), (b"pgen", pgen + bytes(4))),
        *((b"inst", inst), (b"ibag", ibag), (b"imod", bytes(10)), (b"igen", igen + bytes(4)), (b"shdr", shdr)),
    )
    info = _chunk(b"ifil", struct.pack("<2H", version, 4)) + _chunk(b"isng", b"EMU8000\0") + _chunk(b"INAM", b"Tones\0")
    lists = (
        _chunk(b"LIST", b"INFO" + info),
        _chunk(b"LIST", b"sdta" + _chunk(b"smpl", data)),
        _chunk(b"LIST", b"pdta" + b"".join(_chunk(tag, table) for tag, table in tables)),
    )
    return _chunk(b"RIFF", b"sfbk" + b"".join(lists))


def _packed(generators: Generators) -> bytes:
    return b"".join(struct.pack("<2H", what, amount & 0xFFFF) for what, amount in generators)


def _chunk(tag: bytes, data: bytes) -> bytes:
    return tag + struct.pack("<I", len(data)) + data + bytes(len(data) % 2)


LOOPED = ((MODES, 1),)
PLUCKED = ((SUSTAIN, 1000), (DECAY, 2400))
"""Falls by 25 dB a second, as a string does."""
GUITAR = Voice(
    "Guitar",
    0,
    26,
    ((0, (*LOOPED, *PLUCKED, (KEYS, span(0, 62)))), (1, (*LOOPED, *PLUCKED, (KEYS, span(63, 127))))),
)
BASS = Voice("Bass", 0, 32, ((2, (*LOOPED, *PLUCKED)),))
TONES = (tone("A3", 57), tone("B4 flat", 71, cents=-30, correction=30), tone("E2", 40))


def duo() -> bytes:
    """Pack a guitar of two samples and a bass, all of known pitch."""
    return soundfont(TONES, (GUITAR, BASS))
