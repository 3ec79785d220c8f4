"""Notes from a SoundFont: who plays them, and how loud they are in time."""

import hashlib
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import pytest

from deckbuilder.sound.description import Clip, NoteEvent, OwnSound, Patch, SoundError
from deckbuilder.sound.format import RATE
from deckbuilder.sound.render import render
from deckbuilder.sound.sampled import opened, preset_for, sampled
from deckbuilder.sound.samples import Samples
from tests.sound.listening import level
from tests.sound.soundfonts import (
    ATTENUATION,
    DECAY,
    GUITAR,
    KEYS,
    LOOPED,
    SUSTAIN,
    TONES,
    Sample,
    Voice,
    duo,
    soundfont,
    span,
)


def own(folder: Path, data: bytes, player: Patch = Patch.GUITAR, preset: int | None = None) -> OwnSound:
    digest = hashlib.sha256(data).hexdigest()
    path = folder / f"{digest[:8]}.sf2"
    path.write_bytes(data)
    return OwnSound(digest, player, preset, str(path))


def note(one: OwnSound, midi: int = 57, patch: Patch = Patch.GUITAR, velocity: float = 1.0) -> Samples:
    found = sampled(one, patch, midi, 1.0, velocity, 440.0, 0.06)
    assert found is not None
    return found


def chosen(
    folder: Path,
    programs: Sequence[tuple[int, int]],
    patch: Patch,
    player: Patch = Patch.GUITAR,
    preset: int | None = None,
) -> tuple[int, int] | None:
    one = own(folder, soundfont(TONES, [Voice("One", *where, ((0, LOOPED),)) for where in programs]), player, preset)
    found = preset_for(opened(one.path, one.digest), one, patch)
    return (found.bank, found.program) if found else None


@pytest.mark.parametrize(
    ("programs", "patch", "player", "preset", "expected"),
    [
        ([(0, 24), (0, 27), (0, 26)], Patch.GUITAR, Patch.GUITAR, None, (0, 26)),
        ([(0, 24), (0, 27)], Patch.GUITAR, Patch.GUITAR, None, (0, 27)),
        ([(0, 24), (0, 5)], Patch.GUITAR, Patch.GUITAR, None, (0, 24)),
        ([(0, 9), (0, 5), (128, 0)], Patch.GUITAR, Patch.GUITAR, None, (0, 5)),
        ([(0, 26), (0, 5)], Patch.GUITAR, Patch.GUITAR, 5, (0, 5)),
        ([(8, 26), (0, 26)], Patch.GUITAR, Patch.GUITAR, None, (0, 26)),
        ([(0, 26), (0, 33)], Patch.BASS, Patch.GUITAR, None, (0, 33)),
        ([(0, 26), (0, 5)], Patch.BASS, Patch.GUITAR, 5, None),
        ([(0, 5)], Patch.BASS, Patch.BASS, None, (0, 5)),
        ([(0, 26)], Patch.RIDE, Patch.GUITAR, None, None),
        ([(0, 26), (128, 0)], Patch.RIDE, Patch.GUITAR, None, (128, 0)),
    ],
)
def test_who_plays(
    tmp_path: Path,
    programs: list[tuple[int, int]],
    patch: Patch,
    player: Patch,
    preset: int | None,
    expected: tuple[int, int] | None,
) -> None:
    """Programs by General MIDI System Level 1, counted from 0: 24 to 28 guitars, 32 to 35 basses."""
    assert chosen(tmp_path, programs, patch, player, preset) == expected


def test_a_preset_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(SoundError, match="it has no preset 7; choose from 26, 32"):
        chosen(tmp_path, [(0, 26), (0, 32)], Patch.GUITAR, preset=7)
    with pytest.raises(SoundError, match="no preset but percussion; use one with a guitar"):
        chosen(tmp_path, [(128, 0)], Patch.GUITAR)


def test_what_the_soundfont_lacks_is_left_to_the_strings_made_here(tmp_path: Path) -> None:
    one = own(tmp_path, soundfont(TONES, (GUITAR,)))
    for patch in (Patch.BASS, Patch.MANDOLIN, Patch.RIDE, Patch.CLICK):
        assert sampled(one, patch, 57, 1.0, 0.8, 440.0, 0.06) is None
    events = (NoteEvent(midi=57, start=0.05, length=0.6),)
    assert render(Clip(events, 1.0, own=one)) != render(Clip(events, 1.0))


def test_percussion_plays_where_it_has_the_key(tmp_path: Path) -> None:
    """General MIDI's percussion: 51 is a ride cymbal, 76 a wood block."""
    drums = Voice("Kit", 128, 0, ((0, ((KEYS, span(51, 51)),)),))
    one = own(tmp_path, soundfont(TONES, (GUITAR, drums)))
    assert sampled(one, Patch.RIDE, 60, 1.0, 0.8, 440.0, 0.06) is not None
    assert sampled(one, Patch.CLICK, 60, 1.0, 0.8, 440.0, 0.06) is None


def test_decay_to_the_sustain_level(tmp_path: Path) -> None:
    """100 dB in the time of the decay, down to the sustain's attenuation (8.1.3, generators 36 and 37)."""
    one = own(tmp_path, soundfont(TONES, (Voice("One", 0, 26, ((0, (*LOOPED, (DECAY, 1200), (SUSTAIN, 200))),)),)))
    sound = note(one)

    def around(second: float) -> float:
        return level(sound[round((second - 0.02) * RATE) : round((second + 0.02) * RATE)])

    assert around(0.1) - around(0.3) == pytest.approx(10, abs=0.2)
    assert around(0.1) - around(0.6) == pytest.approx(15, abs=0.2)
    assert around(0.6) - around(0.9) == pytest.approx(0, abs=0.1)
    assert sound[0] == sound[-1] == 0


def test_attenuation_and_velocity(tmp_path: Path) -> None:
    """Centibels; the default modulator of velocity is the square, 40 dB a factor of ten (8.4.1)."""
    zones = ((0, (*LOOPED, (KEYS, span(0, 60)))), (0, (*LOOPED, (KEYS, span(61, 127)), (58, 61), (ATTENUATION, 100))))
    one = own(tmp_path, soundfont(TONES, (Voice("One", 0, 26, zones),)))
    assert level(note(one, 57)) - level(note(one, 61)) == pytest.approx(10, abs=0.01)
    assert level(note(one)) - level(note(one, velocity=0.5)) == pytest.approx(40 * np.log10(2), abs=0.01)


def test_a_sample_without_a_loop_ends(tmp_path: Path) -> None:
    one = own(tmp_path, soundfont(TONES, (Voice("One", 0, 26, ((0, ()),)),)))
    sound = note(one)
    assert level(sound[: round(0.48 * RATE)]) > -20
    assert not np.any(np.round(sound[round(0.52 * RATE) :], 6))


def test_keys_that_no_zone_has_are_played_by_the_nearest(tmp_path: Path) -> None:
    zones = ((0, (*LOOPED, (KEYS, span(50, 60)))), (2, (*LOOPED, (KEYS, span(40, 45)))))
    one = own(tmp_path, soundfont(TONES, (Voice("One", 0, 26, zones),)))
    alone = own(tmp_path, soundfont(TONES, (Voice("One", 0, 26, ((0, LOOPED),)),)))
    np.testing.assert_array_equal(note(one, 48), note(alone, 48))
    np.testing.assert_array_equal(note(one, 80), note(alone, 80))


def test_a_key_too_far_from_its_root_is_told(tmp_path: Path) -> None:
    one = own(tmp_path, soundfont(TONES, (Voice("One", 0, 26, ((0, ((58, 0),)),)),)))
    with pytest.raises(SoundError, match=r"key 108 .* too far from its sample’s root 0; choose another preset"):
        note(one, 108)


def test_a_file_that_has_gone_is_told(tmp_path: Path) -> None:
    one = OwnSound("0" * 64, path=str(tmp_path / "gone.sf2"))
    with pytest.raises(SoundError, match=r"gone.sf2: it cannot be read .*; put the SoundFont 00000000 there"):
        note(one)


def test_a_part_that_is_silent_is_told(tmp_path: Path) -> None:
    mute = Sample("mute", np.zeros(2000), 57, (100, 1900))
    one = own(tmp_path, soundfont((mute,), (Voice("One", 0, 26, ((0, LOOPED),)),)))
    with pytest.raises(SoundError, match=r"what plays the guitar is silent; choose another one with sound.preset"):
        render(Clip((NoteEvent(midi=57, start=0.05, length=0.6),), 1.0, own=one))


def test_the_same_bytes_wherever_the_file_lies(tmp_path: Path) -> None:
    (tmp_path / "other").mkdir()
    events = tuple(NoteEvent(midi=midi, start=0.2 * number, length=0.2) for number, midi in enumerate((52, 57, 66)))
    first, second = (render(Clip(events, 1.0, own=own(folder, duo()))) for folder in (tmp_path, tmp_path / "other"))
    assert first == second


@pytest.mark.parametrize(("sweep", "brighter"), [(3600, True), (-3600, False)])
def test_modulation_moves_the_filter(tmp_path: Path, sweep: int, brighter: bool) -> None:
    """The modulation envelope falls from its top to nothing, and the filter comes back to where it is set (8.1.2)."""
    steady = ((8, 7500), *LOOPED)
    moved = (*steady, (11, sweep), (28, -1200), (29, 1000))
    voices = (Voice("Steady", 0, 26, ((0, steady),)), Voice("Moved", 0, 27, ((0, moved),)))
    one = own(tmp_path, soundfont(TONES, voices))
    other = OwnSound(one.digest, preset=27, path=one.path)

    def over_the_fundamental(sound: Samples, begin: float, end: float) -> float:
        part = sound[round(begin * RATE) : round(end * RATE)]
        spectrum = np.abs(np.fft.rfft(part * np.hanning(len(part)), RATE))
        return float(np.max(spectrum[600:720]) / np.max(spectrum[200:240]))

    plain, swept = (over_the_fundamental(note(each), 0.0, 0.15) for each in (one, other))
    assert (swept > 1.2 * plain) if brighter else (swept < plain / 1.2)
    plain, swept = (over_the_fundamental(note(each), 0.6, 0.9) for each in (one, other))
    assert swept == pytest.approx(plain, rel=0.01)
