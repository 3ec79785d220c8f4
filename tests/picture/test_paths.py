"""Paths: where they lead, that they cross no mark, and that a picture without one is as it was."""

from dataclasses import replace
from io import BytesIO

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from deckbuilder.picture.colours import rgb
from deckbuilder.picture.description import Mark, NeckPicture, NeckSheet, Role
from deckbuilder.picture.geometry import PictureError, lay_out
from deckbuilder.picture.render import render
from deckbuilder.picture.style import PALETTE
from tests.picture.boxes import mark_box

MARKS = (
    Mark(5, 12, Role.GUIDE, "♭7"),
    Mark(5, 9, Role.GUIDE, "3"),
    Mark(2, 10, Role.TONE, "1"),
    Mark(3, 12, Role.SCALE),
)
PLAIN = NeckPicture(6, 8, 13, 9, MARKS, ("E", "B", "G", "D", "A", "E"))
STEP = replace(PLAIN, paths=(((5, 12), (5, 9)),))
LINE = replace(PLAIN, paths=(((5, 12), (5, 9), (2, 10), (3, 12)),))


def pixels(picture: NeckPicture | NeckSheet) -> NDArray[np.uint8]:
    with Image.open(BytesIO(render(picture))) as image:
        return np.array(image.convert("RGB"))


def white(shown: NDArray[np.uint8]) -> NDArray[np.bool_]:
    found: NDArray[np.bool_] = np.all(shown == rgb(PALETTE.root_ring), axis=-1)
    return found


def test_a_step_lies_between_its_marks_and_touches_nothing_else() -> None:
    layout = lay_out(PLAIN.window)
    changed = np.any(pixels(STEP) != pixels(PLAIN), axis=-1)
    rows, columns = np.nonzero(changed)
    start, end = (mark_box(mark, layout) for mark in MARKS[:2])
    assert end.left < columns.min()
    assert columns.max() < start.right
    assert start.top <= rows.min()
    assert rows.max() <= start.bottom


def test_the_arrowhead_is_at_the_end() -> None:
    layout = lay_out(PLAIN.window)
    start, end = (mark_box(mark, layout) for mark in MARKS[:2])
    shown = white(pixels(STEP))
    near_end = shown[:, round(end.right) : round(end.right) + 30].sum(axis=0).max()
    near_start = shown[:, round(start.left) - 30 : round(start.left)].sum(axis=0).max()
    assert near_end > 2 * near_start > 0


def test_marks_lie_over_paths() -> None:
    through = replace(PLAIN, marks=(*MARKS, Mark(5, 10, Role.TONE, "9")), paths=STEP.paths)
    x, y = lay_out(PLAIN.window).centre(5, 10)
    without = pixels(replace(through, paths=()))
    box = slice(round(y) - 20, round(y) + 20), slice(round(x) - 20, round(x) + 20)
    assert np.array_equal(pixels(through)[box], without[box])


def test_a_left_handed_player_sees_the_path_mirrored() -> None:
    right, left = white(pixels(STEP)), white(pixels(replace(STEP, left_handed=True)))
    bare_right, bare_left = white(pixels(PLAIN)), white(pixels(replace(PLAIN, left_handed=True)))
    columns = [np.nonzero((one & ~other).any(axis=0))[0] for one, other in ((right, bare_right), (left, bare_left))]
    assert columns[0].min() == pytest.approx(719 - columns[1].max(), abs=2)


def test_the_same_path_gives_the_same_bytes_whatever_was_drawn_before() -> None:
    before = render(LINE)
    render(STEP)
    assert render(LINE) == before
    assert render(replace(LINE, paths=())) == render(PLAIN)


def test_a_path_on_a_sheet() -> None:
    sheet = NeckSheet((PLAIN, LINE), (("ii", ""), ("V", "")))
    without = NeckSheet((PLAIN, PLAIN), sheet.titles)
    half = len(pixels(sheet)) // 2 - 30
    changed = np.any(pixels(sheet) != pixels(without), axis=-1)
    assert changed.sum() > 1000
    assert not changed[:half].any()


@pytest.mark.parametrize(
    ("path", "message"),
    [
        (((5, 12),), "a path visits 1 places; give it at least 2"),
        (((5, 12), (5, 11)), "a path visits string 5, fret 11, where there is no mark"),
    ],
)
def test_a_path_that_cannot_be_drawn_is_refused(path: tuple[tuple[int, int], ...], message: str) -> None:
    with pytest.raises(PictureError, match=message):
        render(replace(PLAIN, paths=(path,)))
