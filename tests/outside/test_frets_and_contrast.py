"""Neck pictures against rules made by others: a luthier's fret rule and WCAG 2.2's contrast.

Sources: the rule of 17.817 (luthiers' common practice, from memory): the distance from each fret to the next is
the string length that is left divided by 17.817. Fret places for a 25.5-inch scale as fret tables print them (from
memory). W3C, *Web Content Accessibility Guidelines 2.2*: relative luminance and contrast ratio (definitions),
4.5:1 for text (1.4.3), 3:1 for graphics (1.4.11).
"""

from io import BytesIO
from itertools import pairwise

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from deckbuilder.picture.description import Mark, NeckPicture, Role
from deckbuilder.picture.geometry import fret_place, lay_out
from deckbuilder.picture.render import render
from deckbuilder.picture.style import PALETTE

NAMES = ("E", "B", "G", "D", "A", "E")


def pixels(picture: NeckPicture) -> NDArray[np.uint8]:
    with Image.open(BytesIO(render(picture))) as image:
        return np.array(image.convert("RGB"))


def channels(colour: str) -> tuple[int, int, int]:
    red, green, blue = bytes.fromhex(colour.removeprefix("#"))
    return red, green, blue


def luminance(colour: str) -> float:
    """Compute relative luminance as WCAG 2.2 defines it."""
    shares = [value / 255 for value in channels(colour)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in shares)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    darker, lighter = sorted([luminance(one), luminance(other)])
    return (lighter + 0.05) / (darker + 0.05)


def test_the_contrast_formula_gives_the_known_values() -> None:
    assert contrast("#ffffff", "#000000") == pytest.approx(21)
    # The greys on either side of 4.5:1 on white, known to every checker (from memory).
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)


@pytest.mark.parametrize(
    ("text", "behind"),
    [
        (PALETTE.label, PALETTE.guide),
        (PALETTE.label, PALETTE.tone),
        (PALETTE.quiet_text, PALETTE.ground),
        (PALETTE.position_text, PALETTE.ground),
    ],
)
def test_text_contrast(text: str, behind: str) -> None:
    assert contrast(text, behind) >= 4.5


@pytest.mark.parametrize("mark", [PALETTE.guide, PALETTE.tone, PALETTE.scale, PALETTE.root_ring])
@pytest.mark.parametrize("behind", [PALETTE.ground, PALETTE.board, PALETTE.hand_span, PALETTE.inlay, PALETTE.halo])
def test_marks_stand_out_from_whatever_is_behind_them(mark: str, behind: str) -> None:
    assert contrast(mark, behind) >= 3


@pytest.mark.parametrize("behind", [PALETTE.board, PALETTE.hand_span])
def test_strings_and_nut_stand_out_from_the_board(behind: str) -> None:
    assert contrast(PALETTE.string, behind) >= 3
    assert contrast(PALETTE.nut, behind) >= 3


@pytest.mark.parametrize(
    ("picture", "least"),
    [
        (
            NeckPicture(6, 8, 13, 9, (Mark(6, 12, Role.GUIDE, "3"), Mark(3, 11, Role.TONE, "♭13", True)), NAMES),
            30,
        ),
        (
            NeckPicture(6, 0, 12, None, (Mark(2, 12, Role.GUIDE, "B♭"), Mark(1, 1, Role.TONE, "F", True)), NAMES),
            15,
        ),
    ],
)
def test_the_checked_colours_are_the_ones_in_the_picture(picture: NeckPicture, least: int) -> None:
    """Count pixels: solid colours survive the palette exactly, and letters have solid cores."""
    image = pixels(picture).reshape(-1, 3)
    seen = [PALETTE.ground, PALETTE.board, PALETTE.guide, PALETTE.tone, PALETTE.root_ring, PALETTE.label]
    seen += [PALETTE.quiet_text, PALETTE.string, PALETTE.wire, PALETTE.inlay]
    for colour in seen:
        assert (image == channels(colour)).all(axis=1).sum() >= least, colour


def test_fret_places_follow_the_rule_of_17_817() -> None:
    left = 1.0
    for fret in range(1, 25):
        left -= left / 17.817
        assert 1 - left == pytest.approx(fret_place(fret), abs=2e-5)


@pytest.mark.parametrize(
    ("fret", "inches"), [(1, 1.431), (2, 2.782), (3, 4.057), (5, 6.397), (7, 8.481), (9, 10.338), (12, 12.750)]
)
def test_fret_places_of_a_twenty_five_and_a_half_inch_scale(fret: int, inches: float) -> None:
    assert 25.5 * fret_place(fret) == pytest.approx(inches, abs=0.0006)


@pytest.mark.parametrize(("first", "last"), [(8, 13), (0, 12), (1, 6), (12, 17)])
def test_wires_in_the_picture_lie_where_the_rule_puts_them(first: int, last: int) -> None:
    """Find the wires' colour between two strings and compare the gaps with the rule's, to the pixel."""
    picture = NeckPicture(6, first, last, None, ())
    layout = lay_out(picture)
    row = round((layout.strings[0] + layout.strings[1]) / 2)
    metal = np.flatnonzero((pixels(picture)[row] == channels(PALETTE.wire)).all(axis=1))
    groups = np.split(metal, np.flatnonzero(np.diff(metal) > 1) + 1)
    found = [float(group.mean()) for group in groups]
    shown = range(max(first - 1, 1), last + 1)
    assert len(found) == len(shown)
    left = [(1 - 1 / 17.817) ** fret for fret in shown]
    scale = (found[-1] - found[0]) / (left[0] - left[-1])
    for (a, b), (x, y) in zip(pairwise(left), pairwise(found), strict=True):
        assert y - x == pytest.approx((a - b) * scale, abs=1.5)
