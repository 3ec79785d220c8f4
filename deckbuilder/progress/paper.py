"""Paper: a neck picture in colours for print, where a dark ground would drink ink.

Shapes, labels and the two accents stay; ground, board, strings and quiet text change places between dark and light.
"""

from __future__ import annotations

from dataclasses import astuple, replace
from io import BytesIO

import numpy as np
from numpy.typing import NDArray

from deckbuilder.picture.colours import rgb
from deckbuilder.picture.description import NeckPicture
from deckbuilder.picture.render import render
from deckbuilder.picture.style import BLENDS, PALETTE

_PAPER = replace(
    PALETTE,
    ground="#ffffff",
    board="#f3eee7",
    hand_span="#e6ddd0",
    behind_capo="#f7f5f2",
    inlay="#d6cbbc",
    wire="#a39a8f",
    string="#77706a",
    nut="#3a3632",
    capo="#8c95a1",
    capo_edge="#5d6571",
    halo="#ffffff",
    scale="#9a9d9c",
    root_ring="#15171a",
    quiet_text="#565e68",
    position_text="#15171a",
)


def printed(picture: NeckPicture) -> NDArray[np.uint8]:
    """Draw a neck picture for paper.

    Args:
        picture: what it shows.

    Returns:
        Red, green and blue from 0 to 255, shape (height, width, 3).
    """
    from PIL import Image

    with Image.open(BytesIO(render(picture))) as image:
        indexed = image.convert("P")
    colours = np.array(indexed.getpalette(), dtype=float).reshape(-1, 3)
    recoloured = np.array([_recoloured(colour) for colour in colours], dtype=np.uint8)
    return np.take(recoloured, np.asarray(indexed), axis=0)


def _recoloured(colour: NDArray[np.float64]) -> NDArray[np.float64]:
    """Take a colour to paper: a solid one by name, a blended one as the same step between two."""
    twin = dict(zip(astuple(PALETTE), astuple(_PAPER), strict=True))
    best, found = np.inf, colour
    for solid, paper in twin.items():
        distance = float(np.abs(colour - rgb(solid)).sum())
        if distance < best:
            best, found = distance, np.array(rgb(paper), dtype=float)
    for one, other in BLENDS:
        start, end = np.array(rgb(one), dtype=float), np.array(rgb(other), dtype=float)
        way = end - start
        step = float(np.clip((colour - start) @ way / (way @ way), 0, 1))
        distance = float(np.abs(colour - (start + step * way)).sum())
        if distance < best:
            best = distance
            paper_start, paper_end = np.array(rgb(twin[one]), dtype=float), np.array(rgb(twin[other]), dtype=float)
            found = paper_start + step * (paper_end - paper_start)
    return np.rint(found)
