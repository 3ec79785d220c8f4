from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.sound.description import Patch
from deckbuilder.sound.feel import laid_back, soloist_ratio, stray, swing_ratio, swung, touched

TEMPOS = st.floats(40, 300)
BEATS = st.integers(0, 200)
PLAYERS = (Patch.GUITAR, Patch.BASS, Patch.RIDE)


@given(TEMPOS, BEATS)
def test_the_order_of_what_is_written_is_kept(tempo: float, beat: int) -> None:
    places = [beat, beat + 1 / 3, beat + 1 / 2, beat + 1, beat + 3 / 2]
    for feel in (swung, laid_back):
        played = [feel(place, tempo) for place in places]
        assert played[0] < played[2] < played[3] < played[4]
        assert played[1] - played[0] == pytest.approx(1 / 3)  # a triplet stays even


@given(TEMPOS, BEATS)
def test_long_and_short_eighths_have_the_ratio(tempo: float, beat: int) -> None:
    for feel, ratio in ((swung, swing_ratio(tempo)), (laid_back, soloist_ratio(tempo))):
        on, off, after = (feel(place, tempo) for place in (beat, beat + 0.5, beat + 1))
        assert (off - on) / (after - off) == pytest.approx(ratio, rel=1e-6)


@given(TEMPOS, BEATS)
def test_off_beats_of_all_players_come_together(tempo: float, beat: int) -> None:
    assert laid_back(beat + 0.5, tempo) == swung(beat + 0.5, tempo)
    assert 0 <= laid_back(beat, tempo) - beat < 0.1


@pytest.mark.parametrize("patch", PLAYERS)
def test_starts_stray_by_some_milliseconds_in_the_same_way_every_time(patch: Patch) -> None:
    strays = [stray(patch, place / 2, string, seed) for place, string, seed in product(range(64), range(4), range(2))]
    assert max(strays) - min(strays) < 0.01
    assert abs(sum(strays) / len(strays)) < 0.008
    assert len(set(strays)) > 400
    assert strays == [stray(patch, p / 2, string, seed) for p, string, seed in product(range(64), range(4), range(2))]


def test_a_click_is_on_time() -> None:
    assert {stray(Patch.CLICK, place) for place in range(40)} == {0.0}


def test_velocities_come_from_a_small_set() -> None:
    """So that a note that was computed once serves again."""
    found = {round(touched(0.5, place / 2, string), 6) for place, string in product(range(64), range(4))}
    assert found == {0.45, 0.5, 0.55}
    assert {touched(velocity, place) for velocity, place in product((0.0, 1.0), range(40))} <= {0.0, 0.05, 0.95, 1.0}
