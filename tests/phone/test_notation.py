"""Written music in a real browser as a phone 360 CSS pixels wide shows it, light and dark.

Minimum contrast is WCAG 2.2, 1.4.3 (AA). Set CARD_SCREENSHOTS to a folder to keep what the tests saw.
"""

import os
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from playwright.sync_api import Browser, Page

import deckbuilder
from deckbuilder.notation.description import Score
from deckbuilder.notation.render import render
from tests.notation.scores import CROWDED, INSTRUMENTS, LINE

pytestmark = pytest.mark.xdist_group("browser")

SCORES = {"line": LINE, "crowded": CROWDED, **INSTRUMENTS}
STYLE = (Path(deckbuilder.__file__).parent / "deck" / "templates" / "style.css").read_text(encoding="utf-8")
LEAST_FRET, LEAST_CONTRAST = 13, 4.5
"""CSS pixels from top to bottom of a fret number, the least of what the project asks; a ratio."""

MEASURE = """(svg) => {
    document.body.innerHTML = svg;
    const root = document.querySelector("svg");
    const drawn = [...root.children].filter((part) => part.tagName === "g").map((part) => part.getBoundingClientRect());
    const sizes = (name) => [...root.querySelectorAll(`.${name} use`)].map((part) => {
        const box = part.getBoundingClientRect();
        return [box.left, box.top, box.right, box.bottom];
    });
    const whole = root.getBoundingClientRect();
    return {
        whole: [whole.left, whole.top, whole.right, whole.bottom],
        rows: drawn.map((box) => [box.left, box.top, box.right, box.bottom]),
        frets: sizes("frets"), degrees: sizes("degrees"), chords: sizes("chords"),
    };
}"""


@pytest.fixture(scope="module")
def page(browser: Browser) -> Iterator[Page]:
    page = browser.new_page(viewport={"width": 360, "height": 640}, device_scale_factor=2)
    page.set_content("<!doctype html><style>body{margin:0}svg{display:block}</style><body></body>")
    yield page
    page.close()


@pytest.mark.parametrize("score", SCORES.values(), ids=SCORES)
def test_nothing_is_cut_and_numbers_are_legible(page: Page, score: Score) -> None:
    seen = page.evaluate(MEASURE, render(score).decode())
    left, top, right, bottom = seen["whole"]
    assert (left, right) == (0, 360)
    for row in seen["rows"]:
        assert row[0] >= left
        assert row[1] >= top
        assert row[2] <= right
        assert row[3] <= bottom
    assert all(one[3] <= other[1] for one, other in zip(seen["rows"], seen["rows"][1:], strict=False)), (
        "rows stand apart"
    )
    assert len(seen["frets"]) == len(score.notes)
    assert min(box[3] - box[1] for box in seen["frets"]) >= LEAST_FRET
    for group in ("frets", "degrees", "chords"):
        boxes = seen[group]
        for number, one in enumerate(boxes):
            for other in boxes[number + 1 :]:
                across = min(one[2], other[2]) - max(one[0], other[0])
                down = min(one[3], other[3]) - max(one[1], other[1])
                assert across <= 0 or down <= 0, f"{group} overlap"


@pytest.mark.parametrize("scheme", ["light", "dark", "nightMode"])
def test_lines_and_letters_stand_out_from_the_card(browser: Browser, tmp_path: Path, scheme: str) -> None:
    (tmp_path / "line.svg").write_bytes(render(LINE))
    (tmp_path / "card.html").write_text(
        f'<!doctype html><meta charset="utf-8"><style>{STYLE}</style><body class="card {scheme}">'
        '<div class="notation"><img src="line.svg" alt="A line"></div></body>',
        encoding="utf-8",
    )
    context = browser.new_context(
        viewport={"width": 360, "height": 640},
        color_scheme="dark" if scheme == "dark" else "light",
        device_scale_factor=2,
        offline=True,
    )
    shown = context.new_page()
    shown.goto((tmp_path / "card.html").as_uri())
    assert shown.evaluate("[...document.images].every((image) => image.naturalWidth === 360)")
    pixels = np.asarray(Image.open(BytesIO(shown.screenshot())).convert("RGB"))
    context.close()
    if kept := os.environ.get("CARD_SCREENSHOTS"):
        Image.fromarray(pixels).save(Path(kept) / f"notation-{scheme}.png")
    light = _luminance(pixels)
    ground = light[-1, -1]
    assert (ground > 0.5) == (scheme == "light")
    contrast = (np.maximum(light, ground) + 0.05) / (np.minimum(light, ground) + 0.05)
    assert contrast.max() >= 2 * LEAST_CONTRAST
    assert (contrast >= LEAST_CONTRAST).mean() > 0.02, "lines are no hairlines that fade"


def _luminance(pixels: NDArray[np.uint8]) -> NDArray[np.float64]:
    """Return the relative luminance of WCAG 2.2."""
    parts = pixels / 255
    linear = np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)
    luminance: NDArray[np.float64] = linear @ np.array([0.2126, 0.7152, 0.0722])
    return luminance
