"""Clips as MP3.

Every note is computed once and kept; a clip is those notes laid over each other, faded, brought to one
loudness and encoded. The bytes depend on the description alone, never on what was rendered before.
"""

import warnings
from functools import cache, lru_cache
from typing import Final

import numpy as np

from deckbuilder.sound.arrangement import check_a4
from deckbuilder.sound.description import A4, RELEASE, Clip, OwnSound, Patch, SoundError
from deckbuilder.sound.format import RATE
from deckbuilder.sound.instruments import BASS, GUITAR, MANDOLIN, NYLON
from deckbuilder.sound.loudness import levelled
from deckbuilder.sound.mp3 import encode
from deckbuilder.sound.percussion import click, ride
from deckbuilder.sound.ringing import Ringing
from deckbuilder.sound.sampled import sampled
from deckbuilder.sound.samples import Mix
from deckbuilder.sound.string import damped, pluck

with warnings.catch_warnings():
    # pydub looks for ffmpeg, which is never used here: encoding is in process.
    warnings.filterwarnings("ignore", category=RuntimeWarning, module="pydub")
    warnings.filterwarnings("ignore", category=SyntaxWarning, module="pydub")
    from pydub import AudioSegment

_STEPS: Final = 20  # velocities that are told apart
_FULL: Final = 2**31 - 1
_SHORTEST: Final = 0.5  # s; loudness is measured over blocks of 0.4 s
_LONGEST: Final = 330.0  # s; a practice track lasts five minutes
_GENTLE: Final = 0.01  # s; a string damped faster clicks
_FADE_IN: Final = 2  # ms
_FADE_OUT: Final = 120  # ms
_COMPARED, _MEDIUM = 0.5, 0.8  # s and velocity of the notes that tell how loud a SoundFont is
_MIDDLES: Final = {Patch.GUITAR: 57, Patch.BASS: 38, Patch.NYLON: 69, Patch.MANDOLIN: 69}
_SILENT: Final = 1e-10  # power
_STRINGS: Final = {Patch.GUITAR: GUITAR, Patch.BASS: BASS, Patch.NYLON: NYLON, Patch.MANDOLIN: MANDOLIN}
_RINGING: Final = Ringing()


def render(clip: Clip) -> bytes:
    """Sound a clip.

    Args:
        clip: what is played.

    Returns:
        An MP3 file: mono, 32 kHz, variable bit rate, −16 LUFS.

    Raises:
        SoundError: a clip that cannot sound.
    """
    check(clip)
    length = round(clip.length * RATE)
    samples = levelled(_mixed(clip, length), RATE, known=clip.own is None)
    return encode(samples)


def _mixed(clip: Clip, length: int) -> Mix:
    """Lay the notes over each other; what would ring past the end fades out."""
    sheet = np.zeros(length, dtype=np.float32)
    for event in clip.events:
        start, step = round(event.start * RATE), round(event.velocity * _STEPS)
        # In place: a new sheet for every note would cost more than the notes.
        if clip.own is None and event.patch in _STRINGS:
            fade = damped(round(event.release * 1000) * RATE // 1000)
            count = round(event.length * 1000) * RATE // 1000
            note = _RINGING.at_least(_STRINGS[event.patch], event.midi, step / _STEPS, clip.a4, count + len(fade))
            _lay(sheet, start, note[:count])
            _lay(sheet, start + count, note[count : count + len(fade)] * fade)
        else:
            _lay(sheet, start, _note(clip.own, event.patch, event.midi, step, clip.a4, event.length, event.release))
    beginning, end = _fades()
    sheet[: len(beginning)] *= beginning
    sheet[-len(end) :] *= end
    return sheet


def _lay(sheet: Mix, start: int, sound: Mix) -> None:
    """Add a sound, in place; what lies past the end is left out."""
    if start < len(sheet):
        sheet[start : start + len(sound)] += sound[: len(sheet) - start]


@cache
def _fades() -> tuple[Mix, Mix]:
    """Gain of a clip's beginning and of its end, as pydub fades."""
    level = np.full(round(_SHORTEST * RATE), _FULL, dtype="<i4")
    steady = AudioSegment(data=level.tobytes(), sample_width=4, frame_rate=RATE, channels=1)
    faded = np.frombuffer(steady.fade_in(_FADE_IN).fade_out(_FADE_OUT).raw_data, dtype="<i4")
    gain = (faded / _FULL).astype(np.float32)
    return gain[: RATE * _FADE_IN // 1000], gain[-RATE * _FADE_OUT // 1000 :]


def check(clip: Clip) -> None:
    """Refuse a clip that cannot sound.

    Args:
        clip: what is to be played.

    Raises:
        SoundError: nothing to hear, or a value out of range.
    """
    check_a4(clip.a4)
    if not _SHORTEST <= clip.length <= _LONGEST:
        raise SoundError(f"clip of {clip.length:g} s: use {_SHORTEST:g} to {_LONGEST:g} s")
    if not any(round(event.velocity * _STEPS) > 0 for event in clip.events):
        raise SoundError(f"clip is silent: give it at least one note with a velocity of {1 / _STEPS:g} or more")
    for event in clip.events:
        if not 12 <= event.midi <= 108:
            raise SoundError(f"MIDI note {event.midi} is out of range: use 12 (C0) to 108 (C8)")
        if not 0 <= event.start < clip.length:
            raise SoundError(f"note at {event.start:g} s lies outside a clip of {clip.length:g} s")
        if not 0 < event.length <= _LONGEST:
            raise SoundError(f"note of {event.length:g} s: use more than 0 and at most {_LONGEST:g} s")
        if not _GENTLE <= event.release <= _LONGEST:
            raise SoundError(f"release of {event.release:g} s: use {_GENTLE:g} to {_LONGEST:g} s")
        if not 0 <= event.velocity <= 1:
            raise SoundError(f"velocity {event.velocity:g} is out of range: use 0 to 1")


@lru_cache(maxsize=512)
def _note(own: OwnSound | None, patch: Patch, midi: int, step: int, a4: float, length: float, release: float) -> Mix:
    """One note of a patch; a pure function, kept because notes recur."""
    sound = sampled(own, patch, midi, length, step / _STEPS, a4, release) if own else None
    if own and sound is not None:
        return (sound * _balance(own, patch)).astype(np.float32)
    return _made(patch, midi, length, step / _STEPS, a4, release)


@lru_cache(maxsize=32)
def _balance(own: OwnSound, patch: Patch) -> float:
    """Gain that makes a patch of a SoundFont as loud as ours, so that the parts of a loop keep their balance."""
    note = (_MIDDLES.get(patch, 60), _COMPARED, _MEDIUM, A4, RELEASE)
    theirs, ours = sampled(own, patch, *note), _made(patch, *note)
    power = 0.0 if theirs is None else float(np.mean(theirs**2))
    if power < _SILENT:
        raise SoundError(f"{own.path}: what plays the {patch.value} is silent; choose another one with sound.preset")
    return float(np.sqrt(np.mean(ours**2) / power))


def _made(patch: Patch, midi: int, length: float, velocity: float, a4: float, release: float) -> Mix:
    """Compute one note of a patch."""
    match patch:
        case Patch.RIDE:
            return ride(length, velocity)
        case Patch.CLICK:
            return click(length, velocity)
        case _:
            return pluck(_STRINGS[patch], midi, length, velocity, a4, release).astype(np.float32)
