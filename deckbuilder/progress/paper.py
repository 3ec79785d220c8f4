"""Paper: a neck picture for print, where a dark ground would drink ink."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from io import BytesIO

import numpy as np
from numpy.typing import NDArray

from deckbuilder.picture.description import Ground, NeckPicture
from deckbuilder.picture.render import render


@lru_cache(maxsize=64)
def printed(picture: NeckPicture) -> NDArray[np.uint8]:
    """Draw a neck picture for paper: as on a light page, its ground the paper's own white.

    Args:
        picture: what it shows.

    Returns:
        Red, green and blue from 0 to 255, shape (height, width, 3).
    """
    from PIL import Image

    with Image.open(BytesIO(render(replace(picture, ground=Ground.LIGHT)))) as image:
        indexed = image.convert("P")
    colours = np.array(indexed.getpalette(), dtype=np.uint8).reshape(-1, 3)
    colours[0] = 255
    return np.take(colours, np.asarray(indexed), axis=0)
