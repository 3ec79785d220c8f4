"""Inversions against mingus, which turns chords round by itself."""

import pytest
from mingus.core import chords as mingus_chords
from mingus.core.notes import note_to_int

from deckbuilder.cards.facts import Kind
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.syllabus import syllabus
from deckbuilder.theory.keys import DEFAULT_KEYS

TURNED = (
    list,
    mingus_chords.first_inversion,
    mingus_chords.second_inversion,
    mingus_chords.third_inversion,
)
CHORDS = {"ii": mingus_chords.ii7, "V": mingus_chords.V7, "I": mingus_chords.I7}


@pytest.fixture(scope="module")
def notes() -> tuple[Note, ...]:
    return syllabus(Recipe(kinds=(Kind.CROSS,), levels=(1,)))


@pytest.mark.parametrize("key", DEFAULT_KEYS)
def test_tones_follow_each_other_as_in_the_inversions_of_mingus(key: str, notes: tuple[Note, ...]) -> None:
    own = [note for note in notes if note.identity.key == key and note.identity.source == "root"]
    assert len(own) == len(CHORDS)
    for note in own:
        chord = CHORDS[note.identity.function or ""](key)
        theirs = {tuple(note_to_int(name) for name in turn(chord)) for turn in TURNED}
        classes = [midi % 12 for midi in note.music.midi]
        assert {tuple(classes[first : first + 4]) for first in range(0, 16, 4)} == theirs
