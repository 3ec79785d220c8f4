"""The rendered PNG: same bytes for the same description, opaque, of one width, with legible labels."""

import doctest
import hashlib
import random
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from dataclasses import asdict, replace
from io import BytesIO
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest
from hypothesis import given, settings
from numpy.typing import NDArray
from PIL import Image

from deckbuilder.picture import colours, geometry, neck
from deckbuilder.picture.canvas import CAP_HEIGHT
from deckbuilder.picture.colours import palette, rgb, turned
from deckbuilder.picture.description import Ground, Mark, NeckPicture, Role
from deckbuilder.picture.geometry import lay_out
from deckbuilder.picture.render import render
from deckbuilder.picture.style import LIGHT_PAGE, PALETTE, PIXELS_PER_CSS_PIXEL, WIDTH

from .windows import pictures

NAMES = ("E", "B", "G", "D", "A", "E")
REGION = NeckPicture(
    strings=6,
    first_fret=8,
    last_fret=13,
    index_fret=9,
    string_names=NAMES,
    marks=(
        Mark(6, 8, Role.TONE, "1", root=True),
        Mark(6, 12, Role.GUIDE, "3"),
        Mark(5, 10, Role.TONE, "5"),
        Mark(5, 13, Role.GUIDE, "♭7"),
        Mark(4, 12, Role.SCALE),
        Mark(3, 13, Role.TONE, "♭13"),
    ),
)
WHOLE_NECK = NeckPicture(
    strings=6,
    first_fret=0,
    last_fret=12,
    index_fret=None,
    string_names=NAMES,
    marks=(
        Mark(2, 11, Role.TONE, "B♭"),
        Mark(2, 12, Role.TONE, "B"),
        Mark(1, 1, Role.TONE, "F", root=True),
        Mark(4, 4, Role.GUIDE, "F♯"),
    ),
)


def run_python(program: str) -> str:
    root = Path(__file__).parents[2]
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True, cwd=root)
    return done.stdout.strip()


def pixels(picture: NeckPicture) -> NDArray[np.uint8]:
    with Image.open(BytesIO(render(picture))) as image:
        return np.array(image.convert("RGB"))


@settings(deadline=None, max_examples=60)
@given(pictures())
def test_every_picture_is_a_png_of_the_laid_out_size_and_opaque_unless_it_follows(picture: NeckPicture) -> None:
    with Image.open(BytesIO(render(picture))) as image:
        image.load()
        assert image.format == "PNG"
        assert image.mode == "P"
        assert ("transparency" in image.info) == (picture.ground is Ground.FOLLOW)
        assert image.size == (WIDTH, lay_out(replace(picture, marks=())).height)


def test_the_same_picture_gives_the_same_bytes_whatever_was_drawn_before() -> None:
    family = [
        replace(REGION, index_fret=10),
        REGION,
        WHOLE_NECK,
        replace(REGION, left_handed=True),
        replace(REGION, marks=()),
    ]
    first = {picture: render(picture) for picture in family}
    for seed in range(3):
        random.Random(seed).shuffle(family)
        assert all(render(picture) == first[picture] for picture in family)
    assert len(set(first.values())) == len(family)


def test_the_order_in_which_marks_are_listed_does_not_matter() -> None:
    assert render(replace(REGION, marks=REGION.marks[::-1])) == render(REGION)


def test_neither_a_fresh_process_nor_the_users_matplotlib_settings_change_the_bytes() -> None:
    program = """
import hashlib, matplotlib
matplotlib.rcParams.update({"savefig.dpi": 300, "font.family": "serif", "patch.linewidth": 9,
    "patch.antialiased": False, "path.sketch": (9, 9, 9), "figure.facecolor": "red", "path.snap": True})
from tests.picture.test_render import REGION, WHOLE_NECK
from deckbuilder.picture.render import render
print(hashlib.sha256(render(WHOLE_NECK) + render(REGION)).hexdigest())
"""
    assert run_python(program) == hashlib.sha256(render(WHOLE_NECK) + render(REGION)).hexdigest()


def test_threads_that_draw_at_once_give_the_same_bytes() -> None:
    family = [replace(REGION, first_fret=first, marks=()) for first in range(3, 9)]
    with ThreadPoolExecutor(4) as pool:
        at_once = list(pool.map(render, family))
    geometry.lay_out.cache_clear()
    assert at_once == [render(picture) for picture in family]


def test_describing_and_laying_out_do_not_load_matplotlib() -> None:
    program = """
import sys
import deckbuilder.picture.description, deckbuilder.picture.geometry, deckbuilder.picture.render
print("matplotlib" in sys.modules)
"""
    assert run_python(program) == "False"


@pytest.mark.parametrize("module", [colours, geometry, neck])
def test_examples_in_docstrings_are_true(module: ModuleType) -> None:
    result = doctest.testmod(module)
    assert result.attempted > 0
    assert result.failed == 0


def label_height(picture: NeckPicture, mark: Mark) -> float:
    """Measure a label's letter size in CSS pixels from the rows in which it changes the picture."""
    bare = pixels(replace(picture, marks=(replace(mark, label=""),)))
    labelled = pixels(replace(picture, marks=(mark,)))
    rows = np.flatnonzero((bare != labelled).any(axis=(1, 2)))
    return float(rows[-1] - rows[0] + 1) / CAP_HEIGHT / PIXELS_PER_CSS_PIXEL


@pytest.mark.parametrize("role", [Role.GUIDE, Role.TONE])
def test_labels_are_large_enough_to_read_on_a_phone(role: Role) -> None:
    assert label_height(REGION, Mark(3, 10, role, "13")) >= 13
    assert label_height(WHOLE_NECK, Mark(3, 12, role, "E")) >= 11


@pytest.mark.parametrize("picture", [REGION, WHOLE_NECK])
@pytest.mark.parametrize("role", [Role.GUIDE, Role.TONE])
@pytest.mark.parametrize("label", ["♭13", "B♭", "F♯", "♯11"])
def test_a_label_stays_inside_its_mark(picture: NeckPicture, role: Role, label: str) -> None:
    mark = Mark(3, picture.last_fret, role, "")
    bare = pixels(replace(picture, marks=(mark,)))
    labelled = pixels(replace(picture, marks=(replace(mark, label=label),)))
    filled = (bare == rgb(PALETTE.guide if role is Role.GUIDE else PALETTE.tone)).all(axis=2)
    changed = (bare != labelled).any(axis=2)
    assert changed.any()
    assert filled[changed].all()


def test_a_scale_tone_carries_no_label() -> None:
    one = replace(REGION, marks=(Mark(3, 10, Role.SCALE, "9"),))
    other = replace(REGION, marks=(Mark(3, 10, Role.SCALE),))
    assert render(one) == render(other)


@pytest.mark.parametrize("picture", [REGION, WHOLE_NECK])
def test_roles_and_the_root_differ_in_shape_not_only_in_colour(picture: NeckPicture) -> None:
    """Compare silhouettes: what differs from the bare neck, whatever its colour."""
    bare = pixels(replace(picture, marks=()))

    def silhouette(role: Role, root: bool = False) -> NDArray[np.bool_]:
        mark = Mark(3, picture.last_fret - 1, role, root=root)
        return np.asarray((pixels(replace(picture, marks=(mark,))) != bare).any(axis=2))

    guide, tone, scale = silhouette(Role.GUIDE), silhouette(Role.TONE), silhouette(Role.SCALE)
    assert (guide ^ tone).sum() > 0.15 * tone.sum()
    assert scale.sum() < 0.35 * tone.sum()
    for role, plain in ((Role.GUIDE, guide), (Role.TONE, tone), (Role.SCALE, scale)):
        ringed = silhouette(role, root=True)
        assert ringed.sum() > 1.1 * plain.sum()


def test_a_left_handed_picture_mirrors_marks_and_not_text() -> None:
    bare = replace(REGION, string_names=(), index_fret=None, marks=(Mark(2, 9, Role.TONE),))
    right, left = pixels(bare), pixels(replace(bare, left_handed=True))
    blue = (right == rgb(PALETTE.tone)).all(axis=2), (left == rgb(PALETTE.tone)).all(axis=2)
    middles = [float(np.flatnonzero(where.any(axis=0)).mean()) for where in blue]
    assert middles[1] == pytest.approx(WIDTH - 1 - middles[0], abs=1.5)
    lettered = replace(bare, marks=(Mark(2, 9, Role.TONE, "♭7"),))
    written = [pixels(replace(lettered, left_handed=hand)) for hand in (False, True)]
    glyphs = []
    for image, plain in zip(written, (right, left), strict=True):
        changed = (image != plain).any(axis=2)
        rows, across = np.flatnonzero(changed.any(axis=1)), np.flatnonzero(changed.any(axis=0))
        glyphs.append(image[rows[0] : rows[-1] + 1, across[0] : across[-1] + 1])
    assert np.array_equal(glyphs[0], glyphs[1])


@pytest.mark.parametrize("picture", [REGION, WHOLE_NECK])
def test_a_picture_is_small(picture: NeckPicture) -> None:
    assert len(render(picture)) < 20_000


@pytest.mark.parametrize("ground", Ground)
def test_the_palette_fits_one_byte_and_holds_every_solid_colour(ground: Ground) -> None:
    rows = [tuple(row[:3]) for row in palette(ground).tolist()]
    assert len(rows) <= 256
    solids = [rgb(colour) for colour in asdict(PALETTE).values()]
    if ground is Ground.LIGHT:
        solids = [rgb(LIGHT_PAGE), *(tuple(row) for row in turned(np.array(solids[1:], dtype=float)).round().tolist())]
    assert rows[: len(solids)] == solids
