"""How the page looks and reads: on a phone and a desktop, light and dark, with large type, to a screen reader."""

from collections.abc import Iterator
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from tests.desk.asking import Asker
from tests.desk.pages import DESKTOP, PHONE, SMALL, VIEWS, settled, show, visiting
from tests.phone.test_cards import MEASURE

pytestmark = pytest.mark.xdist_group("browser")

TUNE = {"name": "Turnaround", "key": "F", "bars": ["| Imaj7 VI7alt | ii7 V7 |"]}
FULL: dict[str, Any] = {**SMALL, "changes": [TUNE]}
"""With a tune, so that no part of the page is empty."""

GOOD_SHIFT = 0.1
"""Web Vitals: a layout that shifts less is good."""
SMALLEST_TARGET = 24
"""WCAG 2.2, 2.5.8."""
OUTSIDE = """() => [...document.querySelectorAll("main *, aside *, header *, .bar *")]
  .filter((element) => element.checkVisibility() && element.getBoundingClientRect().width > 1)
  .filter((element) => !element.closest(".skip, .sr, .board, .score, .note-line"))
  .filter((element) => element.getBoundingClientRect().right > innerWidth + 1)
  .map((element) => element.outerHTML.slice(0, 80))"""
CUT = """() => [...document.querySelectorAll("button, .button, .segments span, .key span, summary, .strip dd")]
  .filter((element) => element.checkVisibility())
  .filter(({ scrollWidth: w, clientWidth: in_, scrollHeight: h, clientHeight: of }) => w > in_ + 1 || h > of + 2)
  .map((element) => element.textContent)"""


@pytest.fixture(params=[(PHONE, "light"), (PHONE, "dark"), (DESKTOP, "light"), (DESKTOP, "dark")], ids=str)
def page(browser: Browser, asker: Asker, request: pytest.FixtureRequest) -> Iterator[Page]:
    size, scheme = request.param
    with visiting(browser, asker.desk.url, size=size, scheme=scheme, recipe=FULL) as found:
        yield found


def test_every_part_is_accessible_readable_and_stands_still(page: Page) -> None:
    """Rules of axe-core; type, contrast and targets as measured; layout shift (W3C Layout Instability)."""
    settled(page)
    for details in page.locator("details").all():
        details.evaluate("(it) => { it.open = true; }")
    for view in VIEWS:
        show(page, view)
        settled(page)
        found = Axe().run(page, options={"preload": False}).response["violations"]
        assert [(rule["id"], rule["impact"], rule["nodes"][0]["html"]) for rule in found] == [], view
        seen = page.evaluate(MEASURE)
        for text in seen["texts"]:
            assert text["size"] >= 14, text
            assert text["contrast"] >= 4.5, text
        assert [target for target in seen["targets"] if target["box"]["height"] < SMALLEST_TARGET] == [], view
    shifted = page.evaluate("window.shifted")
    print(f"layout shift {shifted:.3f}")
    assert shifted < GOOD_SHIFT


@pytest.mark.parametrize(("width", "type_size"), [(320, 100), (360, 100), (360, 200), (1280, 200)])
def test_nothing_is_lost_or_scrolls_sideways(browser: Browser, asker: Asker, width: int, type_size: int) -> None:
    """WCAG 2.2, 1.4.4 (text at 200 %) and 1.4.10 (320 CSS pixels wide)."""
    with visiting(browser, asker.desk.url, size=(width, 800), recipe=FULL) as page:
        page.evaluate("(size) => { document.documentElement.style.fontSize = `${size}%`; }", type_size)
        settled(page)
        for view in VIEWS:
            show(page, view)
            assert page.evaluate("document.documentElement.scrollWidth") <= width, view
            assert page.evaluate(OUTSIDE) == [], view
            assert page.evaluate(CUT) == [], view


@pytest.mark.parametrize("size", [(1024, 768), (1280, 900), (1440, 900)], ids=str)
def test_beside_the_choices_all_of_an_answers_neck_is_seen(
    browser: Browser, asker: Asker, size: tuple[int, int]
) -> None:
    """Between the names of the page's parts and the numbers, before anything is scrolled; no button lies over it."""
    with visiting(browser, asker.desk.url, size=size) as page:
        settled(page)
        page.get_by_role("button", name="Turn over").click()
        page.locator("#card .neck img").evaluate("(image) => image.decode()")
        neck, plays, frame, numbers = (
            edges(page, place) for place in ("#card .neck img", "#card .plays", "#card", ".numbers")
        )
        assert neck[1] <= plays[0]
        assert plays[1] <= frame[1] < numbers[0]
        assert numbers[1] <= size[1]


def edges(page: Page, place: str) -> tuple[float, float]:
    """Return where something begins and ends on the screen, from the top, CSS px."""
    box = page.locator(place).bounding_box()
    assert box
    return box["y"], box["y"] + box["height"]
