"""Tables of a recipe: the instrument and the sound."""

from typing import Annotated, Any

from pydantic import BeforeValidator, ValidationInfo, field_validator, model_validator

from deckbuilder.cards.outline import STANDARD_GUITAR
from deckbuilder.neck.instrument import Instrument
from deckbuilder.neck.regions import DEFAULT_REGIONS, OCTAVE, check_compass
from deckbuilder.neck.tuning import NeckError, parse_tuning
from deckbuilder.recipe.checks import Count, Table, choice
from deckbuilder.sound.arrangement import DEFAULT_TEMPO, DIRECTIONS, check_a4, check_tempo
from deckbuilder.sound.loops import LOOP_TEMPO

HANDS = (RIGHT, LEFT) = ("right", "left")
"""Which hand plucks."""


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


class InstrumentTable(Table):
    """The player's instrument; a field is checked against those above it."""

    tuning: Annotated[str, BeforeValidator(_pitches)] = STANDARD_GUITAR.tuning.name
    frets: Count = STANDARD_GUITAR.frets
    capo: Count = STANDARD_GUITAR.capo
    regions: Count = DEFAULT_REGIONS
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
        check_compass(parse_tuning(value))
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
        return choice(value, HANDS)

    @property
    def instrument(self) -> Instrument:
        """The tuned neck."""
        return Instrument(parse_tuning(self.tuning), self.frets, self.capo)


class Sound(Table):
    """How clips are played."""

    a4: float = 440.0
    tempo: float = DEFAULT_TEMPO
    loop_tempo: float = LOOP_TEMPO
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
        return choice(value, DIRECTIONS)
