"""Validation: the recipe's fields with what each may hold, checked in their order.

A checked table has the fields and the defaults of the one it checks, and says beside each what is asked of it; once
checked it becomes that plain one. A field's check may look at those above it that had no mistake.
"""

from dataclasses import dataclass
from typing import Annotated

from pydantic import AfterValidator, BeforeValidator, StrictInt, StrictStr, TypeAdapter, ValidationInfo

from deckbuilder.cards.choices import Breadth, Breadths, Labels, Notation, Order, StudyBlock
from deckbuilder.cards.facts import AnyKind
from deckbuilder.cards.identity import Axis, is_tag
from deckbuilder.cards.levels import LEVELS
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.tunes import Tune
from deckbuilder.errors import comma_separated
from deckbuilder.recipe.checks import (
    SELECTION,
    Count,
    check_distinct,
    check_selection,
    deck_word,
    known_kind,
    one_of,
    shown,
    suggestion,
)
from deckbuilder.recipe.instrument import CheckedInstrument
from deckbuilder.recipe.ownrows import CheckedTuning, ColourEntry
from deckbuilder.recipe.pictures import CheckedPictures
from deckbuilder.recipe.sound import CheckedSound
from deckbuilder.recipe.table import CheckedTable
from deckbuilder.recipe.tunes import CheckedTune
from deckbuilder.speech import Language, Names
from deckbuilder.theory.colours import COLOURS
from deckbuilder.theory.keys import Key
from deckbuilder.theory.newcolours import OwnColour


def _title(value: str) -> str:
    return deck_word(value, "a title")


def _known_keys(values: tuple[str, ...]) -> tuple[str, ...]:
    return check_selection(tuple(Key.read_major(value).name for value in values))


def _existing_regions(values: tuple[int, ...], info: ValidationInfo) -> tuple[int, ...]:
    # How many there are is not known where the instrument has a mistake.
    if "instrument" in info.data:
        count = info.data["instrument"].regions
        for value in values:
            if not 1 <= value <= count:
                raise ValueError(f"there is no region {shown(value)}: a key has regions 1 to {count}")
    return tuple(sorted(values))


def _distinct_changes(values: tuple[Tune, ...]) -> tuple[Tune, ...]:
    check_distinct([value.name for value in values], "two changes")
    return values


def _existing_levels(values: tuple[int, ...], info: ValidationInfo) -> tuple[int, ...]:
    if values or not info.data.get("changes", True):
        check_selection(values)  # only changes of one's own leave no level to be named
    for value in values:
        if value not in LEVELS:
            raise ValueError(f"there is no level {shown(value)}: levels are {comma_separated(LEVELS)}")
    return tuple(sorted(values))


def _known_colours(values: tuple[str | OwnColour, ...]) -> tuple[str | OwnColour, ...]:
    for value in values:
        if isinstance(value, str) and value not in COLOURS:
            raise ValueError(f"{value!r} is not one of them{suggestion(value, list(COLOURS))}")
    return values


def _known_tags(values: tuple[str, ...]) -> tuple[str, ...]:
    for value in values:
        if not is_tag(value):
            raise ValueError(f"{value!r} is no tag; write axis::value as in source::third; axes are {_AXES}")
    return values


_AXES = comma_separated(axis.value for axis in Axis)
_MOST_NEW = 9999
"""New cards a day that an app takes."""


def _daily(value: int) -> int:
    if not 1 <= value <= _MOST_NEW:
        raise ValueError(f"an app takes 1 to {_MOST_NEW:,} new cards a day; write one of these, or leave it out")
    return value


Keys = Annotated[tuple[StrictStr, ...], SELECTION, AfterValidator(_known_keys)]
Regions = Annotated[tuple[StrictInt, ...], SELECTION, AfterValidator(_existing_regions)]
Kinds = Annotated[tuple[Annotated[AnyKind, BeforeValidator(known_kind)], ...], SELECTION]


@dataclass(frozen=True)
class CheckedBlock(CheckedTable, StudyBlock):
    """A block of what is studied; its regions are those of the instrument, looked at with the recipe."""

    PLAIN = StudyBlock

    keys: Keys
    regions: Regions
    levels: Annotated[tuple[StrictInt, ...], SELECTION, AfterValidator(_existing_levels)]
    kinds: Kinds


def _studied(values: tuple[StudyBlock, ...], info: ValidationInfo) -> tuple[StudyBlock, ...]:
    for number, value in enumerate(values, start=1):
        if not value.levels and "levels" in info.data and not info.data["levels"]:
            raise ValueError(f"block {number} has no levels, nor has the recipe; write levels = [1]")
        try:
            _existing_regions(value.regions, info)
        except ValueError as error:
            raise ValueError(f"block {number}: {error}") from None
    return values


@dataclass(frozen=True)
class CheckedBreadths(CheckedTable, Breadths):
    """In how many places the kinds ask."""

    PLAIN = Breadths

    locate: Annotated[Breadth, one_of(Breadth)]
    identify: Annotated[Breadth, one_of(Breadth)]
    hear: Annotated[Breadth, one_of(Breadth)]
    connect: Annotated[Breadth, one_of(Breadth)]
    improvise: Annotated[Breadth, one_of(Breadth)]


@dataclass(frozen=True)
class CheckedRecipe(CheckedTable, Recipe):
    """What to build."""

    PLAIN = Recipe

    title: Annotated[StrictStr, AfterValidator(_title)]
    language: Annotated[Language, one_of(Language)]
    names: Annotated[Names, one_of(Names)]
    tunings: tuple[CheckedTuning, ...]
    colours: Annotated[tuple[ColourEntry, ...], SELECTION, AfterValidator(_known_colours)]
    instrument: CheckedInstrument
    keys: Keys
    regions: Regions
    changes: Annotated[tuple[CheckedTune, ...], AfterValidator(_distinct_changes)]
    levels: Annotated[tuple[StrictInt, ...], AfterValidator(_existing_levels)]
    kinds: Kinds
    study: Annotated[tuple[CheckedBlock, ...], AfterValidator(_studied)]
    breadth: CheckedBreadths
    order: Annotated[Order, one_of(Order)]
    labels: Annotated[Labels, one_of(Labels)]
    notation: Annotated[Notation, one_of(Notation)]
    picture: CheckedPictures
    tags: Annotated[tuple[StrictStr, ...], AfterValidator(_known_tags)]
    seed: Count
    sound: CheckedSound
    new_limit: Annotated[Count, AfterValidator(_daily)] | None


CHECKED: TypeAdapter[Recipe] = TypeAdapter(CheckedRecipe)
"""Makes a plain recipe of fields as TOML gives them."""
