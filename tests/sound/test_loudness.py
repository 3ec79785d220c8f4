import numpy as np
import pyloudnorm
import pytest

from deckbuilder.build import notes_of
from deckbuilder.recipe import parse_recipe
from deckbuilder.sound.description import SoundError
from deckbuilder.sound.format import RATE
from deckbuilder.sound.loudness import CEILING, TARGET, levelled, limit, weighted
from deckbuilder.sound.render import render
from tests.noted import clip_of
from tests.sound.listening import decoded

TIME = np.arange(3 * RATE) / RATE
TONE = (0.1 * np.sin(2 * np.pi * 440 * TIME)).astype(np.float32)


@pytest.mark.parametrize("gain", [0.01, 0.3, 1.0, 40.0])
def test_any_level_is_brought_to_the_target(gain: float) -> None:
    assert pyloudnorm.Meter(RATE).integrated_loudness(levelled(TONE * gain, RATE)) == pytest.approx(TARGET, abs=0.1)


def test_what_does_not_stick_out_is_left_alone() -> None:
    sound = TONE.copy()
    limit(sound, RATE)
    assert np.array_equal(sound, TONE)


@pytest.mark.parametrize("place", [0, 100, RATE, 3 * RATE - 1])
def test_a_peak_is_met_by_a_smooth_dip(place: int) -> None:
    sound = TONE.copy()
    sound[place] = 1.8
    quiet = sound.copy()
    limit(quiet, RATE)
    assert np.max(np.abs(quiet)) <= CEILING * (1 + 1e-6)
    gain = quiet[np.abs(sound) > 0.01] / sound[np.abs(sound) > 0.01]
    assert np.max(np.abs(np.diff(gain))) < 0.02
    away = np.abs(np.arange(len(sound)) - place) > 2000
    assert np.allclose(quiet[away], sound[away], rtol=1e-6)


@pytest.mark.parametrize("length", [640, 641, 703, RATE, RATE + 13])
def test_the_gain_has_no_step(length: int) -> None:
    gain = np.ones(length, dtype=np.float32)
    gain[[2, length // 2, length - 5]] = 1.8, 1.2, 1.5
    before = gain.copy()
    limit(gain, RATE)
    gain /= before
    steps = np.abs(np.diff(gain))
    assert steps.max() < 0.02
    assert gain[2] * 1.8 <= CEILING * (1 + 1e-6)
    assert gain[-5] * 1.5 <= CEILING * (1 + 1e-6)


@pytest.mark.parametrize("length", [0.5, 0.77, 1.0, 5.0])
@pytest.mark.parametrize("rate", [RATE, RATE / 3])
def test_loudness_is_that_of_pyloudnorm(length: float, rate: float) -> None:
    """Loud, then fading, then nearly nothing: both gates have something to leave out."""
    noise = np.random.default_rng(5).normal(0, 0.2, round(length * rate))
    for fall in (1.0, 8.0, 20.0):
        sound = (noise * np.exp(-fall * np.arange(len(noise)) / len(noise))).astype(np.float32)
        wanted = pyloudnorm.Meter(rate).integrated_loudness(sound)
        assert weighted(sound, rate).loudness() == pytest.approx(wanted, abs=0.01)


@pytest.mark.parametrize("known", [True, False])
def test_loudness_that_peaks_take_with_them_is_made_up(known: bool) -> None:
    sound = TONE.copy()
    sound[:: RATE // 8] = 1.5
    loud = levelled(sound, RATE, known=known)
    assert np.max(np.abs(loud)) <= CEILING * (1 + 1e-6)
    assert pyloudnorm.Meter(RATE).integrated_loudness(loud) == pytest.approx(TARGET, abs=0.1)


def test_silence_is_refused() -> None:
    with pytest.raises(SoundError, match="clip is silent"):
        levelled(np.zeros(RATE, dtype=np.float32), RATE)


def test_every_third_sample_tells_the_loudness() -> None:
    notes = notes_of(parse_recipe({"keys": ["F"], "regions": [1, 5]}, "test"))
    clips = {note.identity.fact: clip_of(note) for note in notes}
    assert len(clips) > 5
    for clip in clips.values():
        sound = decoded(render(clip))
        whole, part = (pyloudnorm.Meter(RATE / step).integrated_loudness(sound[::step]) for step in (1, 3))
        assert part == pytest.approx(whole, abs=0.05)
