import io

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from deckbuilder.deck.wholeness import png_problem
from deckbuilder.picture.png import png


@given(st.integers(0, 2**32 - 1), st.integers(1, 40), st.integers(1, 40), st.integers(1, 256))
def test_another_reader_sees_what_was_written(seed: int, width: int, height: int, colours: int) -> None:
    chance = np.random.RandomState(seed)
    palette = chance.randint(0, 256, (colours, 3)).astype(np.uint8)
    indices = chance.randint(0, colours, (height, width)).astype(np.uint8)
    data = png(indices, palette)
    assert png_problem(data) == ""
    with Image.open(io.BytesIO(data)) as image:
        assert np.array_equal(np.asarray(image.convert("RGB")), palette[indices])


@pytest.mark.parametrize("rows", [np.s_[::2], np.s_[:, ::-1]])
def test_what_lies_scattered_in_memory_is_written_in_order(rows: tuple[slice, ...]) -> None:
    indices = np.arange(200, dtype=np.uint8).reshape(20, 10)
    palette = np.arange(768, dtype=np.uint8).reshape(256, 3)
    assert png(indices[rows], palette) == png(indices[rows].copy(), palette)
