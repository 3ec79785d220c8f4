"""The minor cadence, put together of its chords."""

from deckbuilder.theory.colours import COLOURS
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.keys import Key
from deckbuilder.theory.minor import minor_harmony


def minor_cadence(key: Key, colour: str = "harmonic-minor", tonic: str = "im6") -> tuple[Harmony, Harmony, Harmony]:
    """Return ii, V and i of a minor key, V in a colour."""
    names = (("iim7b5", None), ("V", COLOURS[colour]), (tonic, None))
    ii, dominant, i = (minor_harmony(key, name, drawn_on) for name, drawn_on in names)
    return ii, dominant, i
