"""The recipe itself: every field with its default, and the outline that follows from it."""

from typing import Annotated, Any

from pydantic import BeforeValidator, ValidationInfo, field_validator, model_validator

from deckbuilder.cards.levels import LEVELS
from deckbuilder.cards.note import Kind
from deckbuilder.cards.outline import DEFAULT_COLOURS, DEFAULT_KINDS, STANDARD_GUITAR, Labels, Order, Outline
from deckbuilder.neck.regions import DEFAULT_REGIONS, MOST_REGIONS
from deckbuilder.recipe.changes import ChangesTable, told_apart
from deckbuilder.recipe.checks import SELECTION, Table, choice, deck_word, list_of, listed, shown, unbroken
from deckbuilder.recipe.tables import LEFT, InstrumentTable, Sound
from deckbuilder.theory.colours import COLOURS
from deckbuilder.theory.keys import DEFAULT_KEYS, Key

DEFAULT_TITLE = "The whole neck"


class Recipe(Table):
    """What to build."""

    title: str = DEFAULT_TITLE
    instrument: InstrumentTable = InstrumentTable()
    keys: Annotated[tuple[str, ...], SELECTION] = DEFAULT_KEYS
    regions: Annotated[tuple[int, ...], SELECTION] = tuple(range(1, DEFAULT_REGIONS + 1))
    changes: Annotated[tuple[ChangesTable, ...], BeforeValidator(list_of)] = ()
    levels: Annotated[tuple[int, ...], BeforeValidator(list_of)] = tuple(LEVELS)
    colours: Annotated[tuple[str, ...], SELECTION] = DEFAULT_COLOURS
    kinds: Annotated[tuple[str, ...], SELECTION] = tuple(kind.value for kind in DEFAULT_KINDS)
    order: str = Order.KEY_FIRST.value
    labels: str = Labels.DEGREES.value
    seed: int = 1
    sound: Sound = Sound()

    @model_validator(mode="before")
    @classmethod
    def _every_region(cls, fields: Any) -> Any:
        """Select every region of a neck that is divided otherwise, where none is named."""
        if not isinstance(fields, dict) or "regions" in fields or not isinstance(fields.get("instrument"), dict):
            return fields
        count = fields["instrument"].get("regions")
        # Another count is refused with the instrument.
        usable = type(count) is int and 0 < count <= MOST_REGIONS
        return {**fields, "regions": list(range(1, count + 1))} if usable else fields

    @field_validator("title")
    @classmethod
    def _plain_title(cls, value: str) -> str:
        return deck_word(value, "a title")

    @field_validator("keys")
    @classmethod
    def _known_keys(cls, values: tuple[str, ...]) -> tuple[str, ...]:
        names = tuple(Key.parse(value).name for value in values)
        unbroken(names)
        return names

    @field_validator("regions")
    @classmethod
    def _existing_regions(cls, values: tuple[int, ...], info: ValidationInfo) -> tuple[int, ...]:
        # How many there are is not known where the instrument has a mistake.
        if "instrument" in info.data:
            count = info.data["instrument"].regions
            for value in values:
                if not 1 <= value <= count:
                    raise ValueError(f"there is no region {shown(value)}: a key has regions 1 to {count}")
        return tuple(sorted(values))

    @field_validator("levels")
    @classmethod
    def _existing_levels(cls, values: tuple[int, ...], info: ValidationInfo) -> tuple[int, ...]:
        if values or not info.data.get("changes", True):
            unbroken(values)  # only changes of one's own leave no level to be named
        for value in values:
            if value not in LEVELS:
                raise ValueError(f"there is no level {shown(value)}: levels are {listed(LEVELS)}")
        return tuple(sorted(values))

    @field_validator("changes")
    @classmethod
    def _different_changes(cls, values: tuple[ChangesTable, ...]) -> tuple[ChangesTable, ...]:
        told_apart([value.name for value in values], "two changes")
        return values

    @field_validator("colours")
    @classmethod
    def _known_colours(cls, values: tuple[str, ...]) -> tuple[str, ...]:
        for value in values:
            choice(value, list(COLOURS))
        return values

    @field_validator("kinds")
    @classmethod
    def _known_kinds(cls, values: tuple[str, ...]) -> tuple[str, ...]:
        for value in values:
            choice(value, [kind.value for kind in Kind])
        return values

    @field_validator("order")
    @classmethod
    def _known_order(cls, value: str) -> str:
        return choice(value, [order.value for order in Order])

    @field_validator("labels")
    @classmethod
    def _known_labels(cls, value: str) -> str:
        return choice(value, [labels.value for labels in Labels])

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
            colours=self.colours,
            forms=tuple(changes.form() for changes in self.changes),
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
            seed=self.seed,
        )
