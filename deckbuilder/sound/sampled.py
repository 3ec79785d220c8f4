"""Notes from the player's own SoundFont.

Conventions: pitches are MIDI note numbers, times s, levels dB. A file is mapped into memory, so that opening it costs
nothing and only samples that sound are read.

Sources:
    General MIDI System Level 1 (MIDI Manufacturers Association): programs, counted from 0, and keys of percussion.
    SoundFont Technical Specification 2.04, ch. 8 and 9: how a zone sounds.
"""

from functools import lru_cache
from typing import Final

import numpy as np

from deckbuilder.sound.description import OwnSound, Patch, SoundError
from deckbuilder.sound.format import RATE
from deckbuilder.sound.samples import Samples
from deckbuilder.sound.soundfont import PERCUSSION, Envelope, Preset, SoundFont, Zone, read_soundfont

PROGRAMS: Final = {
    Patch.GUITAR: (26, 27, 24, 25, 28),
    Patch.BASS: (32, 33, 34, 35),
    Patch.NYLON: (24, 25),
    Patch.MANDOLIN: (25, 24),
}
"""Programs that may play for a patch, best first: jazz, clean, nylon, steel, muted guitar; basses, acoustic first."""
_DRUMS: Final = {Patch.RIDE: 51, Patch.CLICK: 76}
"""Keys of percussion."""

_MOST_LAYERS: Final = 32  # samples that sound as one note
_STRETCH: Final = 64.0  # times its rate, or a part of it, at which a sample is played at most
_TAPS, _PHASES = 16, 1024  # of the interpolation, and between two samples
_LEAST_ATTACK: Final = 0.0005  # s; a sample that begins at once clicks
_LOWEST_CUTOFF, _HIGHEST_CUTOFF = 20.0, 0.45  # Hz, and of the rate
_FILTER_BLOCK: Final = 128  # samples in which a filter stays where it is
_FALL: Final = 100.0  # dB or per cent that decay and release are counted in


@lru_cache(maxsize=4)
def opened(path: str, digest: str) -> SoundFont:
    """Open a SoundFont.

    Args:
        path: the file.
        digest: which one it is: another digest is another file.

    Raises:
        SoundError: it cannot be read, or is none.
    """
    try:
        return read_soundfont(np.memmap(path, np.uint8, "r"))
    except SoundError as error:
        raise SoundError(f"{path}: {error}") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "it is empty"
        raise SoundError(f"{path}: it cannot be read ({reason}); put the SoundFont {digest[:8]} there") from None


def preset_for(font: SoundFont, own: OwnSound, patch: Patch) -> Preset | None:
    """Return the preset that plays for a patch; None where the SoundFont has none for it.

    The player's instrument takes the preset that was asked for, else the best by its program, else the first there is.

    Args:
        font: the SoundFont.
        own: what was asked for.
        patch: what is to play.

    Raises:
        SoundError: there is no such preset, or none at all for the player.
    """
    if patch in _DRUMS:
        return next((preset for preset in font.presets if preset.bank == PERCUSSION), None)
    melodic = [preset for preset in font.presets if preset.bank < PERCUSSION]
    by_program = {preset.program: preset for preset in reversed(melodic)}
    if patch is own.player and own.preset is not None:
        if own.preset not in by_program:
            known = ", ".join(map(str, sorted(by_program)[:12])) + (", …" if len(by_program) > 12 else "")
            raise SoundError(f"it has no preset {own.preset}; choose from {known}")
        return by_program[own.preset]
    found = next((by_program[program] for program in PROGRAMS[patch] if program in by_program), None)
    if found is None and patch is own.player:
        if not melodic:
            raise SoundError("it has no preset but percussion; use one with a guitar")
        return melodic[0]
    return found


@lru_cache(maxsize=32)
def zones_for(own: OwnSound, patch: Patch) -> tuple[Zone, ...]:
    """Return the zones that play for a patch, none where it is not in the SoundFont.

    Args:
        own: the SoundFont.
        patch: what is to play.

    Raises:
        SoundError: it cannot be read, is damaged, or has nothing for the player.
    """
    font = opened(own.path, own.digest)
    preset = preset_for(font, own, patch)
    zones = font.zones(preset) if preset else ()
    if patch in _DRUMS:
        return tuple(zone for zone in zones if _off(_DRUMS[patch], zone.keys) == 0)
    if preset and not zones:
        raise SoundError(f"preset {preset.program} has no sample; choose another one with sound.preset")
    return zones


def sampled(
    own: OwnSound, patch: Patch, midi: int, length: float, velocity: float, a4: float, release: float
) -> Samples | None:
    """Sound one note of a SoundFont, until the damping hand has silenced it.

    Args:
        own: the SoundFont.
        patch: what plays.
        midi: MIDI note number.
        length: s until it is damped.
        velocity: 0 to 1.
        a4: Hz of A4; percussion has its own pitch.
        release: s that the damping takes at most.

    Returns:
        Samples; the first and the last are 0. None where the SoundFont has no such instrument.

    Raises:
        SoundError: the SoundFont cannot be read or sounded.
    """
    zones = zones_for(own, patch)
    if not zones:
        return None
    drum = patch in _DRUMS
    key, cents = _DRUMS.get(patch, midi), 0.0 if drum else 1200.0 * float(np.log2(a4 / 440.0))
    count = max(2, round((length + release) * RATE))
    sound = np.zeros(count)
    font = opened(own.path, own.digest)
    for zone in _struck(zones, key, max(1, round(127 * velocity))):
        sound += _sounded(font, zone, key, velocity, cents, length, count)
    fade = min(count // 2, round(release * RATE))
    sound[count - fade :] *= np.cos(np.linspace(0.0, np.pi / 2, fade)) ** 2
    sound[0] = sound[-1] = 0.0
    return sound


def _off(value: int, bounds: tuple[int, int]) -> int:
    """Return how far a value lies outside of its bounds."""
    return max(bounds[0] - value, value - bounds[1], 0)


def _struck(zones: tuple[Zone, ...], key: int, velocity: int) -> list[Zone]:
    """Return the zones of a key and velocity; where there are none, the nearest ones."""
    distances = [(_off(key, zone.keys), _off(velocity, zone.velocities)) for zone in zones]
    nearest = min(distances)
    struck = [zone for zone, distance in zip(zones, distances, strict=True) if distance == nearest]
    if len(struck) > _MOST_LAYERS:
        raise SoundError(f"key {key} of the SoundFont sounds {len(struck)} samples at once; choose another preset")
    return struck


def _sounded(
    font: SoundFont, zone: Zone, key: int, velocity: float, cents: float, length: float, count: int
) -> Samples:
    key = key if zone.key is None else zone.key
    strength = velocity if zone.velocity is None else zone.velocity / 127.0
    raised = (key - zone.root) * zone.scale + zone.tuning + cents
    ratio = 2.0 ** (raised / 1200.0) * zone.rate / RATE
    if not 1.0 / _STRETCH <= ratio <= _STRETCH:
        raise SoundError(
            f"key {key} of the SoundFont is too far from its sample’s root {zone.root}; choose another preset"
        )
    sound = _resampled(_unrolled(font, zone, int(count * ratio) + _TAPS), ratio, count)
    sound = _filtered(sound, zone, key)
    # The default modulator of velocity (8.4.1): 960 cB along a concave curve, which is the square.
    gain = strength**2 * 10.0 ** (-zone.attenuation / 20.0)
    enveloped: Samples = sound * _enveloped(zone, key, length, count) * gain
    return enveloped


def _unrolled(font: SoundFont, zone: Zone, count: int) -> Samples:
    """Return so many samples of a zone, its loop repeated; zeros where it has ended."""
    if zone.loop is None:
        sound = np.zeros(count)
        part = font.samples[zone.start : min(zone.end, zone.start + count)]
        sound[: len(part)] = part
    else:
        begin, end = zone.loop
        place = np.arange(zone.start, zone.start + count)
        late = place >= end
        place[late] = begin + (place[late] - begin) % (end - begin)
        sound = font.samples[place].astype(np.float64)
    return sound / 32_768.0


def _resampled(sound: Samples, ratio: float, count: int) -> Samples:
    """Play samples faster or slower, by a sinc under a raised cosine; what lies above half the rate is weakened."""
    half = _TAPS // 2
    padded = np.concatenate((np.zeros(half - 1), sound, np.zeros(half + 1)))
    place = np.arange(count) * ratio
    whole = place.astype(np.int64)
    phase = np.rint((place - whole) * _PHASES).astype(np.int64)
    away = np.arange(_TAPS) - (half - 1) - np.arange(_PHASES + 1)[:, None] / _PHASES
    weights = np.sinc(away * min(1.0, 1.0 / ratio)) * np.cos(np.pi * away / (2.0 * half)) ** 2
    weights /= weights.sum(axis=1, keepdims=True)
    windows = np.lib.stride_tricks.sliding_window_view(padded, _TAPS)
    played: Samples = np.einsum("ij,ij->i", windows[whole], weights[phase])
    return played


def _filtered(sound: Samples, zone: Zone, key: int) -> Samples:
    """Lead a sound through the zone's low-pass filter, block by block where modulation moves it."""
    if zone.cutoff is None:
        return sound
    block = _FILTER_BLOCK if zone.sweep else len(sound)
    time = np.arange(0, len(sound), block) / RATE
    full = _risen(zone.modulation, time) * np.maximum(1.0 - _dropped(zone.modulation, key, time) / _FALL, 0.0)
    cutoffs = np.clip(zone.cutoff * 2.0 ** (zone.sweep * full), _LOWEST_CUTOFF, _HIGHEST_CUTOFF * RATE)
    state = np.zeros((1, 2))
    from scipy.signal import sosfilt  # it takes a second of processor time to load, and few players have a SoundFont

    filtered = np.empty_like(sound)
    for number, cutoff in enumerate(cutoffs.tolist()):
        part = slice(number * block, (number + 1) * block)
        filtered[part], state = sosfilt(_low_pass(cutoff, zone.resonance), sound[part], zi=state)
    return filtered


def _enveloped(zone: Zone, key: int, length: float, count: int) -> Samples:
    """Gain of a note in time: a straight attack, then dB that fall evenly (8.1.3)."""
    shape, time = zone.envelope, np.arange(count) / RATE
    released = _FALL * np.maximum(time - length, 0.0) / max(shape.release, 1e-3)
    fallen = _dropped(shape, key, np.minimum(time, length)) + released
    gain: Samples = _risen(shape, time) * 10.0 ** (-fallen / 20.0)
    return gain


def _risen(shape: Envelope, time: Samples) -> Samples:
    """Return how far an envelope has risen, 0 to 1."""
    return np.clip((time - shape.delay) / max(shape.attack, _LEAST_ATTACK), 0.0, 1.0)


def _dropped(shape: Envelope, key: int, time: Samples) -> Samples:
    """Return how far an envelope has fallen from its top, in its own dB or per cent."""
    falls = shape.delay + max(shape.attack, _LEAST_ATTACK) + shape.hold * 2.0 ** (shape.hold_by_key * (60 - key))
    decay = shape.decay * 2.0 ** (shape.decay_by_key * (60 - key))
    return np.interp(time, (falls, falls + max(decay * shape.sustain / _FALL, 1e-6)), (0.0, shape.sustain))


def _low_pass(cutoff: float, resonance: float) -> Samples:
    """Return a second-order low-pass filter (Bristow-Johnson's formulas); no resonance is a flat one."""
    angle = 2.0 * np.pi * cutoff / RATE
    alpha = np.sin(angle) / (2.0 * 10.0 ** ((min(resonance, 24.0) - 3.01) / 20.0))
    one = 1.0 - np.cos(angle)
    terms: Samples = np.array([[one / 2, one, one / 2, 1.0 + alpha, -2.0 * np.cos(angle), 1.0 - alpha]])
    terms /= 1.0 + alpha
    return terms
