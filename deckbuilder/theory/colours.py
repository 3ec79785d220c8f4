"""Dominant colours: the scale a dominant seventh draws on.

A colour is a mode of a parent scale. Its row says how far the parent's tonic lies above the dominant's root, so that
the spelling follows the parent: C altered is D♭ melodic minor from its seventh degree.
"""

from dataclasses import dataclass
from functools import lru_cache

from deckbuilder.theory.scales import Scale, parent_tones, rotated
from deckbuilder.theory.tones import TheoryError, Tone, exactly_above


@dataclass(frozen=True, slots=True)
class Colour:
    """A dominant colour.

    Args:
        name: its name in recipes, ids and tags.
        scale_name: what players call its scale, after the root.
        suffix: what a chord symbol of this colour adds after the root.
        parent: music21's class of the parent scale.
        tonic: interval from the dominant's root up to the parent's tonic.
    """

    name: str
    scale_name: str
    suffix: str
    parent: str
    tonic: str


COLOURS: dict[str, Colour] = {
    colour.name: colour
    for colour in (
        Colour("plain", "mixolydian", "7", "MajorScale", "P4"),
        Colour("altered", "altered", "7alt", "MelodicMinorScale", "m2"),
    )
}
"""Every colour a dominant can have here."""


def colour_named(name: str) -> Colour:
    """Return a colour by its name.

    Raises:
        TheoryError: no colour has this name.
    """
    if name not in COLOURS:
        raise TheoryError(f"{name!r} is not a dominant colour; choose from {', '.join(COLOURS)}")
    return COLOURS[name]


@lru_cache(maxsize=512)
def colour_scale(root: Tone, colour: Colour) -> Scale:
    """Return the scale of a dominant's colour, the dominant's root first.

    Args:
        root: the dominant's root, whose spelling is kept.
        colour: the colour.
    """
    parent = parent_tones(colour.parent, exactly_above(root, colour.tonic))
    classes = [tone.pitch_class for tone in parent]
    tones = rotated(parent, classes.index(root.pitch_class))
    return Scale(colour.scale_name, (root, *tones[1:]))
