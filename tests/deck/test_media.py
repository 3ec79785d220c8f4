"""Names of media: they tell descriptions apart, and nothing else."""

import re
from dataclasses import dataclass, make_dataclass, replace

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from deckbuilder.build import media_of, notes_of
from deckbuilder.cards.facts import Kind, Slot
from deckbuilder.medium import Description, MediaType, counted, described_by, medium
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
    assert medium(whole).name == medium(floating).name


@pytest.mark.parametrize(
    "other",
    [
        replace(CLIP, a4=440.5),
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
    assert medium(other).name not in {medium(CLIP).name, medium(PICTURE).name}


def test_as_many_names_as_descriptions() -> None:
    notes = notes_of(parse_recipe({"keys": ["F", "Gb"], "regions": [1, 5]}, "test"))
    shown = {
        attachment.description
        for note in notes
        for slot, attachment in note.media.items()
        # A shape that two chords of own changes share is asked for once.
        if slot is not Slot.QUESTION_PICTURE or {Kind.IDENTIFY, Kind.CONNECT} & set(note.kinds)
    }
    assert len(media_of(notes)) == len(shown)
    assert {medium(description).name for description in shown} == {made.name for made in media_of(notes)}
    assert all(
        re.fullmatch(r"((neck|score)-[0-9a-f]{24}\.(png|svg)|clip-[0-9a-f]{24}\.mp3)", made.name)
        for made in media_of(notes)
    )


@dataclass(frozen=True, slots=True)
class Score(Description):
    """A third medium, as a later module would have it."""

    media_type = MediaType.IMAGE
    prefix = "leaf"
    ending = ".svg"
    version = 1
    renderer = "tests.deck.test_media"

    notes: tuple[int, ...]


def test_an_optional_field_renames_no_medium_that_does_not_use_it() -> None:
    """The same description with a field more, as the next version of a medium would have it."""
    more = make_dataclass(
        "Score", [("notes", tuple[int, ...]), ("fingers", bool, False)], bases=(Score,), frozen=True, slots=True
    )
    assert medium(more((60, 64))).name == medium(Score((60, 64))).name
    assert medium(more((60, 64), True)).name != medium(Score((60, 64))).name


@dataclass(frozen=True, slots=True)
class Rest:
    """What one medium may hold beside another part."""

    onset: object


@dataclass(frozen=True, slots=True)
class Hit:
    """Another part with the same fields."""

    onset: object


@dataclass(frozen=True, slots=True)
class Rhythm(Description):
    """A medium that holds parts of several kinds."""

    media_type = MediaType.SOUND
    prefix = "rhythm"
    ending = ".wav"
    version = 1
    renderer = "tests.deck.test_media"

    parts: object
    more: object = ()


VALUES = st.recursive(
    st.none() | st.integers() | st.floats(allow_nan=False) | st.text('0f38%@#[],"é', max_size=16) | st.booleans(),
    lambda inner: st.lists(inner, max_size=3).map(tuple) | st.builds(Rest, inner) | st.builds(Hit, inner),
    max_leaves=4,
)


@given(VALUES, VALUES, VALUES, VALUES)
@example((Rest(1),), (), (Hit(1),), ())
@example((Rest(1), Hit(1)), (), (Hit(1), Rest(1)), ())
@example((Rest(1), Rest(2**60)), (), (Rest(1), Rest(2**60 + 1)), ())
@example((2**60,), (), (2**60 + 1,), ())
@example((1.0,), (), "000000000000f03f", ())
@example((1,), (2, 3), (1, 2), (3,))
@example(("a",), ("b", "c"), ("a", "b"), ("c",))
@example((), None, None, ())
def test_two_descriptions_never_share_a_name(one: object, more: object, other: object, beyond: object) -> None:
    first, second = Rhythm(one, more), Rhythm(other, beyond)
    assert first == second or medium(first).name != medium(second).name


def render(description: Score) -> bytes:
    return b"<svg/>" * len(description.notes)


def test_a_third_medium_is_named_and_rendered_by_what_it_says() -> None:
    made = medium(Score((60, 64)))
    assert re.fullmatch(r"leaf-[0-9a-f]{24}\.svg", made.name)
    assert made.description.render() == b"<svg/><svg/>"
    assert described_by(made.name) is not None


def test_media_are_counted_by_how_they_reach_a_player() -> None:
    names = [medium(each).name for each in (CLIP, replace(CLIP, length=3.0), PICTURE, Score((60,)))]
    assert counted(["clip-1.mp3", *names, "photo.png"]) == {MediaType.SOUND: 2, MediaType.IMAGE: 2}
