"""Pixels of neck pictures against WCAG 2.2's contrast and against colour blindness, on dark and on light pages.

Sources: W3C, *Web Content Accessibility Guidelines 2.2*: relative luminance and contrast ratio (definitions), 4.5:1 for
text (1.4.3), 3:1 for graphics that carry a meaning (1.4.11). W3C, *Filter Effects Module Level 1*: the matrices of
`invert` and `hue-rotate`. G. M. Machado, M. M. Oliveira and L. A. F. Fernandes, "A physiologically-based model for
simulation of color vision deficiency" (2009): matrices for linear light at full severity. All from memory.
"""

from collections.abc import Callable
from dataclasses import replace
from io import BytesIO
from itertools import product

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from deckbuilder.picture import style
from deckbuilder.picture.colours import turned
from deckbuilder.picture.description import Ground, Mark, NeckPicture, Role
from deckbuilder.picture.geometry import Layout, lay_out
from deckbuilder.picture.render import render

Pixels = NDArray[np.float64]

DARK_PAGE, LIGHT_PAGE = (0x18, 0x1B, 0x20), (0xFB, 0xFA, 0xF7)
GRAPHICS, TEXT = 3.0, 4.5
BLINDNESS = {
    "protanopia": [
        [0.152286, 1.052583, -0.204868],
        [0.114503, 0.786281, 0.099216],
        [-0.003882, -0.048116, 1.051998],
    ],
    "deuteranopia": [
        [0.367322, 0.860646, -0.227968],
        [0.280085, 0.672501, 0.047413],
        [-0.011820, 0.042940, 0.968881],
    ],
}
NAMES = ("E", "B", "G", "D", "A", "E")
GUIDE, TONE, ROOT, SCALE = (5, 9), (4, 10), (3, 11), (2, 10)
REGION = NeckPicture(
    6,
    8,
    13,
    9,
    (
        Mark(*GUIDE, Role.GUIDE, "3"),
        Mark(*TONE, Role.TONE, "5"),
        Mark(*ROOT, Role.TONE, "1", True),
        Mark(*SCALE, Role.SCALE),
    ),
    NAMES,
)
OPEN = NeckPicture(6, 0, 5, 0, (Mark(2, 0, Role.TONE, "1", True), Mark(3, 0, Role.GUIDE, "3")), NAMES)
CAPO = NeckPicture(6, 1, 7, 3, (), NAMES, capo=2)


def dark(picture: NeckPicture) -> Pixels:
    return _opaque(replace(picture, ground=Ground.DARK))


def light(picture: NeckPicture) -> Pixels:
    return _opaque(replace(picture, ground=Ground.LIGHT))


def following_dark(picture: NeckPicture) -> Pixels:
    return _over(picture, DARK_PAGE)


def following_light(picture: NeckPicture) -> Pixels:
    """Show a picture through the filter of a light page; the matrices are the specification's."""
    return _over(picture, LIGHT_PAGE, _filtered)


PAGES = (dark, light, following_dark, following_light)
Shown = Callable[[NeckPicture], Pixels]
pages = pytest.mark.parametrize("shown", PAGES)


def _opaque(picture: NeckPicture) -> Pixels:
    with Image.open(BytesIO(render(picture))) as image:
        return np.asarray(image.convert("RGB"), dtype=float)


def _over(picture: NeckPicture, page: tuple[int, int, int], seen: Callable[[Pixels], Pixels] = np.array) -> Pixels:
    with Image.open(BytesIO(render(replace(picture, ground=Ground.FOLLOW)))) as image:
        pixels = np.asarray(image.convert("RGBA"), dtype=float)
    opacity = pixels[..., 3:] / 255
    shown: Pixels = opacity * seen(pixels[..., :3]) + (1 - opacity) * np.array(page)
    return shown


def _filtered(pixels: Pixels) -> Pixels:
    cosine, sine = -1.0, 0.0
    grey, red_etc = np.array([[0.213, 0.715, 0.072]] * 3), np.eye(3)
    turn = grey + cosine * (red_etc - grey) + sine * np.array([[-0.213, -0.715, 0.928]] * 3)
    filtered: Pixels = np.clip((255 - pixels) @ turn.T, 0, 255)
    return filtered


def linear(pixels: Pixels) -> Pixels:
    shares = pixels / 255
    return np.where(shares <= 0.04045, shares / 12.92, ((shares + 0.055) / 1.055) ** 2.4)


def luminance(pixels: Pixels) -> Pixels:
    """Compute relative luminance as WCAG 2.2 defines it."""
    found: Pixels = linear(pixels) @ np.array([0.2126, 0.7152, 0.0722])
    return found


def contrast(one: Pixels, other: Pixels) -> float:
    darker, lighter = sorted(float(luminance(each)) for each in (one, other))
    return (lighter + 0.05) / (darker + 0.05)


def at(pixels: Pixels, x: float, y: float) -> Pixels:
    found: Pixels = pixels[round(y), round(x)]
    return found


def text_contrast(pixels: Pixels, behind: Pixels, x: float, y: float, half: int) -> float:
    """Measure the contrast of the boldest pixel near a place: letters have solid cores."""
    box = pixels[round(y) - half : round(y) + half, round(x) - half : round(x) + half].reshape(-1, 3)
    return max(contrast(pixel, behind) for pixel in np.unique(box, axis=0))


def test_the_formula_gives_the_known_values() -> None:
    white, black = np.full(3, 255.0), np.zeros(3)
    assert contrast(white, black) == pytest.approx(21)
    # The greys on either side of 4.5:1 on white, known to every checker (from memory).
    assert contrast(np.full(3, float(0x76)), white) == pytest.approx(4.54, abs=0.01)
    assert contrast(np.full(3, float(0x77)), white) == pytest.approx(4.48, abs=0.01)


def between(layout: Layout) -> float:
    return (layout.strings[0] + layout.strings[1]) / 2


@pages
def test_wires_strings_and_nut_stand_out_from_the_board(shown: Shown) -> None:
    for picture in (REGION, OPEN):
        pixels, layout = shown(picture), lay_out(picture.window)
        row = between(layout)
        for number, x in layout.wires.items():
            if number:
                for beside in (x - 8, x + 8):
                    assert contrast(at(pixels, x, row), at(pixels, beside, row)) >= GRAPHICS, (number, beside)
        for fret in range(picture.first_fret + 1, picture.last_fret):
            x = sum(layout.columns[fret]) / 2 + 40
            for y in (layout.strings[0], layout.strings[5]):
                assert contrast(at(pixels, x, y), at(pixels, x, y + 10)) >= GRAPHICS
    x, row = layout.wires[0] - style.NUT / 2, between(layout)
    assert contrast(at(pixels, x, row), at(pixels, x + 14, row)) >= GRAPHICS
    assert contrast(at(pixels, x, row), at(pixels, x - 14, row)) >= GRAPHICS


@pages
def test_the_hand_is_seen_by_its_rail(shown: Shown) -> None:
    pixels, layout = shown(REGION), lay_out(REGION.window)
    y = layout.board.top - style.RAIL_GAP - style.RAIL / 2
    ground = at(pixels, 3, y)
    covered = [contrast(at(pixels, sum(layout.columns[fret]) / 2, y), ground) >= GRAPHICS for fret in range(8, 14)]
    assert covered == [False, True, True, True, True, False]
    x = sum(layout.columns[10]) / 2
    assert contrast(at(pixels, x, y), at(pixels, x, y - 8)) >= GRAPHICS
    assert contrast(at(pixels, x, y), at(pixels, x, layout.board.top + 4)) >= GRAPHICS


@pages
def test_inlays_lie_off_the_board_and_stand_out(shown: Shown) -> None:
    pixels, layout = shown(REGION), lay_out(REGION.window)
    y = layout.board.bottom + style.INLAY_GAP + style.INLAY / 2
    ground = at(pixels, 3, y)
    places = {fret: sum(layout.columns[fret]) / 2 for fret in range(8, 14)}
    marked = {fret: contrast(at(pixels, x, y), ground) >= GRAPHICS for fret, x in places.items()}
    assert marked == {8: False, 9: True, 10: False, 11: False, 12: False, 13: False}
    assert all(contrast(at(pixels, places[12] + step, y), ground) >= GRAPHICS for step in (-7, 7))
    bare = shown(REGION.window)[round(layout.board.top) : round(layout.board.bottom)]
    columns = [bare[:, round(left) + 3 : round(right) - 3] for left, right in (layout.columns[9], layout.columns[10])]
    with_inlay, without = ({tuple(pixel) for pixel in column.reshape(-1, 3)} for column in columns)
    assert with_inlay == without, "nothing on the board tells a fret with an inlay from any other"


@pages
@pytest.mark.parametrize("place", [GUIDE, TONE, ROOT, SCALE])
def test_marks_and_their_labels_stand_out(shown: Shown, place: tuple[int, int]) -> None:
    pixels, bare, layout = shown(REGION), shown(REGION.window), lay_out(REGION.window)
    x, y = layout.centre(*place)
    fill = at(pixels, x - 8, y - 15) if place != SCALE else at(pixels, x, y)
    assert contrast(fill, at(bare, x - 40, y - 20)) >= GRAPHICS
    outside = shown(replace(REGION, index_fret=13, marks=()))
    assert contrast(fill, at(outside, x - 40, y - 20)) >= GRAPHICS
    if place != SCALE:
        assert text_contrast(pixels, fill, x, y - (5 if place == GUIDE else 0), 12) >= TEXT
    if place == ROOT:
        size = layout.size
        ring = at(pixels, x, y - size.disc / 2 - size.ring_gap - size.ring_line / 2)
        gap = at(pixels, x, y - size.disc / 2 - size.ring_gap / 2)
        assert contrast(ring, gap) >= GRAPHICS
        assert contrast(ring, at(bare, x - 40, y - 20)) >= GRAPHICS


@pages
def test_open_strings_stand_out_from_the_page(shown: Shown) -> None:
    pixels, layout = shown(OPEN), lay_out(OPEN.window)
    for string in (2, 3):
        x, y = layout.centre(string, 0)
        assert contrast(at(pixels, x - 8, y - 15), at(pixels, 3, 3)) >= GRAPHICS
    x, y = layout.centre(2, 0)
    size = layout.size
    ring = at(pixels, x, y - size.disc / 2 - size.ring_gap - size.ring_line / 2)
    assert contrast(ring, at(pixels, 3, 3)) >= GRAPHICS


@pages
def test_numbers_names_and_the_position_can_be_read(shown: Shown) -> None:
    pixels, layout = shown(REGION), lay_out(REGION.window)
    ground = at(pixels, 3, 3)
    for fret in range(8, 14):
        assert text_contrast(pixels, ground, sum(layout.columns[fret]) / 2, layout.number_y, 14) >= TEXT
    for y in layout.strings:
        assert text_contrast(pixels, ground, layout.name_x, y, 12) >= TEXT
    assert text_contrast(pixels, ground, sum(layout.columns[9]) / 2, layout.position_y, 20) >= TEXT


@pages
def test_a_capo_stands_out_from_the_board(shown: Shown) -> None:
    pixels, layout = shown(CAPO), lay_out(CAPO.window)
    assert layout.capo
    x, y = layout.capo.left + 6, between(layout)
    for beside in (layout.capo.left - 12, layout.capo.right + 12):
        assert contrast(at(pixels, x, y), at(pixels, beside, y)) >= GRAPHICS


def test_a_light_picture_is_the_filter_s_image_of_the_dark_one() -> None:
    one, other = light(REGION), following_light(REGION)
    assert np.abs(one - other).max() <= 2
    every = np.array(list(product(range(0, 256, 51), repeat=3)), dtype=float)
    assert np.abs(_filtered(every) - turned(every)).max() < 0.5


def test_no_pixel_of_a_picture_that_follows_is_wrong_on_the_other_page() -> None:
    """Soft edges on the page's ground are clear in part: no dark rim is left on a light page."""
    for picture in (REGION, OPEN, CAPO):
        assert np.abs(dark(picture) - following_dark(picture)).max() <= 2


@pytest.mark.parametrize(("shown", "seen"), list(product(PAGES, BLINDNESS)))
def test_guide_tones_stay_apart_from_others_for_colour_blind_eyes(shown: Shown, seen: str) -> None:
    pixels, layout = shown(REGION), lay_out(REGION.window)
    fills = [at(pixels, x - 8, y - 15) for x, y in (layout.centre(*GUIDE), layout.centre(*TONE))]
    one, other = (_lab(np.array(BLINDNESS[seen]) @ linear(fill)) for fill in fills)
    assert float(np.hypot.reduce(one - other)) > 40, "a just noticeable difference is about 2"


def _lab(light: Pixels) -> Pixels:
    """Convert linear sRGB to CIE L*a*b*, white D65 (IEC 61966-2-1, CIE 15; from memory)."""
    matrix = [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    ratios = np.clip(np.array(matrix) @ light / [0.9505, 1.0, 1.089], 0, None)
    x, y, z = np.where(ratios > 0.008856, np.cbrt(ratios), 7.787 * ratios + 16 / 116)
    return np.array([116 * y - 16, 500 * (x - y), 200 * (y - z)])
