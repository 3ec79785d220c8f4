"""Shells against mingus' chords and a handbook table.

The table has what every method on comping prints of ii–V–I: guide tones on two strings, of which one goes ♭3–♭7–3 and
the other ♭7–3–7 (from memory).
"""

import pytest
from mingus.core import chords as mingus_chords
from mingus.core.notes import note_to_int

from deckbuilder.cards.facts import Kind
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.syllabus import syllabus
from deckbuilder.theory.keys import DEFAULT_KEYS

FORMS = {("b3", "b7", "3"), ("b7", "3", "7")}
FUNCTIONS = (mingus_chords.ii7, mingus_chords.V7, mingus_chords.I7)


@pytest.fixture(scope="module")
def cadences() -> tuple[Note, ...]:
    return syllabus(Recipe(kinds=(Kind.VOICE,), levels=(1,)))


@pytest.mark.parametrize("key", DEFAULT_KEYS)
def test_guide_tones_are_those_of_the_table_and_of_mingus(key: str, cadences: tuple[Note, ...]) -> None:
    for note in (each for each in cadences if each.identity.key == key):
        lower, upper = note.music.degrees[0::3], note.music.degrees[1::3]
        assert {lower, upper} == FORMS
        for number, function in enumerate(FUNCTIONS):
            _, third, _, seventh = map(note_to_int, function(key))
            held = {midi % 12 for midi in note.music.midi[3 * number : 3 * number + 2]}
            assert held == {third, seventh}
