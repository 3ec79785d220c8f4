"""Laps: the road through keys and regions, and what each kind asks along it.

A lap is one region through all keys, or one key through all regions. Apps take new cards subdeck by subdeck, so every
lap is a subdeck of its own, numbered so that they sort; changes of one's own follow the levels, a subdeck a tune. A
recipe of blocks has the laps of each block, one after the other.
"""

import hashlib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from deckbuilder.cards.choices import Breadth, Order
from deckbuilder.cards.facts import AnyKind
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.speech import _
from deckbuilder.theory.keys import Key

_FEW_KEYS = 3
"""Of a block, that its laps name."""
_FOURTH = 5
"""Semitones; multiplied by them, pitch classes count keys along the circle of fourths."""


@dataclass(frozen=True, slots=True)
class Place:
    """A key in a region, on the road.

    Args:
        lap: name of the lap.
        key: the key.
        region: number of the region.
    """

    lap: str
    key: Key
    region: int


def places(recipe: Recipe, keys: Iterable[Key], tune: int | None = None) -> Iterator[Place]:
    """Yield the places of some keys in the order of study.

    Args:
        recipe: what to build.
        keys: the keys.
        tune: number of the own changes that are studied there, from 0; None for the levels.
    """
    laps, chosen = lap_names(recipe), tuple(keys)
    if tune is not None:
        laps = laps[len(laps) - len(recipe.changes) + tune :][:1] * max(len(chosen), len(recipe.regions))
    match recipe.order:
        case Order.KEY_FIRST:
            yield from (
                Place(lap, key, number) for lap, key in zip(laps, chosen, strict=False) for number in recipe.regions
            )
        case Order.REGION_FIRST:
            yield from (
                Place(lap, key, number) for lap, number in zip(laps, recipe.regions, strict=False) for key in chosen
            )


def lap_names(recipe: Recipe) -> tuple[str, ...]:
    """Return the names of a recipe's laps as subdecks, in order, those of its own changes last.

    `Lap 1 · Region 1`, `Lap 2 · Twelve-bar blues`; where there are more than nine, `Lap 01 · Key of C`.

    Args:
        recipe: what to build.
    """
    names = [name for part in recipe.parts for name in (*_places_named(part, recipe), *_tunes_named(part))]
    digits = len(str(len(names)))
    return tuple(
        _("Lap {number} · {name}", number=f"{number:0{digits}}", name=name)
        for number, name in enumerate(names, start=1)
    )


def _places_named(part: Recipe, recipe: Recipe) -> Sequence[str]:
    if not part.levels:
        return ()
    labels = [Key.parse(name).label for name in part.keys]
    if part.order is Order.KEY_FIRST:
        return [_("Key of {key}", key=label) for label in labels]
    if recipe.study and len(labels) <= _FEW_KEYS:
        return [_("Region {number} in {keys}", number=number, keys=", ".join(labels)) for number in part.regions]
    return [_("Region {number}", number=number) for number in part.regions]


def _tunes_named(part: Recipe) -> Sequence[str]:
    return [tune.name for tune in part.changes]


def asked_along(recipe: Recipe, notes: Iterable[Note]) -> Iterator[Note]:
    """Leave each kind to the places in which a recipe has it ask.

    Args:
        recipe: what to build, without blocks.
        notes: notes in the order of study, with their laps.
    """
    first_lap = next(iter(lap_names(recipe)), "")
    for note in notes:
        if note.identity.region is None:
            yield note
        else:
            kinds = tuple(kind for kind in note.kinds if _asks(recipe, first_lap, note, kind))
            yield note if kinds == note.kinds else replace(note, kinds=kinds)


def _asks(recipe: Recipe, first_lap: str, note: Note, kind: AnyKind) -> bool:
    # A question for the ear alone is put into one region already.
    match Breadth.EVERY_REGION if note.words.heard is not None else recipe.breadth.of(kind):
        case Breadth.EVERY_REGION:
            return True
        case Breadth.ONCE_A_KEY:
            return note.identity.region == _one_region(recipe, note)
        case Breadth.FIRST_LAP:
            return note.lap == first_lap or bool(note.changes)


def _one_region(recipe: Recipe, note: Note) -> int:
    """Return the one region in which something is asked in its key: it follows from what is asked alone.

    So a smaller deck asks it in the same region, if it has that one; otherwise in the next that it has.
    """
    identity = note.identity
    about = "/".join(map(str, (identity.fact, identity.function, identity.colour, identity.scale, identity.source)))
    in_fourths = Key.parse_either(identity.key).tonic.pitch_class * _FOURTH % 12
    count = recipe.instrument.regions
    first = int.from_bytes(hashlib.sha256(about.encode()).digest()[:4], "big") + in_fourths
    return min(recipe.regions, key=lambda number: (number - 1 - first) % count)
