"""Shells as cards: the strings that are asked, the names of the tones, the bass below."""

from itertools import pairwise

import pytest

from deckbuilder.cards.choices import InstrumentChoice
from deckbuilder.cards.facts import Fact, Kind
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.syllabus import syllabus
from deckbuilder.picture.description import Role
from deckbuilder.sound.description import Patch
from tests.noted import clip_of, sheet_of


@pytest.fixture(scope="module")
def notes() -> tuple[Note, ...]:
    return syllabus(Recipe(kinds=(Kind.VOICE,), levels=(1, 2, 3, 4)))


def test_one_a_level_key_and_set_of_strings(notes: tuple[Note, ...]) -> None:
    assert len(notes) == 4 * 12 * 3
    assert {note.identity.fact for note in notes} == {Fact.SHELL}


def test_the_card_says_which_strings_and_uses_no_other(notes: tuple[Note, ...]) -> None:
    for note in notes:
        strings = (note.identity.item or "").partition("-strings-")[2].split("-")
        assert {str(place.string) for place in note.music.places} == set(strings)
        assert f"strings {strings[0]}, {strings[1]} and {strings[2]}" in note.words.task


def test_voices_move_by_step_but_for_the_guide_tones_from_one_to_six(notes: tuple[Note, ...]) -> None:
    for note in notes:
        grips = [note.music.midi[first : first + 3] for first in range(0, len(note.music.midi), 3)]
        for number, (before, after) in enumerate(pairwise(grips)):
            most = 3 if number == 2 else 2
            assert all(abs(new - old) <= most for old, new in zip(before, after, strict=True)), note.id


def test_a_half_diminished_chord_keeps_its_flat_fifth_and_ii_has_no_thirteenth(notes: tuple[Note, ...]) -> None:
    for note in notes:
        first = note.music.degrees[2]
        assert (first == "b5") == note.music.key.minor
        assert note.music.key.minor or first in ("9", "11", "5")


def test_picture_clip_and_words_agree(notes: tuple[Note, ...]) -> None:
    for note in notes:
        run = note.music.run
        events = clip_of(note).events
        assert [each.midi for each in events if each.patch is Patch.GUITAR] == list(note.music.midi)
        bass = [each.midi for each in events if each.patch is Patch.BASS]
        assert [midi % 12 for midi in bass] == [chord.chord.root.pitch_class for chord in note.music.chords]
        assert max(bass) < min(note.music.midi)
        for number, picture in enumerate(sheet_of(note).pictures):
            grip = run[3 * number : 3 * number + 3]
            assert {(mark.string, mark.fret) for mark in picture.marks} == {
                (each.place.string, each.place.fret) for each in grip
            }
            assert sum(mark.role is Role.GUIDE for mark in picture.marks) == 2


def test_a_capo_moves_grips_up_the_neck() -> None:
    bare, held = (
        syllabus(Recipe(keys=(key,), kinds=(Kind.VOICE,), instrument=InstrumentChoice(capo=capo)))
        for key, capo in (("C", 0), ("D", 2))
    )
    for one, other in zip(bare, held, strict=True):
        assert [place.fret + 2 for place in one.music.places] == [place.fret for place in other.music.places]
