"""Identity: what a note is about, and the one place where ids and tags are written and read.

An id names the instrument by the pitches of its open strings (and the capo), then fact, key, region of how many,
function, colour, scale, source and item, as far as they apply. It holds nothing of wording, picture, sound or level. A
tag says one axis, `key::F`. Both are ASCII.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from enum import StrEnum

from deckbuilder.cards.facts import AnyFact, AnyKind, Kind
from deckbuilder.cards.levels import LEVELS
from deckbuilder.cards.slug import slug
from deckbuilder.neck.instrument import Instrument

_REGION_COUNT = re.compile(r"/region-[0-9]{1,2}-of-([0-9]{1,2})(?:/|$)")
_VALUE = re.compile(r"[A-Za-z0-9#_+.,-]{1,40}")
"""What a tag may say; anything else did not come from this program and is not repeated."""
_DIVIDER = "::"


class Axis(StrEnum):
    """What tags say of a note, in their order."""

    LEVEL = "level"
    KEY = "key"
    REGION = "region"
    FUNCTION = "function"
    COLOUR = "colour"
    SCALE = "scale"
    SOURCE = "source"
    FACT = "fact"
    TUNING = "tuning"
    INSTRUMENT = "instrument"
    """`needed` where the card is for player and instrument."""
    CHANGES = "changes"
    ROUND = "round"
    """The check-up that it belongs to."""


@dataclass(frozen=True, slots=True)
class Identity:
    """What a note is about.

    Args:
        instrument: the tuned neck.
        fact: the kind of fact.
        key: ASCII name of the key.
        region: region number; None for a fact about no place.
        region_count: how many regions the neck is divided into.
        function: the chord's function; None for the key's own scale.
        colour: a dominant's colour; None for other chords.
        source: where the arpeggio starts; None for a scale.
        item: what else the fact is about, ASCII: a degree, changes; None where the axes above say it all.
        scale: the scale that the chord draws on, ASCII; None where it follows from key, function and colour.
    """

    instrument: Instrument
    fact: AnyFact
    key: str
    region: int | None
    region_count: int
    function: str | None
    colour: str | None
    source: str | None
    item: str | None = None
    scale: str | None = None
    id: str = field(init=False, compare=False, repr=False)
    """The note's lasting name, ASCII."""

    def __post_init__(self) -> None:
        region = f"region-{self.region}-of-{self.region_count}" if self.region else None
        chord = (self.function, self.colour, self.scale, self.source)
        parts = (self.instrument.id, self.fact, self.key, region, *chord, self.item)
        object.__setattr__(self, "id", "/".join(str(part) for part in parts if part is not None))


def tags_of(
    identity: Identity, level: int, round_number: int | None, kinds: Iterable[AnyKind], changes: Iterable[str]
) -> tuple[str, ...]:
    """Return a note's tags, one an axis that applies, and one for each of its changes.

    Args:
        identity: what the note is about.
        level: its level.
        round_number: its round's.
        kinds: the ways in which it is asked.
        changes: names of the recipe's own changes that have it.
    """
    values: dict[Axis, object] = {
        Axis.LEVEL: level if level in LEVELS else None,
        Axis.KEY: identity.key,
        Axis.REGION: identity.region,
        Axis.FUNCTION: identity.function,
        Axis.COLOUR: identity.colour,
        Axis.SCALE: identity.scale,
        Axis.SOURCE: identity.source,
        Axis.FACT: identity.fact,
        Axis.TUNING: identity.instrument.name,
        Axis.INSTRUMENT: "needed" if Kind.IMPROVISE in kinds else None,
        Axis.ROUND: round_number,
    }
    own = (tag(Axis.CHANGES, slug(name)) for name in changes)
    return (*(tag(axis, value) for axis, value in values.items() if value is not None), *own)


def tag(axis: Axis, value: object) -> str:
    """Write a tag: `key::F`."""
    return f"{axis}{_DIVIDER}{value}"


def read_tags(tags: Iterable[str]) -> dict[str, str]:
    """Read what tags say, the first of each axis; tags of others are passed over.

    Args:
        tags: tags as an app stores them.
    """
    known = {axis.value for axis in Axis}
    found: dict[str, str] = {}
    for text in tags:
        axis, divider, value = text.partition(_DIVIDER)
        if divider and axis in known and is_plain(value):
            found.setdefault(axis, value)
    return found


def bears(tags: Iterable[str], wanted: Iterable[str]) -> bool:
    """Tell whether tags hold, of every axis that some wanted ones name, one of those.

    Args:
        tags: a note's.
        wanted: tags, several of an axis for either.
    """
    by_axis: dict[str, set[str]] = {}
    for one in wanted:
        by_axis.setdefault(axis_of(one), set()).add(one)
    return all(not values.isdisjoint(tags) for values in by_axis.values())


def axis_of(text: str) -> str:
    """Return the axis that a tag names."""
    return text.partition(_DIVIDER)[0]


def is_tag(text: str) -> bool:
    """Tell whether a text is a tag that some note may bear."""
    axis, divider, value = text.partition(_DIVIDER)
    return bool(divider) and axis in {known.value for known in Axis} and is_plain(value)


def is_plain(value: str) -> bool:
    """Tell whether a value may have been written by this program, and may be repeated."""
    return bool(_VALUE.fullmatch(value))


def instrument_in(note_id: str) -> str:
    """Read the instrument's id from a note's."""
    return note_id.partition("/")[0]


def region_count_in(note_id: str) -> int:
    """Read from a note's id how many regions its neck is divided into; 0 for a note about no place."""
    found = _REGION_COUNT.search(note_id)
    return int(found[1]) if found else 0
