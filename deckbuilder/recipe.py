"""Recipe: what to build, read from TOML and checked.

Every field has a default, and the defaults together are the whole standard-guitar deck. A mistake is told with file,
key, value and remedy.
"""

import difflib
import tomllib
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Annotated, Any

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    ValidationError,
    ValidationInfo,
    field_validator,
    model_validator,
)

from deckbuilder.cards.levels import LEVELS
from deckbuilder.cards.note import Kind
from deckbuilder.cards.outline import DEFAULT_KINDS, STANDARD_GUITAR, Labels, Order, Outline
from deckbuilder.neck.instrument import Instrument
from deckbuilder.neck.regions import DEFAULT_REGIONS, MOST_REGIONS, OCTAVE
from deckbuilder.neck.tuning import NeckError, parse_tuning
from deckbuilder.sound.arrangement import DEFAULT_TEMPO, DIRECTIONS, check_a4, check_tempo
from deckbuilder.sound.loops import LOOP_TEMPO
from deckbuilder.theory.keys import DEFAULT_KEYS, Key

DEFAULT_NAME = "the default recipe"
"""What errors call the recipe when no file is named."""
DEFAULT_TITLE = "The whole neck"
HANDS = (RIGHT, LEFT) = ("right", "left")
"""Which hand plucks."""

_DESCRIBED = {
    "extra_forbidden": "there is no such field",
    "int_type": "this has to be a whole number",
    "int_from_float": "this has to be a whole number",
    "bool_type": "this has to be true or false",
    "float_type": "this has to be a number",
    "string_type": "this has to be a text in quotes",
    "tuple_type": "this has to be a list in square brackets",
    "model_type": "this has to be a table of its own",
    "model_attributes_type": "this has to be a table of its own",
}


class RecipeError(ValueError):
    """A recipe that cannot be built; each line names file, key, value and remedy."""


def _unbroken(values: object) -> object:
    """Refuse repeated and empty lists before their members are looked at."""
    if isinstance(values, list | tuple):
        if not values:
            raise ValueError("nothing is selected; name at least one")
        doubled = [value for number, value in enumerate(values) if value in values[:number]]
        if doubled:
            raise ValueError(f"{doubled[0]!r} is there twice; name each once")
    return values


def _list_of(values: object) -> object:
    return tuple(values) if isinstance(values, list) else values


_Selection = BeforeValidator(lambda values: _list_of(_unbroken(values)))


class _Table(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)


def _pitches(value: object) -> object:
    """Take a list of pitches as what the command line takes: `D2,A2,D3,G3,A3,D4`."""
    return ",".join(value) if isinstance(value, list) and all(isinstance(part, str) for part in value) else value


class InstrumentTable(_Table):
    """The player's instrument; a field is checked against those above it."""

    tuning: Annotated[str, BeforeValidator(_pitches)] = STANDARD_GUITAR.tuning.name
    frets: int = STANDARD_GUITAR.frets
    capo: int = STANDARD_GUITAR.capo
    regions: int = DEFAULT_REGIONS
    hand: str = RIGHT

    @model_validator(mode="before")
    @classmethod
    def _usual_frets(cls, fields: Any) -> Any:
        """Give an instrument whose frets are not told as many as it usually has."""
        if not isinstance(fields, dict) or "frets" in fields or "tuning" not in fields:
            return fields
        try:
            return {**fields, "frets": parse_tuning(str(_pitches(fields["tuning"]))).usual_frets}
        except NeckError:
            return fields

    @field_validator("tuning")
    @classmethod
    def _known_tuning(cls, value: str) -> str:
        parse_tuning(value)
        return value

    @field_validator("frets")
    @classmethod
    def _enough_frets(cls, value: int, info: ValidationInfo) -> int:
        if "tuning" in info.data:
            Instrument(parse_tuning(info.data["tuning"]), value)
        return value

    @field_validator("capo")
    @classmethod
    def _room_above_the_capo(cls, value: int, info: ValidationInfo) -> int:
        if {"tuning", "frets"} <= info.data.keys():
            Instrument(parse_tuning(info.data["tuning"]), info.data["frets"], value)
        return value

    @field_validator("regions")
    @classmethod
    def _regions_that_cover(cls, value: int, info: ValidationInfo) -> int:
        if {"tuning", "frets", "capo"} <= info.data.keys():
            instrument = Instrument(parse_tuning(info.data["tuning"]), info.data["frets"], info.data["capo"])
            for tonic in range(OCTAVE):
                instrument.regions(tonic, value)
        return value

    @field_validator("hand")
    @classmethod
    def _known_hand(cls, value: str) -> str:
        return _choice(value, HANDS)

    @property
    def instrument(self) -> Instrument:
        """The tuned neck."""
        return Instrument(parse_tuning(self.tuning), self.frets, self.capo)


class Sound(_Table):
    """How clips are played."""

    a4: Annotated[float, Field(strict=False)] = 440.0
    tempo: Annotated[float, Field(strict=False)] = DEFAULT_TEMPO
    loop_tempo: Annotated[float, Field(strict=False)] = LOOP_TEMPO
    chord: bool = True
    direction: str = DIRECTIONS[0]
    count_in: bool = True

    @field_validator("a4")
    @classmethod
    def _playable_a4(cls, value: float) -> float:
        check_a4(value)
        return value

    @field_validator("tempo", "loop_tempo")
    @classmethod
    def _playable_tempo(cls, value: float) -> float:
        check_tempo(value)
        return value

    @field_validator("direction")
    @classmethod
    def _known_direction(cls, value: str) -> str:
        return _choice(value, DIRECTIONS)


class Recipe(_Table):
    """What to build."""

    title: str = DEFAULT_TITLE
    instrument: InstrumentTable = InstrumentTable()
    keys: Annotated[tuple[str, ...], _Selection] = DEFAULT_KEYS
    regions: Annotated[tuple[int, ...], _Selection] = tuple(range(1, DEFAULT_REGIONS + 1))
    levels: Annotated[tuple[int, ...], _Selection] = tuple(LEVELS)
    kinds: Annotated[tuple[str, ...], _Selection] = tuple(kind.value for kind in DEFAULT_KINDS)
    order: str = Order.KEY_FIRST.value
    labels: str = Labels.DEGREES.value
    sound: Sound = Sound()

    @model_validator(mode="before")
    @classmethod
    def _every_region(cls, fields: Any) -> Any:
        """Select every region of a neck that is divided otherwise, where none is named."""
        if not isinstance(fields, dict) or "regions" in fields or not isinstance(fields.get("instrument"), dict):
            return fields
        count = fields["instrument"].get("regions")
        return {**fields, "regions": list(range(1, count + 1))} if type(count) is int and count > 0 else fields

    @field_validator("title")
    @classmethod
    def _plain_title(cls, value: str) -> str:
        if not value.strip() or "::" in value or not value.isprintable():
            raise ValueError("a title is one line of text without '::', which divides decks from subdecks")
        return value.strip()

    @field_validator("keys")
    @classmethod
    def _known_keys(cls, values: tuple[str, ...]) -> tuple[str, ...]:
        names = tuple(Key.parse(value).name for value in values)
        _unbroken(names)
        return names

    @field_validator("regions")
    @classmethod
    def _existing_regions(cls, values: tuple[int, ...], info: ValidationInfo) -> tuple[int, ...]:
        instrument = info.data.get("instrument")
        count = instrument.regions if instrument else MOST_REGIONS
        for value in values:
            if not 1 <= value <= count:
                raise ValueError(f"there is no region {value}: a key has regions 1 to {count}")
        return tuple(sorted(values))

    @field_validator("levels")
    @classmethod
    def _existing_levels(cls, values: tuple[int, ...]) -> tuple[int, ...]:
        for value in values:
            if value not in LEVELS:
                raise ValueError(f"there is no level {value}: levels are {_listed(LEVELS)}")
        return tuple(sorted(values))

    @field_validator("kinds")
    @classmethod
    def _known_kinds(cls, values: tuple[str, ...]) -> tuple[str, ...]:
        for value in values:
            _choice(value, [kind.value for kind in Kind])
        return values

    @field_validator("order")
    @classmethod
    def _known_order(cls, value: str) -> str:
        return _choice(value, [order.value for order in Order])

    @field_validator("labels")
    @classmethod
    def _known_labels(cls, value: str) -> str:
        return _choice(value, [labels.value for labels in Labels])

    @property
    def deck_title(self) -> str:
        """The title, with the tuning where it is not the standard one, so that two tunings make two decks."""
        instrument = self.instrument.instrument
        added = [instrument.tuning.name] if instrument.tuning != STANDARD_GUITAR.tuning else []
        added += [f"capo {instrument.capo}"] if instrument.capo else []
        return f"{self.title} ({', '.join(added)})" if added else self.title

    def outline(self) -> Outline:
        """Return what the syllabus is asked to hold."""
        return Outline(
            keys=self.keys,
            regions=self.regions,
            levels=self.levels,
            kinds=tuple(Kind(kind) for kind in self.kinds),
            order=Order(self.order),
            labels=Labels(self.labels),
            region_count=self.instrument.regions,
            instrument=self.instrument.instrument,
            left_handed=self.instrument.hand == LEFT,
            a4=self.sound.a4,
            tempo=self.sound.tempo,
            loop_tempo=self.sound.loop_tempo,
            chord_on=self.sound.chord,
            direction=self.sound.direction,
            count_in=self.sound.count_in,
        )


def read_recipe(path: Path | None, overrides: Mapping[str, object] | None = None) -> Recipe:
    """Read a recipe.

    Args:
        path: a TOML file; None for the default recipe.
        overrides: fields that take the place of the file's.

    Raises:
        RecipeError: the file is missing, is not TOML, or asks for something that is not there.
    """
    name = str(path) if path else DEFAULT_NAME
    fields = _toml(path) if path else {}
    return parse_recipe(_overridden(fields, overrides or {}), name)


def parse_recipe(fields: Mapping[str, object], name: str) -> Recipe:
    """Check a recipe's fields.

    Args:
        fields: the fields as TOML gives them.
        name: what errors call the recipe.

    Raises:
        RecipeError: a field is unknown or has no sense; all mistakes are told at once.
    """
    try:
        return Recipe.model_validate(fields)
    except ValidationError as error:
        raise RecipeError("\n".join(_told(name, dict(details)) for details in error.errors())) from None


def _overridden(fields: Mapping[str, object], overrides: Mapping[str, object]) -> dict[str, object]:
    """Put overrides in the place of fields, table by table."""
    merged = dict(fields)
    for name, value in overrides.items():
        table = merged.get(name)
        merged[name] = _overridden(table, value) if isinstance(table, dict) and isinstance(value, Mapping) else value
    return merged


def _toml(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        raise RecipeError(f"{path}: there is no such file; name a recipe, or none for the default deck") from None
    except OSError as error:
        raise RecipeError(f"{path}: the recipe cannot be read ({error.strerror})") from None
    except UnicodeDecodeError:
        raise RecipeError(f"{path}: this is not a text file; a recipe is TOML in UTF-8") from None
    except tomllib.TOMLDecodeError as error:
        raise RecipeError(f"{path}: this is not TOML: {error}") from None


def _told(name: str, details: Mapping[str, Any]) -> str:
    """Tell one mistake: file, key, value, remedy."""
    location: Sequence[int | str] = details["loc"]
    key = ".".join(str(part) for part in location if isinstance(part, str)) or "recipe"
    if details["type"] == "extra_forbidden":
        return f"{name}: {key}: there is no such field{_nearest(str(location[-1]), _fields_beside(location))}"
    value = details["input"]
    described = _DESCRIBED.get(details["type"]) or details["msg"].removeprefix("Value error, ")
    return f"{name}: {key} = {_shown(value)}: {described}"


def _fields_beside(location: Sequence[int | str]) -> list[str]:
    table: type[BaseModel] = Recipe
    for part in location[:-1]:
        annotation = table.model_fields[str(part)].annotation
        if isinstance(annotation, type) and issubclass(annotation, BaseModel):
            table = annotation
    return list(table.model_fields)


def _choice(value: str, known: Sequence[str]) -> str:
    if value not in known:
        raise ValueError(f"{value!r} is not one of them{_nearest(value, known)}")
    return value


def _nearest(value: str, known: Sequence[str]) -> str:
    close = difflib.get_close_matches(value, known, n=1, cutoff=0.5)
    return f"; did you mean {close[0]!r}?" if close else f"; choose from {_listed(known)}"


def _listed(values: Iterable[object]) -> str:
    return ", ".join(str(value) for value in values)


def _shown(value: object) -> str:
    if isinstance(value, list | tuple):
        return f"[{_listed(map(_shown, value))}]"
    return f'"{value}"' if isinstance(value, str) else str(value)
