"""The table of the instrument in a recipe, checked: a neck that can be, and regions that cover it."""

from dataclasses import dataclass
from typing import Annotated

from pydantic import AfterValidator, BeforeValidator, StrictStr, ValidationInfo

from deckbuilder.cards.choices import Hand, InstrumentChoice
from deckbuilder.neck.instrument import Instrument
from deckbuilder.neck.regions import OCTAVE, check_compass
from deckbuilder.neck.tuning import NeckError, parse_tuning, read_tuning
from deckbuilder.recipe.checks import Count, one_of
from deckbuilder.recipe.table import CheckedTable


def _pitches(value: object) -> object:
    """Take a list of pitches as what the command line takes, in English: `D2,A2,D3,G3,A3,D4`."""
    text = ",".join(value) if isinstance(value, list) and all(isinstance(part, str) for part in value) else value
    return read_tuning(text) if isinstance(text, str) else text


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
    strung: Annotated[Hand | None, one_of(Hand)]
