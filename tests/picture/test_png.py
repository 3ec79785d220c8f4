import io

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from deckbuilder.deck.wholeness import png_problem
from deckbuilder.picture.png import png


@given(st.integers(0, 2**32 - 1), st.integers(1, 40), st.integers(1, 40), st.integers(1, 256), st.integers(0, 256))
def test_another_reader_sees_what_was_written(
    seed: int, width: int, height: int, colours: int, opaque_from: int
) -> None:
    chance = np.random.RandomState(seed)
    palette = chance.randint(0, 256, (colours, 4)).astype(np.uint8)
    palette[opaque_from:, 3] = 255
    indices = chance.randint(0, colours, (height, width)).astype(np.uint8)
    data = png(indices, palette)
    assert png_problem(data) == ""
    with Image.open(io.BytesIO(data)) as image:
        assert ("transparency" in image.info) == bool((palette[:, 3] < 255).any())
        assert np.array_equal(np.asarray(image.convert("RGBA")), palette[indices])


@pytest.mark.parametrize("rows", [np.s_[::2], np.s_[:, ::-1]])
def test_what_lies_scattered_in_memory_is_written_in_order(rows: tuple[slice, ...]) -> None:
    indices = np.arange(200, dtype=np.uint8).reshape(20, 10)
    palette = np.arange(1024, dtype=np.uint8).reshape(256, 4)
    assert png(indices[rows], palette) == png(indices[rows].copy(), palette)
