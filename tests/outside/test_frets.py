"""Neck pictures against rules made by others: a luthier's fret rule.

Sources: the rule of 17.817 (luthiers' common practice, from memory): the distance from each fret to the next is
the string length that is left divided by 17.817. Fret places for a 25.5-inch scale as fret tables print them (from
memory).
"""

from io import BytesIO
from itertools import pairwise

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from deckbuilder.picture.description import NeckPicture
from deckbuilder.picture.geometry import fret_place, lay_out
from deckbuilder.picture.render import render
from deckbuilder.picture.style import PALETTE


def pixels(picture: NeckPicture) -> NDArray[np.uint8]:
    with Image.open(BytesIO(render(picture))) as image:
        return np.array(image.convert("RGB"))


def channels(colour: str) -> tuple[int, int, int]:
    red, green, blue = bytes.fromhex(colour.removeprefix("#"))
    return red, green, blue


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
