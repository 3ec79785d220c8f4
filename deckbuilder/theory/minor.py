"""The minor cadence: iiø–V–i in a minor key, every chord with its scale.

- ii is half-diminished and draws on the key's natural minor, locrian from its own root. Locrian with a natural 9 is the
  other habit; that 9 is the major third of the tonic (E over Dm7♭5 in C minor), heard just before the minor one. Who
  wants it writes `iiø{locrian-natural-9}`.
- V draws on the key's harmonic minor, phrygian dominant from its root, or is altered.
- i has its sixth or its major seventh and draws on melodic minor, which holds both.

Source: common practice of jazz harmony texts, no single source. The chords are those that `deckbuilder.theory.analysis`
reads in changes, so that a fact about them is the same wherever it comes from.
"""

from deckbuilder.theory.chords import DOMINANT, QUALITIES, SIXTHS_AND_SUSPENDED, Quality
from deckbuilder.theory.chordscales import CHORD_SCALES
from deckbuilder.theory.colours import Colour
from deckbuilder.theory.functions import Function, Harmony, function_on, harmony
from deckbuilder.theory.keys import Key
from deckbuilder.theory.steps import Step
from deckbuilder.theory.tones import TheoryError

DEFAULT_MINOR_KEYS = ("Cm", "Fm", "Bbm", "Ebm", "G#m", "C#m", "F#m", "Bm", "Em", "Am", "Dm", "Gm")
"""The twelve minor keys, in fourths, each under the name with fewer accidentals."""

MINOR_COLOURS = ("harmonic-minor", "altered")
"""Colours of V in a minor cadence, the one of the key first."""


def _on(step: int, quality: Quality) -> Function:
    return function_on(Step(step), quality)


MINOR_FUNCTIONS: dict[str, Function] = {
    function.name: function
    for function in (
        _on(2, QUALITIES["m7b5"]),
        _on(5, DOMINANT),
        _on(1, SIXTHS_AND_SUSPENDED["m6"]),
        _on(1, QUALITIES["mMaj7"]),
    )
}
"""The functions of the minor cadence, in their order; the tonic has two forms."""


def minor_harmony(key: Key, name: str, colour: Colour | None = None) -> Harmony:
    """Return a chord of the minor cadence with the scale that it draws on.

    Args:
        key: a minor key.
        name: one of `MINOR_FUNCTIONS`.
        colour: the colour of V; None for the other chords.

    Raises:
        TheoryError: the key is major, there is no such function, V has no colour or another chord has one.
    """
    if not key.minor:
        raise TheoryError(f"{key.name!r} is a major key; the minor cadence stands in a minor one, such as {key.name}m")
    if name not in MINOR_FUNCTIONS:
        raise TheoryError(f"{name!r} is no chord of the minor cadence; choose from {', '.join(MINOR_FUNCTIONS)}")
    function = MINOR_FUNCTIONS[name]
    is_tonic = function.step == 1
    scale = CHORD_SCALES["melodic-minor"].on(key.tonic) if is_tonic else None
    return harmony(key, function, colour, scale)
