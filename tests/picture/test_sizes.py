"""Sizes: letters that can be read, and shapes that stay apart where they are small."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from numpy.typing import NDArray

from deckbuilder.picture.canvas import paint
from deckbuilder.picture.description import Mark, NeckPicture, NeckSheet, Role, Size
from deckbuilder.picture.geometry import PictureError, lay_out, lay_out_on_sheet, sprite_side
from deckbuilder.picture.marks import mark_layers
from deckbuilder.picture.render import render
from deckbuilder.picture.sizes import ALONE, ON_SHEET, MarkSize
from deckbuilder.picture.style import PIXELS_PER_CSS_PIXEL
from tests.picture.test_render import label_height
from tests.picture.windows import windows

LARGE = NeckPicture(6, 8, 13, 9, (), ("E", "B", "G", "D", "A", "E"), size=Size.LARGE)
LEAST = 16
"""CSS pixels of the smallest large letters, and of a mark that has to be told from others by its shape."""


def every_size() -> list[MarkSize]:
    return [size for table in (ALONE, ON_SHEET) for sizes in table.values() for size in sizes]


def test_large_letters_are_sixteen_css_pixels_at_least() -> None:
    for size in (*ALONE[Size.LARGE], *ON_SHEET[Size.LARGE]):
        assert min(size.label, size.number, size.title) >= LEAST * PIXELS_PER_CSS_PIXEL
    for role in (Role.GUIDE, Role.TONE):
        assert label_height(LARGE, Mark(3, 10, role, "13")) >= LEAST
    half = replace(LARGE, first_fret=0, last_fret=6, index_fret=None)
    assert label_height(half, Mark(3, 6, Role.TONE, "E")) >= LEAST


@given(windows())
def test_whatever_fits_in_usual_letters_fits_in_large_ones(window: NeckPicture) -> None:
    for place in (lay_out, lay_out_on_sheet):
        usual, large = (place(replace(window, size=size)) for size in (Size.USUAL, Size.LARGE))
        assert large.size.label >= usual.size.label


def covered(role: Role, size: MarkSize) -> NDArray[np.float64]:
    """Return how much of each pixel a bare mark covers."""
    side = sprite_side(size)
    found: NDArray[np.float64] = paint(side, side, mark_layers(Mark(1, 0, role), size, side / 2))[..., 3] / 255
    return found


def in_css_pixels(shape: NDArray[np.float64]) -> NDArray[np.float64]:
    step, cells = PIXELS_PER_CSS_PIXEL, len(shape) // PIXELS_PER_CSS_PIXEL
    means: NDArray[np.float64] = shape.reshape(cells, step, cells, step).mean(axis=(1, 3))
    return means


@pytest.mark.parametrize("size", every_size(), ids=lambda size: f"{size.pick_width}x{size.pick_height}")
def test_a_guide_tone_is_told_by_its_shape_even_where_it_is_small(size: MarkSize) -> None:
    guide, tone, scale = (covered(role, size) for role in (Role.GUIDE, Role.TONE, Role.SCALE))
    assert min(size.disc, size.pick_width) >= LEAST * PIXELS_PER_CSS_PIXEL
    one, other = in_css_pixels(guide), in_css_pixels(tone)
    assert np.abs(one - other).sum() >= 0.25 * np.maximum(one, other).sum()
    # A pick stands on a point: its lower half covers much less than its upper one, a disc's as much.
    halves = [float(np.divide(*(half.sum() for half in np.array_split(shape, 2)))) for shape in (guide, tone)]
    assert halves[0] > 1.5
    assert halves[1] == pytest.approx(1, abs=0.05)
    assert scale.sum() < 0.5 * tone.sum()


def test_halves_of_a_neck_need_no_titles() -> None:
    lower, upper = (
        replace(LARGE, first_fret=0, last_fret=6, index_fret=None),
        replace(LARGE, first_fret=7, last_fret=12),
    )
    halves = (lower, replace(upper, index_fret=None))
    assert render(NeckSheet(halves)) == render(NeckSheet(halves, ()))
    assert len(render(NeckSheet(halves))) < len(
        render(NeckSheet(halves, (("frets 0 to 6", ""), ("frets 7 to 12", ""))))
    )
    with pytest.raises(PictureError, match="1 titles for 2 pictures; give one each, or none"):
        render(NeckSheet(halves, (("frets 0 to 6", ""),)))
