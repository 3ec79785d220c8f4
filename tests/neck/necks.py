"""Instruments and scales to finger, for tests."""

from hypothesis import strategies as st

from deckbuilder.neck.hand import EXTENDED, FINGER_A_FRET, FINGER_A_STEP, Hand
from deckbuilder.neck.tuning import TUNINGS, Tuning
from deckbuilder.theory.keys import KEY_NAMES, Key
from deckbuilder.theory.scales import Scale
from tests.theory.harmonies import chord_in

STANDARD = TUNINGS["standard"]
HANDS = (FINGER_A_FRET, EXTENDED, FINGER_A_STEP)


def scales_of(key: str) -> tuple[Scale, ...]:
    """Return a key's scale and the altered scales of V and VI."""
    return (Key.parse(key).scale, chord_in(key, "V", "altered").scale, chord_in(key, "VI", "altered").scale)


SCALES = tuple(scale for key in KEY_NAMES for scale in scales_of(key))


def scales() -> st.SearchStrategy[Scale]:
    """Draw a major scale or an altered scale of V or VI."""
    return st.sampled_from(SCALES)


def any_tunings(fewest: int = 3, most: int = 10) -> st.SearchStrategy[Tuning]:
    """Draw open strings from E1 to E5, each within an octave of its neighbour, and a hand: many are nobody's tuning."""

    def strung(first: int, steps: list[int], hand: Hand) -> Tuning:
        pitches = [first]
        for step in steps:
            pitches.append(min(max(pitches[-1] + step, 28), 76))
        return Tuning("random", tuple(pitches), hand=hand)

    steps = st.lists(st.integers(-12, 12), min_size=fewest - 1, max_size=most - 1)
    return st.builds(strung, st.integers(28, 76), steps, st.sampled_from(HANDS))
