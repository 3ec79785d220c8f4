"""Reading notes: the question shows the run and nothing that names it."""

from dataclasses import replace

import pytest

from deckbuilder.build import notes_of
from deckbuilder.cards.facts import Fact, Slot
from deckbuilder.cards.note import Note
from deckbuilder.notation.description import Score, Staves
from deckbuilder.recipe import parse_recipe


@pytest.fixture(scope="module")
def notes() -> list[Note]:
    recipe = parse_recipe({"keys": ["Db"], "regions": [5], "levels": [1, 2], "kinds": ["read", "locate"]}, "test")
    return list(notes_of(recipe))


def test_every_arpeggio_is_read_once(notes: list[Note]) -> None:
    read = [replace(note.identity, fact=Fact.ARPEGGIO) for note in notes if note.identity.fact is Fact.READING]
    assert read
    assert read == [note.identity for note in notes if note.identity.fact is Fact.ARPEGGIO]


def test_the_staff_shows_the_run_and_no_name(notes: list[Note]) -> None:
    for note in notes:
        if note.identity.fact is Fact.READING:
            score = note.media[Slot.QUESTION_SCORE].description
            assert isinstance(score, Score)
            assert tuple(each.pitch.midi for each in score.notes) == note.music.midi
            assert [each.pitch.letter for each in score.notes] == [each.tone.letter for each in note.music.run]
            assert (score.staves, score.chords) == (Staves.STAFF, ())
            assert not any(each.degree for each in score.notes)


def test_it_is_asked_only_where_it_is_wanted() -> None:
    usual = parse_recipe({"keys": ["F"], "regions": [1]}, "test")
    assert not any(note.identity.fact is Fact.READING for note in notes_of(usual))
