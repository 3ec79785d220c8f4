"""Enclosures: the target between its neighbours where the hand has them, seen, heard and named alike."""

from collections.abc import Iterator, Sequence

import pytest

from deckbuilder.cards.choices import InstrumentChoice
from deckbuilder.cards.facts import Fact, Kind
from deckbuilder.cards.music import PlayedNote
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.syllabus import syllabus
from deckbuilder.neck.hand import STRETCH
from deckbuilder.neck.tuning import TUNINGS
from deckbuilder.picture.description import Role
from tests.noted import clip_of, picture_of, region_of, tones_of

TABLE = {
    "ii/around-b3": "C A Bb",
    "ii/around-b7": "G E F",
    "V/plain/around-3": "F D# E",
    "V/plain/around-b7": "C A Bb",
    "I/around-3": "Bb G# A",
    "I/around-7": "F D# E",
    "V/altered/around-3": "Gb D# E",
    "V/altered/around-b7": "C A Bb",
    "VI/altered/around-3": "Ab E# F#",
    "VI/altered/around-b7": "D B C",
}
"""Guide tones in F with the scale step above and the semitone below, as exercises in enclosure write them; over an
altered chord by its scale. Common practice, no source."""


def threes(run: Sequence[PlayedNote]) -> Iterator[Sequence[PlayedNote]]:
    return (run[first : first + 3] for first in range(0, len(run), 3))


@pytest.fixture(scope="module")
def notes() -> tuple[Note, ...]:
    return syllabus(Recipe(kinds=(Kind.ENCLOSE,)))


def test_both_guide_tones_of_every_chord_in_every_place(notes: tuple[Note, ...]) -> None:
    assert len(notes) == 5 * 2 * 12 * 5
    assert {note.identity.fact for note in notes} == {Fact.ENCLOSURE}


def test_tones_in_f_are_those_of_the_table(notes: tuple[Note, ...]) -> None:
    found = {note.id.partition("-of-5/")[2]: " ".join(tones_of(note)) for note in notes if note.identity.key == "F"}
    assert found == TABLE


@pytest.mark.parametrize("tuning", TUNINGS)
def test_the_hand_holds_every_figure(tuning: str) -> None:
    recipe = Recipe(keys=("F", "B"), instrument=InstrumentChoice(tuning), kinds=(Kind.ENCLOSE,))
    neck = recipe.instrument.neck
    for note in syllabus(recipe):
        scale = note.music.chords[0].scale.pitch_classes
        above_by = (note.music.tones[0].pitch_class - note.music.tones[2].pitch_class) % 12
        assert 1 <= above_by <= 2
        for above, below, target in threes(note.music.run):
            assert (above.midi - target.midi, below.midi - target.midi) == (above_by, -1)
            assert above.midi % 12 in scale
            for each in (above, below, target):
                assert neck.sounding.midi(each.place) == each.midi
                fret, index = each.place.fret, region_of(note).index_fret
                assert each.midi % 12 in scale or fret == 0 or neck.hand.cost(fret, index) <= STRETCH


def test_picture_and_clip_have_what_the_words_name(notes: tuple[Note, ...]) -> None:
    for note in notes:
        picture, run = picture_of(note), note.music.run
        asked = {(mark.string, mark.fret) for mark in picture.marks if mark.role is not Role.SCALE}
        assert asked == {(each.place.string, each.place.fret) for each in run}
        guides = {(mark.string, mark.fret) for mark in picture.marks if mark.role is Role.GUIDE}
        assert guides == {(target.place.string, target.place.fret) for *_, target in threes(run)}
        assert [event.midi for event in clip_of(note).events][-len(run) :] == list(note.music.midi)
        assert len(picture.paths) == 2 * len(run) // 3
