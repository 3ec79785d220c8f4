"""A recipe's own tunings and colours: checked, and known from there on while the recipe is read."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, ClassVar

from pydantic import AfterValidator, BeforeValidator, Discriminator, StrictStr, Tag

from deckbuilder.neck.newtunings import check_patch, check_pitches, check_tuning_name, new_tuning
from deckbuilder.neck.tuning import TUNINGS, read_pitch
from deckbuilder.neck.tunings import KnownTuning
from deckbuilder.recipe.checks import Count, one_line, passes
from deckbuilder.recipe.table import CheckedTable
from deckbuilder.theory.colours import COLOURS
from deckbuilder.theory.newcolours import OwnColour, check_colour_name, check_degrees


def _words(value: object) -> object:
    """Take a list of words as one text with spaces."""
    return " ".join(value) if isinstance(value, list) and all(isinstance(part, str) for part in value) else value


def _new_tuning_name(value: str) -> str:
    if value:
        check_tuning_name(value)
    return value


def _new_pitches(value: str) -> str:
    pitches = " ".join(map(read_pitch, value.replace(",", " ").split()))
    check_pitches(pitches)
    return pitches


@dataclass(frozen=True)
class CheckedTuning(CheckedTable, KnownTuning):
    """A tuning of the player's own; from here on the recipe may ask for it."""

    PLAIN = KnownTuning
    EXAMPLES: ClassVar = {"name": "my-tuning", "pitches": "C2 G2 D3 G3 B3 D4"}

    name: Annotated[StrictStr, AfterValidator(_new_tuning_name)]
    pitches: Annotated[StrictStr, BeforeValidator(_words), AfterValidator(_new_pitches)]
    frets: Count
    description: Annotated[StrictStr, AfterValidator(lambda value: one_line(value, "a description"))]
    also: Annotated[StrictStr, AfterValidator(_new_tuning_name)]
    patch: Annotated[StrictStr, passes(check_patch)]

    def check(self) -> None:
        """Refuse a neck that cannot be, and add the tuning to the table while the recipe is read."""
        TUNINGS.add_own(self.name, new_tuning(self))


def _degrees(value: object) -> object:
    """Take one text with spaces, or a list of degrees; ♭ and ♯ are understood."""
    parts = value.split() if isinstance(value, str) else value
    if isinstance(parts, list):
        return [part.replace("♭", "b").replace("♯", "#") if isinstance(part, str) else part for part in parts]
    return parts


@dataclass(frozen=True)
class CheckedColour(CheckedTable, OwnColour):
    """A colour of the player's own; from here on the recipe may name it."""

    PLAIN = OwnColour
    EXAMPLES: ClassVar = {"name": "my-colour", "degrees": "1 b9 3 #11 5 13 b7"}

    name: Annotated[StrictStr, passes(check_colour_name)]
    degrees: Annotated[tuple[StrictStr, ...], BeforeValidator(_degrees), passes(check_degrees)]
    label: Annotated[StrictStr, AfterValidator(lambda value: one_line(value, "a label"))]
    gives: Annotated[StrictStr, AfterValidator(lambda value: one_line(value, "what a colour gives"))]

    def check(self) -> None:
        """Add the colour to the table while the recipe is read."""
        COLOURS.add_own(self.name, self.colour)


def _form_of_colour(value: object) -> str:
    return TAGS[isinstance(value, Mapping)]


TAGS = ("<a name>", "<a table>")
"""Forms that an entry of `colours` has; they stand in the places of mistakes, and no field is called so."""

ColourEntry = Annotated[
    Annotated[StrictStr, Tag(TAGS[0])] | Annotated[CheckedColour, Tag(TAGS[1])], Discriminator(_form_of_colour)
]
"""An entry of `colours`: a name, or a colour of one's own."""
