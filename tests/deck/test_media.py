"""Names of media: they tell descriptions apart, and nothing else."""

import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.build import media_of, notes_of
from deckbuilder.deck.media import Description, name_of
from deckbuilder.picture.description import Mark, NeckPicture, NeckSheet, Role
from deckbuilder.recipe import parse_recipe
from deckbuilder.sound.description import Clip, NoteEvent

CLIP = Clip((NoteEvent(60, 0.5, 1.0), NoteEvent(64, 1.0, 0.5)), 2.0)
PICTURE = NeckPicture(6, 7, 12, 8, (Mark(1, 8, Role.GUIDE, "3"), Mark(2, 9, Role.TONE, "5")))


@given(st.integers(380, 480), st.integers(0, 3), st.integers(1, 4))
def test_equal_clips_have_one_name(a4: int, start: int, length: int) -> None:
    whole = replace(CLIP, events=(NoteEvent(60, start, length),), length=5, a4=a4)
    floating = replace(CLIP, events=(NoteEvent(60, float(start), float(length)),), length=5.0, a4=float(a4))
    assert whole == floating
    assert name_of(whole) == name_of(floating)


@pytest.mark.parametrize(
    "other",
    [
        replace(CLIP, a4=440.5),
        replace(CLIP, loop=True),
        replace(CLIP, length=2.01),
        replace(CLIP, events=CLIP.events[:1]),
        replace(CLIP, events=CLIP.events[::-1]),
        replace(PICTURE, left_handed=True),
        replace(PICTURE, marks=PICTURE.marks[:1]),
        replace(PICTURE, marks=(replace(PICTURE.marks[0], label="b3"), PICTURE.marks[1])),
        NeckSheet((PICTURE,), (("C7", ""),)),
    ],
)
def test_what_looks_or_sounds_otherwise_has_another_name(other: Description) -> None:
    assert name_of(other) not in {name_of(CLIP), name_of(PICTURE)}


def test_as_many_names_as_descriptions() -> None:
    notes = notes_of(parse_recipe({"keys": ["F", "Gb"], "regions": [1, 5]}, "test"))
    shown = {
        description
        for note in notes
        for description in (note.picture, note.bare_picture, note.window, note.clip, note.example)
        if description is not None
    }
    assert len(media_of(notes)) == len(shown)
    assert {name_of(description) for description in shown} == {made.name for made in media_of(notes)}
    assert all(re.fullmatch(r"(neck-[0-9a-f]{24}\.png|clip-[0-9a-f]{24}\.mp3)", made.name) for made in media_of(notes))
