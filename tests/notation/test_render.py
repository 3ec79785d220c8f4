"""Engraved music: rows, order of strings, what is struck, and bytes."""

import zlib
from dataclasses import replace

import pytest

from deckbuilder.notation.description import Score, Staves
from deckbuilder.notation.render import render
from tests.notation.reading import placed
from tests.notation.scores import CROWDED, INSTRUMENTS, LINE

SCORES = {"line": LINE, "crowded": CROWDED, **INSTRUMENTS}


@pytest.mark.parametrize("score", SCORES.values(), ids=SCORES)
def test_frets_stand_in_order_on_their_strings(score: Score) -> None:
    frets = list(placed(render(score), "frets"))
    assert len(frets) == len(score.notes)
    assert [fret.row for fret in frets] == [note.onset // 96 for note in score.notes]
    for row in {fret.row for fret in frets}:
        pairs = [(fret, note) for fret, note in zip(frets, score.notes, strict=True) if fret.row == row]
        assert [fret.x for fret, _ in pairs] == sorted({fret.x for fret, _ in pairs})
        heights = {note.string: fret.y for fret, note in pairs}
        assert all(fret.y == heights[note.string] for fret, note in pairs), "one string, one height"
        assert sorted(heights, key=lambda string: heights[string]) == sorted(heights), "string 1 on top"
    shapes = {(fret.shape, note.fret) for fret, note in zip(frets, score.notes, strict=True)}
    assert len({shape for shape, _ in shapes}) == len(shapes), "no two numbers look alike"


def test_degrees_stand_under_their_frets_and_chords_above() -> None:
    svg = render(LINE)
    frets, degrees, chords = (list(placed(svg, group)) for group in ("frets", "degrees", "chords"))
    assert [degree.row for degree in degrees] == [fret.row for fret in frets]
    for fret, degree in zip(frets, degrees, strict=True):
        assert abs(fret.x - degree.x) < 120, "12 CSS pixels"
        assert degree.y > fret.y
    assert [chord.row for chord in chords] == [chord.onset // 96 for chord in LINE.chords]
    assert max(chord.y for chord in chords if chord.row == 0) < min(fret.y for fret in frets if fret.row == 0)


def test_swing_is_told_once() -> None:
    assert [words.row for words in placed(render(LINE), "words")] == [0]
    assert not list(placed(render(replace(LINE, swing=False)), "words"))


@pytest.mark.parametrize("staves", Staves)
def test_either_staff_may_stand_alone(staves: Staves) -> None:
    svg = render(replace(LINE, staves=staves))
    assert len(list(placed(svg, "frets"))) == (len(LINE.notes) if staves.has_tablature else 0)
    assert len(list(placed(svg, "degrees"))) == len(LINE.notes)
    assert len(list(placed(svg, "chords"))) == len(LINE.chords)


def test_one_music_gives_one_file_whatever_was_drawn_before() -> None:
    first = render(LINE)
    render(CROWDED)
    assert render(LINE) == first


def test_files_are_small() -> None:
    """Packed, as a deck holds them: about 4 KB for a row, and little more for the next."""
    assert len(zlib.compress(render(CROWDED), 9)) < 6000
    assert len(zlib.compress(render(LINE), 9)) < 7000
    assert len(zlib.compress(render(INSTRUMENTS["bass"]), 9)) < 3000


@pytest.mark.parametrize("score", SCORES.values(), ids=SCORES)
def test_nothing_is_fetched_from_elsewhere(score: Score) -> None:
    svg = render(score).decode()
    assert svg.count("http") == 1, "the namespace"
    assert "<text" not in svg
    assert "<style" not in svg
    assert "<script" not in svg
