"""A sheet: several pictures of one window under each other, each as legible as alone."""

from dataclasses import replace
from io import BytesIO
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from numpy.typing import NDArray
from PIL import Image

from deckbuilder.picture.canvas import CAP_HEIGHT, Face, ink_width
from deckbuilder.picture.colours import rgb
from deckbuilder.picture.description import Mark, NeckPicture, NeckSheet, Role
from deckbuilder.picture.geometry import PictureError, lay_out_on_sheet, sprite_side
from deckbuilder.picture.neck import title_height
from deckbuilder.picture.render import render
from deckbuilder.picture.sizes import SHEET_SIZES
from deckbuilder.picture.style import PALETTE, PIXELS_PER_CSS_PIXEL, WIDTH
from tests.picture.boxes import mark_box, overlap

from .windows import pictures

WINDOW = NeckPicture(6, 8, 13, 9, (), ("E", "B", "G", "D", "A", "E"))
TITLE = title_height(SHEET_SIZES[0])
ONE = replace(WINDOW, marks=(Mark(6, 8, Role.TONE, "1", True), Mark(1, 13, Role.GUIDE, "♭13")))
OTHER = replace(WINDOW, marks=(Mark(3, 10, Role.GUIDE, "3", True), Mark(3, 11, Role.SCALE)))
SHEET = NeckSheet((ONE, OTHER), (("ii  Gm7", "Gm7 and B♭maj7"), ("V  C7alt", "")))


def pixels(sheet: NeckSheet) -> NDArray[np.uint8]:
    with Image.open(BytesIO(render(sheet))) as image:
        return np.array(image.convert("RGB"))


@pytest.mark.parametrize("face", Face)
def test_a_space_beside_an_accidental_is_as_wide_as_between_letters(face: Face) -> None:
    between = ink_width("n n", 100, face) - ink_width("nn", 100, face)
    for text in ("the ♭7", "B♭ (3)", "♭ ♭"):
        wider = ink_width(text, 100, face) - ink_width(text.replace(" ", ""), 100, face)
        assert wider == pytest.approx(between, abs=12), text


def count(shown: NDArray[np.uint8], colour: str) -> int:
    return int(np.all(shown == rgb(colour), axis=-1).sum())


def test_every_picture_of_a_sheet_is_drawn_under_its_title() -> None:
    shown = pixels(SHEET)
    height = TITLE + lay_out_on_sheet(WINDOW).height
    assert shown.shape == (2 * height, WIDTH, 3)
    upper, lower = shown[:height], shown[height:]
    for part in (upper, lower):
        assert count(part[:TITLE], PALETTE.position_text) > 100
        assert count(part, PALETTE.guide) > 500
    assert count(upper, PALETTE.tone) > 500
    assert count(lower, PALETTE.tone) == 0
    assert count(upper[:TITLE], PALETTE.quiet_text) > 100
    assert count(lower[:TITLE], PALETTE.quiet_text) == 0


def test_every_picture_of_a_sheet_has_its_fret_numbers() -> None:
    shown, layout = pixels(SHEET), lay_out_on_sheet(WINDOW)
    for top in (0, TITLE + layout.height):
        below = shown[top + TITLE + round(layout.board.bottom) + 1 : top + TITLE + layout.height]
        for fret, (left, right) in layout.columns.items():
            rows = np.any(below[:, round(left) : round(right)] != rgb(PALETTE.ground), axis=-1).any(axis=1)
            assert rows.sum() / CAP_HEIGHT / PIXELS_PER_CSS_PIXEL >= 11, fret


def test_the_same_sheet_gives_the_same_bytes_whatever_was_drawn_before() -> None:
    before = render(SHEET)
    render(replace(SHEET, pictures=(OTHER, ONE)))
    assert render(SHEET) == before


def test_a_sheet_of_four_fits_a_phone_and_is_legible() -> None:
    four = NeckSheet((ONE, OTHER, ONE, OTHER), (("ii", ""), ("V", ""), ("I", ""), ("VI", "")))
    assert pixels(four).shape[0] / PIXELS_PER_CSS_PIXEL <= 800
    for size in SHEET_SIZES:
        assert size.label / PIXELS_PER_CSS_PIXEL >= 11
        assert size.title * CAP_HEIGHT / PIXELS_PER_CSS_PIXEL >= 9


def test_a_long_title_stays_in_its_place() -> None:
    long = NeckSheet((ONE,), (("♭VII  G♭maj7♯5 with more words than there is room for", "B♭m7♭5 " * 20),))
    shown = pixels(long)[:TITLE]
    board = lay_out_on_sheet(WINDOW).board
    letters = ~np.all(shown == rgb(PALETTE.ground), axis=-1)
    columns = np.flatnonzero(letters.any(axis=0))
    assert columns[0] >= board.left - 2
    assert columns[-1] <= board.right + 2


def test_the_left_hand_mirrors_a_sheet() -> None:
    mirrored = replace(SHEET, pictures=tuple(replace(picture, left_handed=True) for picture in SHEET.pictures))
    right, left = (lay_out_on_sheet(replace(sheet.pictures[0], marks=())) for sheet in (SHEET, mirrored))
    assert left.centre(1, 8)[0] == pytest.approx(WIDTH - right.centre(1, 8)[0])
    assert count(pixels(mirrored), PALETTE.guide) > 1000


@settings(max_examples=60, deadline=None)
@given(pictures())
def test_marks_stay_apart_and_inside(picture: NeckPicture) -> None:
    layout = lay_out_on_sheet(replace(picture, marks=()))
    boxes = [mark_box(mark, layout) for mark in picture.marks]
    half = sprite_side(layout.size) / 2
    for mark, box in zip(picture.marks, boxes, strict=True):
        x, y = layout.centre(mark.string, mark.fret)
        assert half - 1 <= x <= WIDTH - half + 1
        assert half - 1 <= y <= layout.height - half + 1
        assert 0 <= box.left <= box.right <= WIDTH
    neighbours = [
        (a, b) for (one, a), (other, b) in combinations(zip(picture.marks, boxes, strict=True), 2)
        if one.string == other.string
    ]  # fmt: skip
    assert not any(overlap(a, b) for a, b in neighbours)


@pytest.mark.parametrize(
    ("sheet", "message"),
    [
        (NeckSheet((), ()), "0 pictures on a sheet"),
        (NeckSheet((ONE,) * 13, (("ii", ""),) * 13), "13 pictures on a sheet; give 1 to 12"),
        (NeckSheet((ONE, OTHER), (("ii", ""),)), "1 titles for 2 pictures"),
        (NeckSheet((ONE, replace(OTHER, left_handed=True)), (("ii", ""), ("V", ""))), "different necks"),
        (NeckSheet((ONE,), ((" ", ""),)), "has no title"),
        (NeckSheet((ONE,), (("ii\n", ""),)), "cannot be printed"),
        (NeckSheet((replace(ONE, strings=2),), (("ii", ""),)), "2 strings"),
        (NeckSheet((NeckPicture(6, 0, 20, None, ()),), (("ii", ""),)), "too many for one legible picture"),
    ],
)
def test_sheets_that_cannot_be_drawn(sheet: NeckSheet, message: str) -> None:
    with pytest.raises(PictureError, match=message):
        render(sheet)
