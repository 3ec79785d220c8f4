"""Swing against what is published.

Source: Friberg and Sundström, "Swing ratios and ensemble timing in jazz performance", Music Perception 19 (2002), from
memory: drummers' swing ratio falls about linearly with tempo, from up to 3.5 to 1 at 120 to about 1 to 1 at 300; from
medium fast tempi on the short eighth lasts about 100 ms; a soloist's ratio is smaller; soloists come in after the
ride on the beat, by up to about 100 ms, and with it off the beat.
"""

import pytest

from deckbuilder.sound.feel import laid_back, soloist_ratio, swing_ratio, swung


@pytest.mark.parametrize(("tempo", "ratio"), [(120, 3.5), (210, 2.25), (300, 1.0)])
def test_the_rides_ratio_falls_with_tempo(tempo: float, ratio: float) -> None:
    """The straight line of the paper, from 3.5 at 120 to 1 at 300, within 0.5."""
    assert swing_ratio(tempo) == pytest.approx(ratio, abs=0.5)


@pytest.mark.parametrize("tempo", [150, 180, 200, 240, 280])
def test_the_short_eighth_lasts_100_ms(tempo: float) -> None:
    assert (1 - swung(0.5, tempo)) * 60 / tempo == pytest.approx(0.1, abs=0.01)


@pytest.mark.parametrize("tempo", [80, 120, 160, 200, 280])
def test_a_soloist_swings_less_and_lags_behind_the_ride(tempo: float) -> None:
    assert 1 < soloist_ratio(tempo) < swing_ratio(tempo)
    assert 0 < laid_back(1, tempo) - 1 < 0.1 * tempo / 60
    assert laid_back(0.5, tempo) == swung(0.5, tempo)
