"""Parts: which decks the shelf has, as selections from the whole deck."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from deckbuilder.cards.laps import lap_names
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.slug import slug
from deckbuilder.theory.keys import Key

START_KEY, START_REGIONS = "F", 2
"""A start is made in one key, in so many of the first regions; in the recipe's first key where it has not this one."""


class Shape(StrEnum):
    """By what a part is cut out of the whole; begins the names of its files."""

    START = "start"
    WHOLE = "whole"
    LAP = "lap"
    KEY = "key"


@dataclass(frozen=True, slots=True)
class Part:
    """One deck of the shelf.

    Args:
        shape: by what it is cut out.
        name: what tells it from others of its shape, for people: `B♭`, `Lap 1 · Region 1`; empty for the whole.
        file: the name of its file, ASCII, without hand and ending.
        notes: its notes, in the order of study.
    """

    shape: Shape
    name: str
    file: str
    notes: tuple[Note, ...]


def parts(recipe: Recipe, notes: Sequence[Note]) -> tuple[Part, ...]:
    """Cut a deck into the decks of the shelf: a start, the whole, one deck a lap, one a key.

    A part that is empty, or has the same notes as one before it, is left out.

    Args:
        recipe: of the whole deck.
        notes: of the whole deck, in the order of study.
    """
    found: dict[tuple[str, ...], Part] = {}
    for shape, name, file, belongs in _cuts(recipe):
        chosen = tuple(filter(belongs, notes))
        if chosen:
            found.setdefault(tuple(note.id for note in chosen), Part(shape, name, file, chosen))
    return tuple(found.values())


def _cuts(recipe: Recipe) -> Iterator[tuple[Shape, str, str, Callable[[Note], bool]]]:
    start = Key.parse(START_KEY if START_KEY in recipe.keys else recipe.keys[0])
    first = recipe.regions[:START_REGIONS]
    near = _in_regions(first)
    in_start = _in_key(start)
    yield Shape.START, start.label, _file(Shape.START, start.name), lambda note: in_start(note) and near(note)
    yield Shape.WHOLE, "", Shape.WHOLE.value, lambda _note: True
    for number, lap in enumerate(lap_names(recipe), start=1):
        yield Shape.LAP, lap, _file(Shape.LAP, str(number)), _in_lap(lap)
    for key in map(Key.parse, recipe.keys):
        yield Shape.KEY, key.label, _file(Shape.KEY, key.name), _in_key(key)


def _file(shape: Shape, name: str) -> str:
    return f"{shape}-{slug(name)}"


def _in_key(key: Key) -> Callable[[Note], bool]:
    """Tell notes of the keys on a tonic, major and minor."""
    return lambda note: Key.parse_either(note.identity.key).tonic.pitch_class == key.tonic.pitch_class


def _in_regions(numbers: Iterable[int]) -> Callable[[Note], bool]:
    """Tell notes of some regions, and of none: a spelling belongs to the key alone."""
    wanted = {None, *numbers}
    return lambda note: note.identity.region in wanted


def _in_lap(lap: str) -> Callable[[Note], bool]:
    return lambda note: note.lap == lap
