"""Guide-tone lines as cards: what the voices are, what is seen, heard and said of them."""

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from deckbuilder.cards.choices import InstrumentChoice
from deckbuilder.cards.facts import Fact, Kind
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.syllabus import syllabus
from deckbuilder.neck.tuning import TUNINGS
from deckbuilder.picture.description import Role
from deckbuilder.recipe import read_recipe
from tests.noted import clip_of, picture_of

BLUES = Path(__file__).parents[2] / "deckbuilder" / "recipes" / "blues.toml"

IN_F = {
    "cadence": ("Bb Bb A", "F E E"),
    "altered-cadence": ("Bb Bb A", "F E E"),
    "turnaround": ("Bb Bb A C", "F E E F#"),
}
"""The lines through ii–V–I in F as books on jazz harmony have them, the third of ii held as the seventh of V and led to
the third of I; over VI7 the third of I goes on to ♭7 or 3, whichever is left. Common practice, no source."""


@pytest.fixture(scope="module")
def notes() -> tuple[Note, ...]:
    return syllabus(Recipe(kinds=(Kind.FOLLOW,)))


def voices(note: Note) -> tuple[list[str], list[str]]:
    names = [tone.name for tone in note.music.tones]
    half = len(names) // 2
    return names[:half], names[half:]


def test_there_is_one_a_level_key_and_region(notes: tuple[Note, ...]) -> None:
    assert len(notes) == 3 * 12 * 5
    assert {note.identity.fact for note in notes} == {Fact.GUIDE_LINES}
    assert len({(note.level, note.identity.key, note.identity.region) for note in notes}) == len(notes)


def test_lines_in_f_are_those_of_common_practice(notes: tuple[Note, ...]) -> None:
    for note in notes:
        if note.identity.key == "F":
            assert tuple(" ".join(voice) for voice in voices(note)) == IN_F[note.identity.item or ""]


def test_voices_stay_or_move_by_step_but_for_the_third_of_one(notes: tuple[Note, ...]) -> None:
    """From I to VI7 the third of I has no guide tone nearer than a minor third."""
    for note in notes:
        half = len(note.music.run) // 2
        for voice in (note.music.run[:half], note.music.run[half:]):
            sizes = [abs(after.midi - before.midi) for before, after in pairwise(voice)]
            assert max(sizes[:2]) <= 1
            assert max(sizes) <= 3


def test_picture_clip_and_words_have_the_same_tones(notes: tuple[Note, ...]) -> None:
    for note in notes:
        music, picture = note.music, picture_of(note)
        half = len(music.run) // 2
        marked = {(mark.string, mark.fret): mark.label for mark in picture.marks}
        assert all(mark.role is Role.GUIDE for mark in picture.marks)
        assert marked == {(each.place.string, each.place.fret): each.tone.label for each in music.run}
        steps = [*pairwise(music.run[:half]), *pairwise(music.run[half:])]
        assert set(picture.paths) == {
            ((old.place.string, old.place.fret), (new.place.string, new.place.fret))
            for old, new in steps
            if old.place != new.place
        }
        heard = [event.midi for event in clip_of(note).events]
        assert all(each.midi in heard for each in music.run)
        assert all(
            f" of {chord.label}" in tone.degree for chord, tone in zip(music.chords * 2, note.words.tones, strict=True)
        )
        assert all(tone.is_guide for tone in note.words.tones)


def test_long_changes_have_no_tangle_of_arrows() -> None:
    recipe = replace(read_recipe(BLUES), keys=("F",), regions=(5,), kinds=(Kind.FOLLOW,))
    (note,) = syllabus(recipe)
    picture = picture_of(note)
    assert picture.paths == ()
    assert {(each.place.string, each.place.fret) for each in note.music.run} == {
        (mark.string, mark.fret) for mark in picture.marks
    }


@pytest.mark.parametrize("tuning", TUNINGS)
def test_every_tuning_gives_lines_that_its_hand_holds(tuning: str) -> None:
    recipe = Recipe(keys=("F", "A"), instrument=InstrumentChoice(tuning), kinds=(Kind.FOLLOW,))
    for note in syllabus(recipe):
        fingered = recipe.instrument.neck.fingering(
            frozenset(range(12)), note.music.region.index_fret if note.music.region else 0
        )
        assert {each.midi for each in note.music.run} <= {each.midi for each in fingered.notes}
