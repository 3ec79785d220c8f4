"""The reader of SoundFonts: zones in physical units, and one error for whatever is no whole SoundFont."""

import struct
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from deckbuilder.sound.description import SoundError
from deckbuilder.sound.soundfont import SoundFont, Zone, read_soundfont
from tests.sound.soundfonts import (
    ATTACK,
    ATTENUATION,
    BASS,
    COARSE,
    DECAY,
    FINE,
    GUITAR,
    KEYS,
    LOOPED,
    ROOT,
    SUSTAIN,
    TONES,
    Generators,
    Voice,
    duo,
    soundfont,
    span,
)

DUO = duo()


def read(data: bytes) -> SoundFont:
    return read_soundfont(np.frombuffer(data, np.uint8))


def zone_of(*generators: tuple[int, int], over: Generators = ()) -> Zone:
    font = read(soundfont(TONES, (Voice("One", 0, 0, ((0, generators),), over),)))
    (zone,) = font.zones(font.presets[0])
    return zone


def test_presets_with_their_zones() -> None:
    font = read(DUO)
    assert [(preset.name, preset.bank, preset.program) for preset in font.presets] == [
        ("Guitar", 0, 26),
        ("Bass", 0, 32),
    ]
    low, high = font.zones(font.presets[0])
    assert (low.keys, high.keys, low.velocities) == ((0, 62), (63, 127), (0, 127))
    assert (low.root, high.root, high.tuning) == (57, 71, 30)
    assert low.loop is not None
    assert low.start < low.loop[0] < low.loop[1] <= low.end
    assert low.end - low.start == len(TONES[0].sound)


def test_units_of_the_specification() -> None:
    """SoundFont 2.04, 8.1.3: centibels, timecents, cents and semitones; defaults in 8.1.2."""
    zone = zone_of((ATTENUATION, 60), (SUSTAIN, 250), (DECAY, -1200), (ATTACK, 1200), (FINE, -20), (COARSE, 2))
    assert (zone.attenuation, zone.envelope.sustain) == (6.0, 25.0)
    assert (zone.envelope.decay, zone.envelope.attack, zone.envelope.hold) == (0.5, 2.0, 0.0)
    assert (zone.tuning, zone.scale, zone.cutoff, zone.loop) == (180.0, 100.0, None, None)
    assert zone_of((8, 9600)).cutoff == pytest.approx(8.176 * 256)
    assert zone_of((ROOT, 40)).root == 40


def test_a_preset_adds_to_its_instrument_and_narrows_it() -> None:
    """SoundFont 2.04, 9.4: values add, ranges intersect, and what is an instrument's own stays."""
    inner: Generators = ((KEYS, span(40, 80)), (ATTENUATION, 60), (FINE, -20), (ROOT, 50))
    zone = zone_of(*inner, over=((KEYS, span(60, 100)), (ATTENUATION, 40), (FINE, -20), (ROOT, 5)))
    assert (zone.keys, zone.attenuation, zone.tuning, zone.root) == ((60, 80), 10.0, -40.0, 50)


def test_zones_that_share_no_key_do_not_sound() -> None:
    font = read(soundfont(TONES, (Voice("One", 0, 0, ((0, ((KEYS, span(40, 50)),)),), ((KEYS, span(60, 70)),)),)))
    assert font.zones(font.presets[0]) == ()


def _sound_of(data: bytes) -> None:
    font = read(data)
    for preset in font.presets:
        font.zones(preset)


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (b"", "this is no SoundFont; use a SoundFont 2 file"),
        (b"RIFF\x04\x00\x00\x00WAVE", "this is no SoundFont; use a SoundFont 2 file"),
        (DUO[:-1], "it is cut off .*; get the whole file again"),
        (soundfont(TONES, (GUITAR, BASS), version=3), r"compressed \(SoundFont 3, .sf3\); convert it"),
        (soundfont([replace(TONES[0], type=0x11), *TONES[1:]], (GUITAR,)), "compressed"),
        (DUO.replace(b"shdr", b"none"), "it has no shdr"),
        (DUO.replace(b"smpl" + DUO[DUO.index(b"smpl") + 4 :][:4], b"smpl\xff\xff\xff\xff"), "chunk 'smpl' ends after"),
        (DUO.replace(struct.pack("<HH", 53, 2), struct.pack("<HH", 53, 900)), "there is no sample 900"),
        (DUO.replace(struct.pack("<HH", 41, 1), struct.pack("<HH", 41, 900)), "inst has no record 900"),
        (soundfont(TONES, (Voice("One", 0, 0, ((0, ((12, 900),)),)),)), "'A3' lies outside"),
    ],
)
def test_what_is_no_whole_soundfont_is_told(data: bytes, message: str) -> None:
    with pytest.raises(SoundError, match=message):
        _sound_of(data)


TABLES = DUO.index(b"pdta")


@given(
    st.integers(0, len(DUO)), st.lists(st.tuples(st.integers(0, len(DUO) - TABLES), st.integers(0, 255)), max_size=8)
)
@example(len(DUO), [])
def test_any_damage_ends_in_an_error_or_in_zones_within_the_samples(
    length: int, changes: list[tuple[int, int]]
) -> None:
    data = bytearray(DUO)
    for place, value in changes:
        data[max(0, len(data) - 1 - place)] = value
    try:
        font = read(bytes(data[:length]))
        zones = [zone for preset in font.presets for zone in font.zones(preset)]
    except SoundError:
        return
    for zone in zones:
        assert 0 <= zone.start < zone.end <= len(font.samples)
        assert zone.loop is None or zone.start <= zone.loop[0] < zone.loop[1] <= zone.end


def test_a_loop_outside_of_its_sample_is_none() -> None:
    far = replace(TONES[0], loop=(0, len(TONES[0].sound) + 100))
    font = read(soundfont((far,), (Voice("One", 0, 0, ((0, LOOPED),)),)))
    assert font.zones(font.presets[0])[0].loop is None


@pytest.mark.parametrize("keys", [(0, 127), (0, 10)])
def test_a_preset_without_end_is_refused(keys: tuple[int, int]) -> None:
    """Each of its instruments' zones counts, whether it sounds or not."""
    zone = (0, ((KEYS, span(*keys)),))
    voices = [Voice("One", 0, 0, (zone,) * 75, times=70, over=((KEYS, span(20, 127)),))]
    font = read(soundfont(TONES, voices))
    with pytest.raises(SoundError, match="over 5,000 zones"):
        font.zones(font.presets[0])
    with pytest.raises(SoundError, match="generators that cannot be"):
        zone_of(*((FINE, 1),) * 300)
