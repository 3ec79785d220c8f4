"""The desk's page in a browser, beginning with a small recipe so that nothing takes long."""

import json
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.desk.asking import PATIENCE

SMALL: dict[str, Any] = {"title": "Small", "keys": ["F"], "regions": [5], "levels": [1], "kinds": ["locate"]}
"""One key in one place: nine cards."""
PHONE, DESKTOP = (360, 740), (1280, 900)
expect.set_options(timeout=PATIENCE * 1000)
VIEWS = ("choose", "changes", "recipes", "build", "work")

_KEEP = """
if (window === top && !sessionStorage.getItem("desk")) {{
  sessionStorage.setItem("desk", JSON.stringify({{recipe: {recipe}}}));
}}"""
_LISTEN = """
window.clips = [];
const play = HTMLMediaElement.prototype.play;
HTMLMediaElement.prototype.play = function () { window.clips.push(this); return play.call(this); };
"""
"""Keeps hold of what is played."""
_SHIFTS = """
window.shifted = 0;
new PerformanceObserver((list) => {
  for (const entry of list.getEntries()) if (!entry.hadRecentInput) window.shifted += entry.value;
}).observe({ type: "layout-shift", buffered: true });
"""
"""Adds up layout shifts that no input caused (W3C Layout Instability)."""


@contextmanager
def visiting(
    browser: Browser,
    url: str,
    *,
    size: tuple[int, int] = DESKTOP,
    scheme: Any = "light",
    recipe: dict[str, Any] | None = SMALL,
) -> Iterator[Page]:
    """Open the desk's page as a new visitor; what goes wrong on it fails the test.

    Args:
        browser: the browser.
        url: the desk's first address.
        size: of the window, CSS pixels.
        scheme: the colour scheme that the visitor prefers.
        recipe: what the page begins with; None for the default.
    """
    context = browser.new_context(
        viewport={"width": size[0], "height": size[1]}, color_scheme=scheme, accept_downloads=True
    )
    context.set_default_timeout(PATIENCE * 1000)
    if recipe is not None:
        context.add_init_script(_KEEP.format(recipe=json.dumps(recipe)))
    context.add_init_script(_LISTEN)
    context.add_init_script(_SHIFTS)
    wrong: list[str] = []
    try:
        page = watched(context, wrong)
        page.goto(url)
        yield page
    finally:
        context.close()
    assert wrong == [], wrong


def watched(context: BrowserContext, wrong: list[str]) -> Page:
    """Open a tab whose mistakes are written into a list."""
    page = context.new_page()
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on("console", lambda said: wrong.append(said.text) if said.type == "error" and _ours(said.text) else None)
    return page


def _ours(said: str) -> bool:
    """Tell a mistake of the page from an answer that says no, which browsers write down too."""
    return "the server responded with a status of 4" not in said


def show(page: Page, view: str) -> None:
    """Go to a part of the page, as a click on its name does."""
    page.locator(f'.views a[href="#{view}"]').click()
    expect(page.locator(f"#{view}")).to_be_visible()


def settled(page: Page) -> None:
    """Wait until the page is not at work: numbers, card and neck are those of the recipe."""
    page.wait_for_function("() => !document.querySelector('.page [aria-busy=true]')")
