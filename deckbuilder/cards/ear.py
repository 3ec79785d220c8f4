"""The ear: every question about sound alone, put into keys and regions by one rule."""

from collections.abc import Callable, Mapping
from typing import Final

from deckbuilder.cards.colour import colour_questions
from deckbuilder.cards.context import Context
from deckbuilder.cards.facts import Kind
from deckbuilder.cards.function import function_questions
from deckbuilder.cards.levels import Level, stages
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.source import source_questions
from deckbuilder.cards.spread import Question, spread
from deckbuilder.cards.target import target_questions
from deckbuilder.theory.keys import Key

EAR: tuple[tuple[int, Callable[[Level], tuple[Question, ...]]], ...] = (
    (0, source_questions),
    (1, target_questions),
    (2, colour_questions),
    (3, function_questions),
)
"""Every type of question, as what gives a level's questions, and where in the round of keys and regions it begins.

Keys and regions are part of ids, so what stands here stays: a further type has the next number.
"""

_A_LEVEL: Final = 4
"""Places in the round from one level's beginnings to the next one's; part of ids as well, whatever is added above."""


def ear_notes(recipe: Recipe) -> Mapping[tuple[str, int], tuple[Note, ...]]:
    """Return the notes for the ear by key and region number, level after level.

    Args:
        recipe: what to hold.
    """
    found: dict[tuple[str, int], list[Note]] = {}
    if Kind.HEAR not in recipe.kinds:
        return {}
    for level in stages(recipe.levels, recipe.colours):
        for start, questions in EAR:
            begins = _A_LEVEL * level.number + start
            asked = spread(questions(level), len(recipe.keys), len(recipe.regions), begins)
            for question, key_number, region_number in asked:
                key, place = Key.parse(recipe.keys[key_number]), recipe.regions[region_number]
                region = recipe.region(key, place)
                note = question(Context(recipe, key, level.number), region)
                found.setdefault((key.name, place), []).append(note)
    return {place: tuple(notes) for place, notes in found.items()}
