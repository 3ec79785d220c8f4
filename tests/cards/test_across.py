"""Across the neck as cards: four regions of the key, one inversion in each, shown and heard."""

import pytest

from deckbuilder.cards.choices import InstrumentChoice
from deckbuilder.cards.facts import Fact, Kind
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.syllabus import syllabus
from deckbuilder.neck.tuning import TUNINGS
from deckbuilder.picture.description import Role
from deckbuilder.picture.render import render
from tests.noted import clip_of, sheet_of


@pytest.fixture(scope="module")
def notes() -> tuple[Note, ...]:
    return syllabus(Recipe(kinds=(Kind.CROSS,)))


def test_every_arpeggio_of_a_key_once(notes: tuple[Note, ...]) -> None:
    assert len(notes) == 5 * 2 * 12
    assert {note.identity.fact for note in notes} == {Fact.INVERSIONS}


def test_a_guitar_has_each_inversion_in_a_region_of_its_own(notes: tuple[Note, ...]) -> None:
    for note in notes:
        regions = [name for name, _ in sheet_of(note).titles]
        assert len(regions) == 4
        assert len(set(regions)) == 4
        assert regions == sorted(regions)


def test_picture_clip_and_words_agree(notes: tuple[Note, ...]) -> None:
    for note in notes:
        run = note.music.run
        assert len(run) == 16
        assert [event.midi for event in clip_of(note).events][-16:] == list(note.music.midi)
        for number, picture in enumerate(sheet_of(note).pictures):
            each = run[4 * number : 4 * number + 4]
            assert {(mark.string, mark.fret) for mark in picture.marks} == {
                (one.place.string, one.place.fret) for one in each
            }
            assert sum(mark.root for mark in picture.marks) == 1
            guides = {mark.label for mark in picture.marks if mark.role is Role.GUIDE}
            assert guides <= {"3", "♭3", "7", "♭7"}
            assert each[0].tone.label in note.words.why


@pytest.mark.parametrize("tuning", TUNINGS)
def test_pictures_can_be_drawn_on_every_neck(tuning: str) -> None:
    recipe = Recipe(keys=("F",), levels=(1,), instrument=InstrumentChoice(tuning), kinds=(Kind.CROSS, Kind.VOICE))
    for note in syllabus(recipe)[:3]:
        assert render(sheet_of(note))
