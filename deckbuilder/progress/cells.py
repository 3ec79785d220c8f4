"""Cells: the groups of cards that progress is measured by, and their names as a player says them."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from deckbuilder.cards.labels import label_of
from deckbuilder.cards.levels import LEVELS
from deckbuilder.neck.instrument import Instrument
from deckbuilder.neck.regions import MOST_REGIONS
from deckbuilder.progress.records import Card, History
from deckbuilder.progress.study import Across
from deckbuilder.speech import _, marked, translate
from deckbuilder.theory.colours import COLOURS, colour_label
from deckbuilder.theory.keys import KEY_NAMES, MINOR_KEY_NAMES, Key, key_label
from deckbuilder.theory.steps import roman_label

FLAT_KEYS = ("F", "Bb", "Eb", "Ab", "Db", "Gb", "Cb")
SHARP_KEYS = ("G", "D", "A", "E", "B", "F#", "C#")
_KEYS = (*KEY_NAMES, *(f"{name}m" for name in MINOR_KEY_NAMES))
"""Keys, as tags have them; level 4 is in minor ones."""
_LEVELS = frozenset(map(str, LEVELS))
REGIONS = frozenset(map(str, range(1, MOST_REGIONS + 1)))
"""Numbers of regions, as tags have them."""


NECK = 0
"""Stands for a region where something is asked of no place on the neck, as spelling is."""


class Cell(NamedTuple):
    """One place of study: a level, an ASCII key and a region's number, or `NECK`."""

    level: int
    key: str
    region: int


def cell_of(card: Card) -> Cell | None:
    """Return a card's cell; None for a card that has no place on the neck, or one that no deck has."""
    level, key, region = (card.axes.get(axis, "") for axis in ("level", "key", "region"))
    if key in _KEYS and level in _LEVELS and region in REGIONS:
        return Cell(int(level), key, int(region))
    return None


def ground_of(card: Card) -> Cell | None:
    """Return where a card is practised: its cell, or its level and key where it has no place on the neck."""
    level, key = card.axes.get("level", ""), card.axes.get("key", "")
    if "region" not in card.axes and key in _KEYS and level in _LEVELS:
        return Cell(int(level), key, NECK)
    return cell_of(card)


def any_tag(axis: str, values: Iterable[object]) -> str:
    """Return a search for cards whose tag on an axis has one of some values: `(tag:key::F or tag:key::C)`."""
    tags = [f"tag:{axis}::{value}" for value in values]
    return tags[0] if len(tags) == 1 else f"({' or '.join(tags)})"


def chord_of(card: Card) -> str | None:
    """Name a card's chord by its place in the key: `V altered`, `ii`; None for a card about no chord."""
    names = {"function": roman_label, "colour": colour_name}
    return " ".join(name(card.axes[axis]) for axis, name in names.items() if axis in card.axes) or None


def colour_name(colour: str) -> str:
    """Name a colour for people; a tag of another's stays as it is."""
    return colour_label(colour) if colour in COLOURS else colour


@dataclass(frozen=True, slots=True)
class Axis:
    """One way to divide all cards.

    Args:
        title: what the table is called, a message that is said with `translate`.
        group_of: a card's group.
        name: a group's name for people.
        across: whose strata are taken together where its groups are compared: a chord belongs to its level.
    """

    title: str
    group_of: Callable[[Card], str | None]
    name: Callable[[str], str] = str
    across: Across = Across.NOTHING


def _by(axis: str) -> Callable[[Card], str | None]:
    return lambda card: card.axes.get(axis)


def source_name(source: str) -> str:
    """Name where an arpeggio starts; a tag of another's stays as it is."""
    return {"root": _("from the root"), "third": _("from the third")}.get(source, source)


def arpeggios_name(source: str) -> str:
    """Name the arpeggios that start there, where nothing else is said of them."""
    return {"root": _("arpeggios from the root"), "third": _("arpeggios from the third")}.get(source, source)


def level_name(level: int | str) -> str:
    """Name a level with its title: `level 2, the altered dominant`."""
    number = int(level) if str(level).isdecimal() else 0
    title = LEVELS[number].title if number in LEVELS else ""
    if not title:
        return _("level {number}", number=level)
    said = translate(title)
    return _("level {number}, {title}", number=level, title=said[:1].lower() + said[1:])


LEVEL = Axis(marked("Level"), _by("level"), level_name, Across.LEVELS)
KEY = Axis(marked("Key"), _by("key"), key_label)
REGION = Axis(marked("Region"), _by("region"), lambda region: _("region {number}", number=region))
SOURCE = Axis(marked("Source"), _by("source"), source_name)

AXES = (
    LEVEL,
    KEY,
    REGION,
    Axis(marked("Function"), _by("function"), roman_label, Across.LEVELS),
    Axis(marked("Colour"), _by("colour"), colour_name, Across.LEVELS),
    SOURCE,
    Axis(marked("Fact"), _by("fact"), label_of),
    Axis(marked("Kind"), lambda card: card.kind, label_of, Across.KINDS),
)
"""Every way to divide the cards, each with a table of its own."""


def cell_name(history: History, cell: Cell) -> str:
    """Name a cell as a player does: `G♭ · region 3 (VI) · level 2, the altered dominant`.

    Args:
        history: whose instrument it is on.
        cell: the cell.
    """
    position = position_of(history.instrument, history.region_count, cell.key, cell.region)
    if cell.region == NECK:
        place = _("whole neck")
    elif position == "open":
        place = _("region {number} (open)", number=cell.region)
    elif position:
        place = _("region {number} ({position})", number=cell.region, position=position)
    else:
        place = _("region {number}", number=cell.region)
    return f"{key_label(cell.key)} · {place} · {level_name(cell.level)}"


@lru_cache(maxsize=512)
def position_of(instrument: str, region_count: int, key: str, region: int) -> str:
    """Return a region's position number, or nothing where the instrument is not understood.

    Args:
        instrument: id of the instrument.
        region_count: how many regions the neck is divided into.
        key: ASCII name of the key.
        region: the region's number.
    """
    try:
        tonic = Key.parse_either(key).relative_major.tonic
        found = Instrument.of_id(instrument).regions(tonic.pitch_class, region_count)
    except (ValueError, ArithmeticError):
        return ""
    return next((place.position for place in found if place.number == region), "")


def keys_in_order(found: Iterable[str]) -> tuple[str, ...]:
    """Return some keys, each once, in the order in which players practise them."""
    return tuple(sorted(set(found), key=_KEYS.index))
