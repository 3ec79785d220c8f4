"""Validation: the recipe's fields with what each may hold, checked in their order.

A checked table has the fields and the defaults of the one it checks, and says beside each what is asked of it; once
checked it becomes that plain one. A field's check may look at those above it that had no mistake.
"""

from dataclasses import dataclass
from typing import Annotated, ClassVar

from pydantic import (
    AfterValidator,
    BeforeValidator,
    StrictBool,
    StrictInt,
    StrictStr,
    TypeAdapter,
    ValidationInfo,
)

from deckbuilder.cards.facts import AnyKind
from deckbuilder.cards.levels import LEVELS
from deckbuilder.cards.recipe import (
    Breadth,
    Breadths,
    Hand,
    InstrumentChoice,
    Labels,
    Notation,
    Order,
    Recipe,
    Tune,
    TuneSection,
)
from deckbuilder.cards.slug import slug
from deckbuilder.errors import comma_separated
from deckbuilder.neck.instrument import Instrument
from deckbuilder.neck.regions import OCTAVE, check_compass
from deckbuilder.neck.tuning import NeckError, parse_tuning
from deckbuilder.recipe.checks import (
    SELECTION,
    Count,
    check_distinct,
    check_selection,
    cut,
    deck_word,
    known_kind,
    one_line,
    one_of,
    shown,
    suggestion,
)
from deckbuilder.recipe.ownrows import CheckedTuning, ColourEntry
from deckbuilder.recipe.sound import CheckedSound
from deckbuilder.recipe.table import CheckedTable
from deckbuilder.theory.analysis import analyse
from deckbuilder.theory.changes import SectionText, parse_form
from deckbuilder.theory.colours import COLOURS
from deckbuilder.theory.keys import Key
from deckbuilder.theory.newcolours import OwnColour


def _pitches(value: object) -> object:
    """Take a list of pitches as what the command line takes: `D2,A2,D3,G3,A3,D4`."""
    return ",".join(value) if isinstance(value, list) and all(isinstance(part, str) for part in value) else value


def same_tuning(one: object, other: object) -> bool:
    """Tell whether two values of `tuning`, a name or pitches, mean the same open strings."""
    try:
        first, second = (parse_tuning(str(_pitches(value))) for value in (one, other))
    except NeckError:
        return one == other
    return first.open_midi == second.open_midi


def _known_tuning(value: str) -> str:
    check_compass(parse_tuning(value))
    return value


def _enough_frets(value: int, info: ValidationInfo) -> int:
    if "tuning" in info.data:
        Instrument(parse_tuning(info.data["tuning"]), value)
    return value


def _room_above_the_capo(value: int, info: ValidationInfo) -> int:
    if {"tuning", "frets"} <= info.data.keys():
        _ = InstrumentChoice(info.data["tuning"], info.data["frets"], value).neck
    return value


def _regions_that_cover(value: int, info: ValidationInfo) -> int:
    if {"tuning", "frets", "capo"} <= info.data.keys():
        neck = InstrumentChoice(info.data["tuning"], info.data["frets"], info.data["capo"]).neck
        for tonic in range(OCTAVE):
            neck.regions(tonic, value)
    return value


@dataclass(frozen=True)
class CheckedInstrument(CheckedTable, InstrumentChoice):
    """The player's instrument."""

    PLAIN = InstrumentChoice

    tuning: Annotated[StrictStr, BeforeValidator(_pitches), AfterValidator(_known_tuning)]
    frets: Annotated[Count, AfterValidator(_enough_frets)] | None
    capo: Annotated[Count, AfterValidator(_room_above_the_capo)]
    regions: Annotated[Count, AfterValidator(_regions_that_cover)]
    hand: Annotated[Hand, one_of(Hand)]


def _lines(value: object) -> object:
    """Take one text, or a list of them, one line of bars each."""
    return (value,) if isinstance(value, str) else value


def _key_name(value: str) -> str:
    return Key.parse_either(value).name if value else ""


def _section_name(value: str) -> str:
    return one_line(value, "a section's name")


def _readable_section(value: tuple[str, ...], info: ValidationInfo) -> tuple[str, ...]:
    # Whether a text can be read does not depend on the key, so a mistake is told here, beside its bars.
    name = info.data.get("name", "")
    parse_form(cut(name), Key.parse("C"), [SectionText(name, "\n".join(value))])
    return value


@dataclass(frozen=True)
class CheckedSection(CheckedTable, TuneSection):
    """A section of a tune."""

    PLAIN = TuneSection
    EXAMPLES: ClassVar = {"name": "A", "bars": ["| ii7 | V7 | Imaj7 |"]}

    name: Annotated[StrictStr, AfterValidator(_section_name)]
    bars: Annotated[tuple[StrictStr, ...], BeforeValidator(_lines), AfterValidator(_readable_section)]
    key: Annotated[StrictStr, AfterValidator(_key_name)]


def _tune_name(value: str) -> str:
    name = deck_word(value, "a name")
    if not slug(name):
        raise ValueError("a name needs a letter or a digit, by which its cards are told from others")
    return name


def _readable_bars(value: tuple[str, ...], info: ValidationInfo) -> tuple[str, ...]:
    if value and {"name", "key"} <= info.data.keys():
        home = Key.parse_either(info.data["key"])
        analyse(parse_form(cut(info.data["name"]), home, [SectionText("", "\n".join(value))]))
    return value


def _known_sections(value: tuple[str, ...], info: ValidationInfo) -> tuple[str, ...]:
    if "sections" in info.data:
        names = [section.name for section in info.data["sections"]]
        for name in value:
            if name not in names:
                raise ValueError(
                    f"there is no section {name!r}; choose from {comma_separated(names) or 'the sections you name'}"
                )
    return value


@dataclass(frozen=True)
class CheckedTune(CheckedTable, Tune):
    """The changes of a tune."""

    PLAIN = Tune
    EXAMPLES: ClassVar = {"name": "My blues", "key": "F"}

    name: Annotated[StrictStr, AfterValidator(_tune_name)]
    key: Annotated[StrictStr, AfterValidator(lambda value: Key.parse_either(value).name)]
    transpose: StrictBool
    bars: Annotated[tuple[StrictStr, ...], BeforeValidator(_lines), AfterValidator(_readable_bars)]
    sections: tuple[CheckedSection, ...]
    order: Annotated[tuple[StrictStr, ...], AfterValidator(_known_sections)]

    def check(self) -> None:
        """Refuse a tune without bars, with both bars and sections, or whose chords cannot be read."""
        if bool(self.bars) == bool(self.sections):
            raise ValueError(f"{self.name!r} needs either bars or sections, such as bars = ['| ii7 | V7 | Imaj7 |']")
        check_distinct([section.name for section in self.sections], f"two sections of {self.name!r}")
        analyse(self.form)


def _title(value: str) -> str:
    return deck_word(value, "a title")


def _known_keys(values: tuple[str, ...]) -> tuple[str, ...]:
    return check_selection(tuple(Key.parse(value).name for value in values))


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
    tunings: tuple[CheckedTuning, ...]
    colours: Annotated[tuple[ColourEntry, ...], SELECTION, AfterValidator(_known_colours)]
    instrument: CheckedInstrument
    keys: Annotated[tuple[StrictStr, ...], SELECTION, AfterValidator(_known_keys)]
    regions: Annotated[tuple[StrictInt, ...], SELECTION, AfterValidator(_existing_regions)]
    changes: Annotated[tuple[CheckedTune, ...], AfterValidator(_distinct_changes)]
    levels: Annotated[tuple[StrictInt, ...], AfterValidator(_existing_levels)]
    kinds: Annotated[tuple[Annotated[AnyKind, BeforeValidator(known_kind)], ...], SELECTION]
    breadth: CheckedBreadths
    order: Annotated[Order, one_of(Order)]
    labels: Annotated[Labels, one_of(Labels)]
    notation: Annotated[Notation, one_of(Notation)]
    seed: Count
    sound: CheckedSound


CHECKED: TypeAdapter[Recipe] = TypeAdapter(CheckedRecipe)
"""Makes a plain recipe of fields as TOML gives them."""
