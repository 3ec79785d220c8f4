"""Numerals: they tell the order of a line's visits, stand beside their marks and cover no mark and no other text."""

from dataclasses import replace
from io import BytesIO
from itertools import combinations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from PIL import Image

from deckbuilder.picture import style
from deckbuilder.picture.canvas import CAP_HEIGHT, Face, ink_width
from deckbuilder.picture.description import Mark, NeckPicture, NeckSheet, Role
from deckbuilder.picture.geometry import PictureError, lay_out, lay_out_on_sheet, mark_box
from deckbuilder.picture.numerals import tags
from deckbuilder.picture.render import render

from .windows import pictures

MARKS = (
    Mark(5, 12, Role.GUIDE, "♭7"),
    Mark(5, 9, Role.GUIDE, "3", root=True),
    Mark(2, 10, Role.TONE, "1"),
    Mark(3, 12, Role.SCALE),
    Mark(3, 13, Role.GUIDE, "♭7"),
)
PLAIN = NeckPicture(6, 8, 13, 9, MARKS, ("E", "B", "G", "D", "A", "E"))
HALF_LIGHT = 127
LINE = replace(PLAIN, visits=((5, 12), (3, 12), (5, 12), (2, 10), (3, 13)))


def pixels(picture: NeckPicture | NeckSheet) -> NDArray[np.uint8]:
    with Image.open(BytesIO(render(picture))) as image:
        return np.array(image.convert("RGB"))


def test_a_tone_that_is_visited_twice_lists_both() -> None:
    assert [tag.text for tag in tags(LINE, lay_out(PLAIN.window))] == ["1 3", "2", "4", "5"]


def test_numerals_lie_where_they_are_placed_and_change_nothing_else() -> None:
    shown, bare = pixels(LINE), pixels(PLAIN)
    changed = np.any(shown != bare, axis=-1)
    for tag in tags(LINE, lay_out(PLAIN.window)):
        part = np.s_[round(tag.box.top) : round(tag.box.bottom), round(tag.box.left) : round(tag.box.right)]
        letters = np.any(shown[part].min(axis=-1) > HALF_LIGHT, axis=1)
        assert letters.sum() / CAP_HEIGHT / style.PIXELS_PER_CSS_PIXEL >= 11
        rows, columns = part
        changed[rows.start - 1 : rows.stop + 1, columns.start - 1 : columns.stop + 1] = False
    assert not changed.any()


@settings(max_examples=150, deadline=None)
@given(pictures(), st.data())
def test_numerals_touch_their_own_mark_alone_and_are_legible(picture: NeckPicture, data: st.DataObject) -> None:
    """Whatever is visited in whatever order; on the mirrored neck they are mirrored."""
    assume(picture.marks)
    places = st.sampled_from([(mark.string, mark.fret) for mark in picture.marks])
    line = replace(picture, visits=tuple(data.draw(st.lists(places, min_size=1, max_size=8))))
    layout = lay_out_on_sheet(picture.window)
    try:
        placed = tags(line, layout)
    except PictureError:
        assume(False)
    boxes = [mark_box(mark, layout) for mark in picture.marks]
    for tag in placed:
        ink = ink_width(tag.text, layout.size.number, Face.BOLD) + 2 * style.TAG_PADDING
        assert style.TAG_NARROWEST * ink <= tag.box.width <= ink + 1e-6
        assert 0 <= tag.box.left < tag.box.right <= style.WIDTH
        y = (tag.box.top + tag.box.bottom) / 2
        on_string = [box for box in boxes if box.top < y < box.bottom]
        assert not any(tag.box.overlaps(box) for box in on_string)
        gaps = [min(abs(tag.box.left - box.right), abs(box.left - tag.box.right)) for box in on_string]
        assert min(gaps) == pytest.approx(style.TAG_GAP)
    assert not any(one.box.overlaps(other.box) for one, other in combinations(placed, 2))
    mirrored = replace(line, left_handed=not line.left_handed)
    for tag, other in zip(placed, tags(mirrored, lay_out_on_sheet(mirrored.window)), strict=True):
        assert other.text == tag.text
        assert other.box.left == pytest.approx(tag.box.mirrored().left)


def test_numerals_of_one_picture_of_a_sheet_leave_the_others_alone() -> None:
    titles = (("ii", ""), ("V", ""))
    shown, without = pixels(NeckSheet((PLAIN, LINE), titles)), pixels(NeckSheet((PLAIN, PLAIN), titles))
    changed = np.any(shown != without, axis=-1)
    half = len(changed) // 2
    assert changed[half:].any()
    assert not changed[:half].any()


def test_a_visit_to_no_mark_is_refused() -> None:
    with pytest.raises(PictureError, match="a line visits string 5, fret 11, where there is no mark"):
        render(replace(PLAIN, visits=((5, 11),)))


def test_numerals_without_room_are_refused() -> None:
    crowd = tuple(Mark(3, fret, Role.GUIDE, "3") for fret in range(1, 13))
    crowded = NeckPicture(6, 1, 12, None, crowd, visits=((3, 6), (3, 7)) * 4)
    with pytest.raises(
        PictureError, match="no room to number the visits 1 3 5 7 of string 3, fret 6; show fewer frets"
    ):
        render(crowded)
