"""Colours that others add, extensions and recipes: what a row has to hold before it is taken.

A player describes a colour by the degrees of its scale over the dominant. Degrees and the intervals they name are those
of chord symbols (common practice, no source): 9, 11 and 13 are the second, the fourth and the sixth an octave up.
"""

import re
from dataclasses import dataclass

from deckbuilder.theory.chordscales import CHORD_SCALES
from deckbuilder.theory.colours import COLOURS, Colour, colour_scale
from deckbuilder.theory.tones import TheoryError, Tone, pretty

INTERVALS = {
    "1": "P1",
    "b9": "m2",
    "9": "M2",
    "#9": "A2",
    "3": "M3",
    "11": "P4",
    "#11": "A4",
    "b5": "d5",
    "5": "P5",
    "#5": "A5",
    "b13": "m6",
    "13": "M6",
    "b7": "m7",
}
"""Degrees that a dominant's scale may have, in ascending order, and what each is above the root."""

_NEEDED = ("1", "3", "b7")
_NATURAL = ("1", "9", "3", "11", "5", "13", "b7")
_FEWEST = 5
_NAME = re.compile(r"[a-z][a-z0-9]*(-[a-z0-9]+)*")
_LONGEST_NAME = 40
"""Characters, as many as a tag's value may have."""


@dataclass(frozen=True)
class OwnColour:
    """A player's own colour.

    Args:
        name: its name in recipes, ids and tags: small letters and digits, words joined by `-`.
        degrees: the degrees of its scale over the dominant, such as `b9`.
        label: its name for people; empty for the name with spaces.
        gives: what it gives to the dominant, a phrase; empty for its altered degrees.
    """

    name: str
    degrees: tuple[str, ...]
    label: str = ""
    gives: str = ""

    @property
    def colour(self) -> Colour:
        """The colour as a row of the table."""
        degrees = [degree for degree in INTERVALS if degree in self.degrees]
        altered = [degree for degree in degrees if degree not in _NATURAL]
        return Colour(
            name=self.name,
            label=self.label or self.name.replace("-", " "),
            scale_name=self.name.replace("-", " "),
            suffix=f"7{''.join(altered)}",
            parent="",
            tonic="",
            gives=self.gives,
            spelling=tuple(INTERVALS[degree] for degree in degrees),
        )


def check_colour_name(name: str) -> None:
    """Refuse what no colour can be called.

    Raises:
        TheoryError: it is no name, or a colour or a chord scale has it already.
    """
    if not _NAME.fullmatch(name) or len(name) > _LONGEST_NAME:
        raise TheoryError(
            f"{name!r} is no name for a colour; write small letters and digits joined by '-', such as my-colour, "
            f"{_LONGEST_NAME} at most"
        )
    if name in COLOURS or name in CHORD_SCALES:
        raise TheoryError(f"there is a scale {name!r} already; choose another name")


def check_degrees(degrees: tuple[str, ...]) -> None:
    """Refuse degrees that make no dominant's scale.

    Raises:
        TheoryError: one is unknown or there twice, there are too few, or the root, 3 or b7 is missing.
    """
    for number, degree in enumerate(degrees):
        if degree not in INTERVALS:
            raise TheoryError(f"{degree!r} is no degree of a dominant's scale; choose from {' '.join(INTERVALS)}")
        if degree in degrees[:number]:
            raise TheoryError(f"{degree!r} is there twice; name each degree once")
    missing = [degree for degree in _NEEDED if degree not in degrees]
    if missing:
        raise TheoryError(f"a dominant's scale has 1, 3 and b7, and this one has no {missing[0]}; add it")
    if len(degrees) < _FEWEST:
        raise TheoryError(f"{len(degrees)} degrees; a scale has {_FEWEST} at least")
    for other in (("#11", "b5"), ("#5", "b13")):
        if set(other) <= set(degrees):
            raise TheoryError(f"{pretty(other[0])} and {pretty(other[1])} are the same tone; name one of them")


def new_colour(row: Colour) -> Colour:
    """Return a colour that is to be added.

    Raises:
        TheoryError: its name cannot be, or its scale has not the dominant's root, third and seventh.
    """
    check_colour_name(row.name)
    missing = {0, 4, 10} - colour_scale(Tone("C"), row).pitch_classes
    if missing:
        raise TheoryError(f"the scale of {row.name!r} has no {_OF_SEMITONES[min(missing)]}, which every dominant has")
    return row


_OF_SEMITONES = {0: "root", 4: "major third", 10: "minor seventh"}
