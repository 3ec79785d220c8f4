"""A SoundFont as plain data: which presets it has, and the zones of one, in physical units.

Conventions: times s, levels dB, pitches cents, places in the sample data counted in samples from its beginning.
Whatever a file holds, reading it ends soon, with data or with one `SoundError`.

Source: SoundFont Technical Specification 2.04 (E-mu Systems, 2006): generators and their units in ch. 8.1, which of a
preset's add to an instrument's in ch. 9.4. Modulators, both LFOs and the modulation of pitch are not
read: they move a note while it sounds.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from deckbuilder.sound.description import SoundError
from deckbuilder.sound.riff import COMPRESSED, REMEDY, Bytes, read_tables

PERCUSSION: Final = 128
"""The bank of percussion presets."""

_MOST_ZONES: Final = 5000  # of a preset; a full piano has some hundreds
_MOST_GENERATORS: Final = 200  # of a zone; there are some sixty, each given once

# Generators (8.1.2), by what they are called here.
_START, _END, _LOOP, _LOOP_END = (0, 4), (1, 12), (2, 45), (3, 50)  # samples, and 32,768 samples
_COARSE_STEP: Final = 32_768
_CUTOFF, _RESONANCE, _SWEEP = 8, 9, 11
_MODULATION, _VOLUME = 25, 33  # the first of each envelope's eight, from its delay to how its decay follows the key
_SUSTAIN: Final = 4  # its place among them
_INSTRUMENT, _KEYS, _VELOCITIES, _KEY, _VELOCITY, _ATTENUATION = 41, 43, 44, 46, 47, 48
_COARSE_TUNE, _FINE_TUNE, _SAMPLE, _MODES, _SCALE, _ROOT = 51, 52, 53, 54, 56, 58
_USUAL: Final = {
    _CUTOFF: 13_500,
    **{first + part: -12_000 for first in (_MODULATION, _VOLUME) for part in (0, 1, 2, 3, 5)},
    _SCALE: 100,
    **dict.fromkeys((_KEY, _VELOCITY, _ROOT), -1),
}
_OF_INSTRUMENTS: Final = {*_START, *_END, *_LOOP, *_LOOP_END, _KEY, _VELOCITY, _SAMPLE, _MODES, _ROOT}
"""Generators that a preset cannot add to."""

_LOOPING: Final = (1, 3)
_COMPRESSED, _READ_ONLY_MEMORY = 0x10, 0x8000
_SHORTEST_TIME: Final = -12_000  # timecents
_LONGEST_TIME: Final = 8000
_OPEN: Final = 13_500  # absolute cents from which a filter lets all through


@dataclass(frozen=True, slots=True)
class Preset:
    """A preset, by what the file says of it.

    Args:
        name: its name.
        bank: its bank; `PERCUSSION` for drums.
        program: its MIDI program in that bank, from 0.
        number: its place in the file.
    """

    name: str
    bank: int
    program: int
    number: int


@dataclass(frozen=True, slots=True)
class Envelope:
    """How something moves while a note sounds: its loudness in dB, or what modulation there is in per cent.

    Args:
        delay: s until it begins.
        attack: s in which it rises.
        hold: s at the top.
        decay: s in which it would fall by 100.
        sustain: dB or per cent by which it falls at most.
        release: s in which it falls by 100 once the key is let go.
        hold_by_key: octaves a key by which the hold gets longer below key 60.
        decay_by_key: the same of the decay.
    """

    delay: float
    attack: float
    hold: float
    decay: float
    sustain: float
    release: float
    hold_by_key: float
    decay_by_key: float


@dataclass(frozen=True, slots=True)
class Zone:
    """A sample with the keys and velocities that it sounds for.

    Args:
        keys: lowest and highest MIDI key.
        velocities: lowest and highest MIDI velocity.
        key: the key that sounds whichever is struck; None for that one.
        velocity: likewise.
        start: where its sample begins.
        end: where it ends.
        loop: beginning and end of what is repeated; None for nothing.
        rate: samples a second.
        root: the key at which it sounds as it was recorded.
        scale: cents from key to key.
        tuning: cents by which it is raised.
        attenuation: dB.
        cutoff: Hz of its low-pass filter; None for an open one.
        resonance: dB of that filter's peak.
        sweep: octaves by which the modulation moves the filter.
        modulation: the modulation in time.
        envelope: its loudness in time.
    """

    keys: tuple[int, int]
    velocities: tuple[int, int]
    key: int | None
    velocity: int | None
    start: int
    end: int
    loop: tuple[int, int] | None
    rate: int
    root: int
    scale: float
    tuning: float
    attenuation: float
    cutoff: float | None
    resonance: float
    sweep: float
    modulation: Envelope
    envelope: Envelope


@dataclass(frozen=True, slots=True, eq=False)
class SoundFont:
    """A SoundFont.

    Args:
        presets: its presets in the order of bank and program.
        samples: all its sample data, 16 bits each.
        tables: its tables by the names of their chunks.
    """

    presets: tuple[Preset, ...]
    samples: NDArray[np.int16]
    tables: Mapping[str, NDArray[Any]]

    def zones(self, preset: Preset) -> tuple[Zone, ...]:
        """Return the zones of a preset, those of its instruments narrowed and changed by its own.

        Raises:
            SoundError: the file is damaged there, or the preset is far too large.
        """
        found: list[Zone] = []
        seen = 0
        for over in self._split("phdr", "pbag", "pgen", preset.number, _INSTRUMENT):
            for inner in self._split("inst", "ibag", "igen", over[_INSTRUMENT], _SAMPLE):
                made = self._zone(over, inner)
                found += [made] if made else []
                seen += 1
                if seen > _MOST_ZONES:
                    raise SoundError(f"preset {preset.name!r} has over {_MOST_ZONES:,} zones; {REMEDY}")
        return tuple(found)

    def _split(self, heads: str, bags: str, generators: str, number: int, last: int) -> Iterator[dict[int, int]]:
        """Yield the zones of one preset or instrument, the generators of its global zone in each."""
        head, bag, generator = self.tables[heads]["bag"], self.tables[bags]["generator"], self.tables[generators]
        if number + 1 >= len(head):
            raise SoundError(f"it is damaged ({heads} has no record {number}); {REMEDY}")
        first, end = int(head[number]), int(head[number + 1])
        if not first <= end < len(bag):
            raise SoundError(f"it is damaged ({heads} {number} has zones that are not there); {REMEDY}")
        if end - first > _MOST_ZONES:
            raise SoundError(f"{heads} {number} has over {_MOST_ZONES:,} zones; {REMEDY}")
        shared: dict[int, int] = {}
        for count in range(first, end):
            begin, stop = int(bag[count]), int(bag[count + 1])
            if not begin <= stop < len(generator) or stop - begin > _MOST_GENERATORS:
                raise SoundError(f"it is damaged ({bags} {count} has generators that cannot be); {REMEDY}")
            part = generator[begin:stop]
            zone = {**shared, **dict(zip(part["what"].tolist(), part["amount"].tolist(), strict=True))}
            if last in zone:
                yield zone
            elif count == first:
                shared = zone

    def _zone(self, over: Mapping[int, int], inner: Mapping[int, int]) -> Zone | None:
        """Join a preset's zone and an instrument's; None where they share no key, or the sample is not in the file."""
        keys, velocities = (_shared(over, inner, which) for which in (_KEYS, _VELOCITIES))
        if keys[0] > keys[1] or velocities[0] > velocities[1]:
            return None

        def value(what: int, low: int = -(1 << 15), high: int = (1 << 15) - 1) -> int:
            own = _signed(inner[what]) if what in inner else _USUAL.get(what, 0)
            added = _signed(over[what]) if what in over and what not in _OF_INSTRUMENTS else 0
            return min(high, max(low, own + added))

        def moved(record: str, parts: tuple[int, int]) -> int:
            fine, coarse = parts
            return int(header[record]) + value(fine) + _COARSE_STEP * value(coarse)

        def envelope(first: int) -> Envelope:
            delay, attack, hold, decay, _, release = (_seconds(value(first + part)) for part in range(6))
            sustain = value(first + _SUSTAIN, 0, 1000) / 10.0
            by_key = (value(first + part, -1200, 1200) / 1200.0 for part in (6, 7))
            return Envelope(delay, attack, hold, decay, sustain, release, *by_key)

        headers = self.tables["shdr"]
        if inner[_SAMPLE] >= len(headers) - 1:
            raise SoundError(f"it is damaged (there is no sample {inner[_SAMPLE]}); {REMEDY}")
        header = headers[inner[_SAMPLE]]
        name = _text(header["name"])
        if int(header["type"]) & _COMPRESSED:
            raise SoundError(COMPRESSED)
        if int(header["type"]) & _READ_ONLY_MEMORY:
            return None
        start, end = moved("start", _START), moved("end", _END)
        if not 0 <= start < end <= len(self.samples):
            raise SoundError(f"it is damaged or cut off (sample {name!r} lies outside of its data); {REMEDY}")
        if not 400 <= int(header["rate"]) <= 200_000:
            raise SoundError(f"it is damaged (sample {name!r} has {int(header['rate'])} Hz); {REMEDY}")
        loop = (moved("loop", _LOOP), moved("loop_end", _LOOP_END))
        root, recorded = value(_ROOT), int(header["root"])
        cutoff, sweep = value(_CUTOFF, 1500, _OPEN), value(_SWEEP, -12_000, 12_000) / 1200.0
        return Zone(
            keys=keys,
            velocities=velocities,
            key=value(_KEY) if 0 <= value(_KEY) <= 127 else None,
            velocity=value(_VELOCITY) if 0 <= value(_VELOCITY) <= 127 else None,
            start=start,
            end=end,
            # A loop that lies outside of its sample is none.
            loop=loop if value(_MODES) in _LOOPING and start <= loop[0] < loop[1] <= end else None,
            rate=int(header["rate"]),
            root=root if 0 <= root <= 127 else recorded if recorded <= 127 else 60,
            scale=float(value(_SCALE, 0, 1200)),
            tuning=100.0 * value(_COARSE_TUNE, -120, 120) + value(_FINE_TUNE, -99, 99) + int(header["correction"]),
            attenuation=value(_ATTENUATION, 0, 1440) / 10.0,
            cutoff=None if cutoff == _OPEN and sweep >= 0 else 8.176 * 2.0 ** (cutoff / 1200.0),
            resonance=value(_RESONANCE, 0, 960) / 10.0,
            sweep=sweep,
            modulation=envelope(_MODULATION),
            envelope=envelope(_VOLUME),
        )


def read_soundfont(data: Bytes) -> SoundFont:
    """Read a SoundFont.

    Args:
        data: the file's bytes.

    Raises:
        SoundError: they are no SoundFont 2, or it is compressed, damaged or cut off.
    """
    tables, samples = read_tables(data)
    heads = enumerate(tables["phdr"][:-1])
    presets = (Preset(_text(head["name"]), int(head["bank"]), int(head["program"]), number) for number, head in heads)
    return SoundFont(tuple(sorted(presets, key=lambda preset: (preset.bank, preset.program))), samples, tables)


def _shared(over: Mapping[int, int], inner: Mapping[int, int], which: int) -> tuple[int, int]:
    """Return the range that two zones share; each is a byte for its lowest and one for its highest."""
    bounds = [divmod(zone.get(which, 127 << 8), 256) for zone in (over, inner)]
    return max(low for _, low in bounds), min(high for high, _ in bounds)


def _signed(amount: int) -> int:
    return amount - (1 << 16) if amount >= 1 << 15 else amount


def _seconds(timecents: int) -> float:
    """Turn timecents into s; the shortest mean none at all."""
    return 0.0 if timecents <= _SHORTEST_TIME else float(2.0 ** (min(timecents, _LONGEST_TIME) / 1200.0))


def _text(name: bytes) -> str:
    return bytes(name).split(b"\0")[0].decode("latin-1").strip()
