import numpy as np
import pyloudnorm
import pytest
from scipy import signal

from deckbuilder.sound.format import RATE
from deckbuilder.sound.instruments import BASS, GUITAR, MANDOLIN, NYLON, StringModel
from deckbuilder.sound.samples import Samples
from deckbuilder.sound.string import frequency, partials, pluck
from tests.sound.listening import cents, level, peak_near

PITCHES = range(23, 89)


@pytest.mark.parametrize("midi", PITCHES)
def test_every_pitch_is_in_tune(midi: int) -> None:
    sound = pluck(GUITAR, midi, 1.6, 0.8)[2000:68_000]
    for number, allowed in ((1, 2.5), (2, 4.0), (3, 6.0)):
        wanted = number * frequency(midi)
        assert abs(cents(peak_near(sound, wanted), wanted)) < allowed


@pytest.mark.parametrize("a4", [380.0, 415.0, 442.0, 480.0])
@pytest.mark.parametrize("midi", [23, 40, 57, 69, 88])
def test_a4_moves_every_pitch_alike(midi: int, a4: float) -> None:
    wanted = frequency(midi) * a4 / 440.0
    sound = pluck(GUITAR, midi, 1.6, 0.8, a4)[2000:68_000]
    assert abs(cents(peak_near(sound, wanted), wanted)) < 2.5


@pytest.mark.parametrize("midi", range(28, 48))
def test_the_bass_is_in_tune(midi: int) -> None:
    sound = pluck(BASS, midi, 1.6, 0.7)[2000:68_000]
    assert abs(cents(peak_near(sound, frequency(midi)), frequency(midi))) < 2.5


@pytest.mark.parametrize("model", [NYLON, MANDOLIN])
@pytest.mark.parametrize("midi", [43, 55, 60, 69, 76, 88])
def test_small_instruments_are_in_tune(model: StringModel, midi: int) -> None:
    sound = pluck(model, midi, 1.6, 0.7)[2000:68_000]
    assert abs(cents(peak_near(sound, frequency(midi)), frequency(midi))) < 2.5


@pytest.mark.parametrize("model", [GUITAR, BASS, NYLON, MANDOLIN])
@pytest.mark.parametrize("midi", [23, 40, 64, 88])
@pytest.mark.parametrize("length", [0.01, 0.2, 3.0])
def test_a_note_starts_and_ends_without_a_click(model: StringModel, midi: int, length: float) -> None:
    sound = pluck(model, midi, length, 1.0)
    assert sound[0] == 0.0
    assert sound[-1] == 0.0
    assert np.max(np.abs(sound[:4])) < 0.02
    assert np.max(np.abs(sound[-20:])) < 0.01


def test_no_energy_where_the_sampling_rate_could_fold_it() -> None:
    for midi in PITCHES:
        assert partials(GUITAR, midi, 1.0, 480.0)[0].max() < RATE / 2 - 3000


def test_harder_is_louder_and_brighter() -> None:
    softly, hard = (pluck(GUITAR, 52, 0.5, velocity) for velocity in (0.4, 0.9))
    assert level(hard) > level(softly) + 6

    def centre(sound: Samples) -> float:
        power = np.abs(np.fft.rfft(sound)) ** 2
        return float(np.sum(power * np.fft.rfftfreq(len(sound), 1 / RATE)) / np.sum(power))

    assert centre(hard) > 1.1 * centre(softly)


def test_brightness_decays() -> None:
    sound = pluck(GUITAR, 45, 3.0, 0.8)
    tilt = []
    for start in (0.1, 1.0, 2.0):
        part = sound[round(start * RATE) :][: RATE // 2]
        high = signal.sosfilt(signal.butter(4, 1000, "highpass", fs=RATE, output="sos"), part)
        tilt.append(level(high) - level(part))
    assert tilt[0] > tilt[1] + 6 > tilt[2] + 6


def test_pitches_are_balanced_on_large_and_on_small_speakers() -> None:
    """K-weighted, and again with what a phone's speaker loses (below about 500 Hz; from memory)."""
    meter = pyloudnorm.Meter(RATE)
    phone = signal.butter(2, 500, "highpass", fs=RATE, output="sos")
    large, small = [], []
    for midi in range(28, 89, 3):
        sound = pluck(GUITAR, midi, 0.45, 0.8)
        large.append(meter.integrated_loudness(sound))
        small.append(meter.integrated_loudness(signal.sosfilt(phone, sound)))
    assert max(large) - min(large) < 6
    assert max(small) - min(small) < 6


def test_a_low_note_is_carried_by_its_second_to_sixth_partial() -> None:
    _, amplitude = partials(GUITAR, 40, 0.8)
    power = amplitude**2
    assert power[1:6].sum() > 2 * power[0]


def test_low_notes_do_not_buzz() -> None:
    """Partials that peak together once a period are heard as a buzz; the crest shows it."""
    for midi in (28, 33, 40, 45):
        sound = pluck(GUITAR, midi, 0.3, 0.8)[round(0.03 * RATE) :]  # after the pick
        assert 20 * np.log10(np.max(np.abs(sound))) - level(sound) < 11


def test_the_same_note_is_the_same_samples() -> None:
    assert np.array_equal(pluck(GUITAR, 50, 1.0, 0.7), pluck(GUITAR, 50, 1.0, 0.7))
