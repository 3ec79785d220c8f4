"""Dominant colours: the scale a dominant seventh draws on.

A colour is a mode of a parent scale. Its row says how far the parent's tonic lies above the dominant's root: C altered
is D♭ melodic minor from its seventh degree. Where the parent's letters would hide what a tone is to the dominant, the
row spells the scale by its degrees: C altered is C D♭ D♯ E G♭ A♭ B♭, since F♭ and E♭ are no third and no sharp ninth
of C7. So every colour has the dominant's own third and seventh. What a colour gives is common practice, no source.
"""

from dataclasses import dataclass

from deckbuilder.registry import Registry
from deckbuilder.speech import marked, translate
from deckbuilder.suggestions import remedy
from deckbuilder.theory.scales import Scale, mode
from deckbuilder.theory.tones import TheoryError, Tone


@dataclass(frozen=True, slots=True)
class Colour:
    """A dominant colour.

    Args:
        name: its name in recipes, ids and tags.
        label: its name for people, a message that is said with `translate`.
        scale_name: what players call its scale, after the root.
        suffix: what a chord symbol of this colour adds after the root.
        parent: the parent scale, one of `PARENT_NAMES`; empty where `spelling` gives a scale that is no mode of one.
        tonic: interval from the dominant's root up to the parent's tonic.
        gives: what the colour gives to the dominant, a phrase with ASCII degrees, a message too; empty
            for its altered degrees.
        spelling: intervals above the root that spell the scale, where the parent does not spell it by its degrees.
    """

    name: str
    label: str
    scale_name: str
    suffix: str
    parent: str
    tonic: str
    gives: str
    spelling: tuple[str, ...] = ()


COLOURS: Registry[str, Colour] = Registry(
    "colour",
    {
        colour.name: colour
        for colour in (
            Colour(
                "plain",
                marked("plain"),
                "mixolydian",
                "7",
                "MajorScale",
                "P4",
                marked("the bright 9 and 13 of a major key"),
            ),
            Colour(
                "altered",
                marked("altered"),
                "altered",
                "7alt",
                "MelodicMinorScale",
                "m2",
                marked("both altered ninths and both altered fifths"),
                ("P1", "m2", "A2", "M3", "d5", "m6", "m7"),
            ),
            Colour(
                "harmonic-minor",
                marked("harmonic minor"),
                "phrygian dominant",
                "7b9b13",
                "HarmonicMinorScale",
                "P4",
                marked("b9 and b13 above a natural 5, the pull to a minor chord"),
            ),
            Colour(
                "lydian-dominant",
                marked("lydian dominant"),
                "lydian dominant",
                "7#11",
                "MelodicMinorScale",
                "P5",
                marked("a bright #11 for a dominant that need not resolve down a fifth"),
            ),
            Colour(
                "mixolydian-b6",
                marked("mixolydian ♭6"),
                "mixolydian b6",
                "7b13",
                "MelodicMinorScale",
                "P4",
                marked("a dark b13 under a bright 9"),
            ),
            Colour(
                "half-whole-diminished",
                marked("half-whole diminished"),
                "half-whole diminished",
                "13b9",
                "OctatonicScale",
                "m2",
                marked("b9 and #9 with a bright 13, a shape that repeats every three frets"),
                ("P1", "m2", "A2", "M3", "A4", "P5", "M6", "m7"),
            ),
            Colour(
                "whole-tone",
                marked("whole tone"),
                "whole tone",
                "7#5",
                "WholeToneScale",
                "P1",
                marked("#5 and #11 with a natural 9, nothing but whole steps"),
                ("P1", "M2", "M3", "A4", "A5", "m7"),
            ),
        )
    },
)
"""Every colour a dominant can have here."""


def colour_label(name: str) -> str:
    """Return a colour's name for people; of one that is not known here, its name with spaces."""
    return translate(COLOURS[name].label) if name in COLOURS else name.replace("-", " ")


def colour_named(name: str) -> Colour:
    """Return a colour by its name.

    Raises:
        TheoryError: no colour has this name.
    """
    if name not in COLOURS:
        raise TheoryError(f"{name!r} is not a dominant colour; {remedy(name, COLOURS)}")
    return COLOURS[name]


def colour_scale(root: Tone, colour: Colour) -> Scale:
    """Return the scale of a dominant's colour, the dominant's root first.

    Args:
        root: the dominant's root, whose spelling is kept.
        colour: the colour.
    """
    return mode(colour.scale_name, root, colour.parent, colour.tonic, colour.spelling)
