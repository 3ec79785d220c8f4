"""A string's sound is the same to the bit however it came to be as long as it is."""

import numpy as np
import pytest

from deckbuilder.sound.instruments import BASS, GUITAR, MANDOLIN, StringModel
from deckbuilder.sound.ringing import Ringing
from deckbuilder.sound.string import SPOKEN


@pytest.mark.parametrize(("model", "midi"), [(GUITAR, 40), (GUITAR, 76), (BASS, 28), (MANDOLIN, 81)])
@pytest.mark.parametrize("counts", [(100, 30_000), (9_000, 9_001, 50_000), (SPOKEN, SPOKEN + 1, 7 * SPOKEN, 300)])
def test_a_string_that_grows_is_the_string_at_once(model: StringModel, midi: int, counts: tuple[int, ...]) -> None:
    growing = Ringing()
    for count in counts:
        grown = growing.at_least(model, midi, 0.8, 440.0, count)
        once = Ringing().at_least(model, midi, 0.8, 440.0, count)
        assert len(once) >= count
        assert np.array_equal(grown[:count], once[:count])


def test_what_has_not_sounded_for_longest_is_forgotten() -> None:
    few = Ringing(3 * SPOKEN)
    kept = {midi: few.at_least(GUITAR, midi, 0.8, 440.0, SPOKEN) for midi in (50, 51, 52)}
    assert few.at_least(GUITAR, 50, 0.8, 440.0, SPOKEN) is kept[50]
    few.at_least(GUITAR, 53, 0.8, 440.0, SPOKEN)
    assert few.at_least(GUITAR, 50, 0.8, 440.0, SPOKEN) is kept[50]
    again = few.at_least(GUITAR, 51, 0.8, 440.0, SPOKEN)
    assert again is not kept[51]
    assert np.array_equal(again, kept[51])
