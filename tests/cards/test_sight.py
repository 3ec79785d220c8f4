"""At sight: every answer is the only one, and what a card says of a chord is so."""

from collections import Counter

import pytest

from deckbuilder.cards.cardtypes import front_text
from deckbuilder.cards.facts import Fact, Kind
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.sight import ASKED, chords_of
from deckbuilder.cards.syllabus import syllabus
from deckbuilder.theory.keys import DEFAULT_KEYS, KEY_NAMES, Key

KINDS = (Kind.NAME, Kind.ANALYSE)
MAJOR = [asked for asked in ASKED if not asked.minor]


@pytest.fixture(scope="module")
def notes() -> tuple[Note, ...]:
    return syllabus(Recipe(kinds=KINDS))


def test_every_key_is_asked_the_same(notes: tuple[Note, ...]) -> None:
    assert {note.identity.fact for note in notes} == {Fact.SIGHT}
    assert Counter(note.identity.key for note in notes) == dict.fromkeys(DEFAULT_KEYS, len(MAJOR))
    assert all(note.kinds == KINDS and not note.media and note.identity.region is None for note in notes)
    assert Counter(note.level for note in notes) == {1: 7 * 12, 2: 12, 3: 5 * 12}


def test_no_two_questions_are_alike_and_no_front_has_two_answers(notes: tuple[Note, ...]) -> None:
    for kind in KINDS:
        assert len({front_text(note, kind) for note in notes}) == len(notes)


@pytest.mark.parametrize("name", KEY_NAMES)
def test_no_chord_comes_twice_in_a_key(name: str) -> None:
    chords = [chords_of(asked, Key.parse(name)) for asked in MAJOR]
    sounding = [tuple(chord.chord.pitch_classes for chord in each) for each in chords]
    assert len(set(sounding)) == len(sounding)


def test_a_pair_stands_in_one_key_alone(notes: tuple[Note, ...]) -> None:
    pairs = [note.music.chord for note in notes if note.identity.item == "ii-V"]
    assert len(set(pairs)) == len(pairs) == 12


def test_the_front_of_a_pair_does_not_tell_its_key(notes: tuple[Note, ...]) -> None:
    for note in notes:
        if note.identity.item == "ii-V":
            assert front_text(note, Kind.ANALYSE) == f"{note.words.label}: ii–V of which major key?"
        else:
            assert front_text(note, Kind.ANALYSE) == f"In {note.words.key}: what is {note.words.label}?"


def test_a_level_that_is_not_asked_brings_nothing() -> None:
    found = syllabus(Recipe(keys=("Ab",), levels=(3,), kinds=KINDS))
    assert {note.words.task for note in found} == {f"V of {goal}" for goal in ("ii", "iii", "IV", "V", "vi")}


def test_other_names_of_a_dominant_are_told(notes: tuple[Note, ...]) -> None:
    told = {note.identity.item: note.words.why for note in notes if note.identity.key == "Ab"}
    assert told["V-of-ii"] == (
        "It lies a fifth above B♭m7, ii of A♭, and leads there. By its step it is VI7: that name is right too."
    )
    assert "♭II7" in (told["subV"] or "")
    assert told["ii-V"] == "B♭ is the 2nd step and E♭ the 5th step of A♭; both chords lead to A♭maj7."
