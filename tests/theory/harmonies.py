"""The chords of the cadence and the turnaround in every key, for tests."""

from hypothesis import strategies as st

from deckbuilder.theory.arpeggios import Source
from deckbuilder.theory.colours import COLOURS
from deckbuilder.theory.functions import FUNCTIONS, Harmony, harmony
from deckbuilder.theory.keys import KEY_NAMES, Key

CHORDS = (("ii", None), ("V", "plain"), ("I", None), ("V", "altered"), ("VI", "altered"))
"""Function and colour of every chord a default deck plays over."""


def chord_in(key: str, function: str, colour: str | None = None) -> Harmony:
    """Return a chord in a key, everything by name."""
    return harmony(Key.parse(key), FUNCTIONS[function], COLOURS[colour] if colour else None)


def keys() -> st.SearchStrategy[str]:
    """Draw a key's name."""
    return st.sampled_from(KEY_NAMES)


def harmonies() -> st.SearchStrategy[Harmony]:
    """Draw a chord of the cadence or the turnaround in any key."""
    return st.builds(lambda key, chord: chord_in(key, *chord), keys(), st.sampled_from(CHORDS))


def altered() -> st.SearchStrategy[Harmony]:
    """Draw an altered dominant in any key."""
    return st.builds(lambda key, function: chord_in(key, function, "altered"), keys(), st.sampled_from(("V", "VI")))


def sources() -> st.SearchStrategy[Source]:
    """Draw where an arpeggio starts."""
    return st.sampled_from(tuple(Source))
