"""Slash chords on cards: no other facts, and a bass that is heard, drawn and named where one plays over it."""

import pytest

from deckbuilder.cards.facts import Fact, Kind
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.syllabus import syllabus
from deckbuilder.cards.tunes import Tune
from deckbuilder.picture.description import NeckSheet
from deckbuilder.sound.description import Clip, Patch
from tests.noted import clip_of, sheet_of

BARS = "| C/E | F/A G7/B | C/F# | Dm7/G G7 |"
PLAIN = "| C | F G7 | C | Dm7 G7 |"


def notes_over(bars: str) -> tuple[Note, ...]:
    return syllabus(
        Recipe(keys=("C",), levels=(), kinds=tuple(Kind), regions=(1,), changes=(Tune("Mine", "C", True, (bars,)),))
    )


@pytest.fixture(scope="module")
def slashed() -> tuple[Note, ...]:
    return notes_over(BARS)


def improvisation(notes: tuple[Note, ...]) -> Note:
    return next(note for note in notes if note.identity.fact is Fact.IMPROVISATION)


def test_a_bass_makes_no_other_fact(slashed: tuple[Note, ...]) -> None:
    plain = notes_over(PLAIN)
    assert [note.id for note in slashed] == [note.id for note in plain]
    for one, other in zip(slashed, plain, strict=True):
        if one.identity.fact not in (Fact.IMPROVISATION, Fact.GUIDE_LINES):
            assert one == other


def test_it_is_named(slashed: tuple[Note, ...]) -> None:
    note = improvisation(slashed)
    assert "Cmaj7/E | Fmaj7/A G7/B | Cmaj7/F♯ | Dm7/G G7" in note.words.prompt
    assert note.music.chord == "Cmaj7/E Fmaj7/A G7/B Cmaj7/F# Dm7/G G7"
    assert "In the bass: E under Cmaj7, A under Fmaj7, B under G7, F♯ under Cmaj7 and G under Dm7." in note.words.why
    assert "In the bass" not in improvisation(notes_over(PLAIN)).words.why


def test_it_is_heard_on_beat_one(slashed: tuple[Note, ...]) -> None:
    clip = clip_of(improvisation(slashed))
    assert isinstance(clip, Clip)
    first = min(event.start for event in clip.events if event.patch is Patch.BASS)
    beat = (clip.length - first) / 32
    bass = {round((event.start - first) / beat): event.midi % 12 for event in clip.events if event.patch is Patch.BASS}
    assert [bass[at] for at in (0, 4, 6, 8, 12, 14)] == [4, 9, 11, 6, 7, 7]


def test_it_is_drawn_with_its_degree_where_the_region_has_it(slashed: tuple[Note, ...]) -> None:
    sheet = sheet_of(improvisation(slashed))
    assert isinstance(sheet, NeckSheet)
    by_title = {name.split()[-1]: picture for picture, (name, _) in zip(sheet.pictures, sheet.titles, strict=True)}
    assert list(by_title) == ["Cmaj7/E", "Fmaj7/A", "G7/B", "Cmaj7/F♯", "Dm7/G", "G7"]
    over_g = [mark.label for mark in by_title["Dm7/G"].marks if mark.label]
    assert "11" in over_g
    assert "3" in [mark.label for mark in by_title["Cmaj7/E"].marks]
    assert not [mark for mark in by_title["Cmaj7/F♯"].marks if mark.label == "♯11"]
