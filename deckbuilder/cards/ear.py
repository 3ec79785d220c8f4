"""The ear: every question about sound alone, put into keys and regions by one rule."""

from collections.abc import Iterable, Mapping
from typing import Final

from deckbuilder.cards.cardtypes import CardType
from deckbuilder.cards.context import Context
from deckbuilder.cards.facts import Kind, Slot
from deckbuilder.cards.levels import stages
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.spread import spread
from deckbuilder.medium import Description
from deckbuilder.theory.keys import Key

_FIRST_TYPES: Final = 4
"""Types of question that there were from the first day."""


def begins(number: int, level: int) -> int:
    """Return where in the round of keys and regions a type's questions of a level begin; no two begin at one place.

    Keys and regions are part of ids, so this stays: the first types lie level after level from 0 up; later ones take
    the places below 0, paired with levels by Cantor's way through the grid, so that types and levels may be added.

    Args:
        number: the type's number, from 0.
        level: the level's number, from 0.
    """
    if number < _FIRST_TYPES:
        return _FIRST_TYPES * level + number
    later = number - _FIRST_TYPES
    diagonal = later + level
    return -1 - (diagonal * (diagonal + 1) // 2 + later)


def ear_notes(recipe: Recipe, rows: Iterable[CardType]) -> Mapping[tuple[str, int, str], tuple[Note, ...]]:
    """Return the notes for the ear by key, number of the region and name of the level’s loop.

    Args:
        recipe: what to hold.
        rows: the card types; those that ask the ear are taken.
    """
    found: dict[tuple[str, int, str], list[Note]] = {}
    asked: set[tuple[str, str, Description]] = set()
    if Kind.HEAR not in recipe.kinds:
        return {}
    types = sorted((row for row in rows if row.ear), key=lambda row: row.ear_number)
    for level in stages(recipe.levels, recipe.colour_names):
        for row in types:
            # What the ear is asked of a cadence is asked in major: its sentences tell of ii, V, I and VI.
            questions = row.ear(level) if row.ear and not level.minor else ()
            start = begins(row.ear_number, level.number)
            for question, key_number, region_number in spread(questions, len(recipe.keys), len(recipe.regions), start):
                key, place = Key.parse(recipe.keys[key_number]), recipe.regions[region_number]
                note = question(Context(recipe, key, level.number), recipe.region(key, place))
                # Where a chord is left out, a loop with another colour of it sounds the same.
                sounds = note.words.key, note.words.question, note.media[Slot.CLIP].description
                if sounds not in asked:
                    asked.add(sounds)
                    found.setdefault((key.name, place, level.loop), []).append(note)
    return {place: tuple(notes) for place, notes in found.items()}
