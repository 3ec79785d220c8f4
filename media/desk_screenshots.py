"""Screenshots of the desk's page, which `media.make_screenshots` makes with those of cards."""

import io
from pathlib import Path
from typing import Any

from PIL import Image
from playwright.sync_api import Browser, Page, expect

from tests.desk.asking import open_desk
from tests.desk.pages import settled, show, visiting
from tests.progress.conftest import DAYS, uneven
from tests.progress.exports import write_export
from tests.progress.learner import studied

PHONE, DESKTOP = (360, 740), (1280, 900)
RECIPE: dict[str, Any] = {
    "title": "Two keys",
    "keys": ["F", "Bb"],
    "regions": [1, 5],
    "levels": [1, 2],
    "kinds": ["locate"],
}
TUNE: dict[str, Any] = {
    "name": "Twelve-bar blues",
    "key": "F",
    "bars": [
        "| I7  | IV7   | I7           | I7alt        |",
        "| IV7 | #iv°7 | I7           | iiiø VI7alt  |",
        "| ii7 | V7alt | I7 VI7alt    | ii7 V7alt    |",
    ],
}


def desk_screenshots(browser: Browser, folder: Path) -> dict[str, list[Image.Image]]:
    """Return what the page looks like, by the name of the picture.

    Args:
        browser: the browser.
        folder: where the desk works.
    """
    with open_desk(folder) as asker:
        return {
            "desk-choose": [_choose(browser, asker.desk.url)],
            "desk-changes": [_changes(browser, asker.desk.url)],
            "desk-work": [_work(browser, asker.desk.url, folder)],
            "desk-phone": list(_phone(browser, asker.desk.url)),
        }


def _choose(browser: Browser, url: str) -> Image.Image:
    with visiting(browser, url, size=DESKTOP, recipe=None) as page:
        settled(page)
        page.locator("#sample-kind").select_option("locate")
        page.get_by_role("button", name="Turn over").click()
        page.locator("#card .neck img").evaluate("(image) => image.decode()")
        page.evaluate("scrollTo(0, 0)")
        return _shot(page)


def _changes(browser: Browser, url: str) -> Image.Image:
    with visiting(browser, url, size=DESKTOP, scheme="dark", recipe={**RECIPE, "changes": [TUNE]}) as page:
        show(page, "changes")
        expect(page.locator(".passage")).to_have_count(1)
        settled(page)
        page.locator(".tune").scroll_into_view_if_needed()
        page.evaluate("document.querySelector('.tune').scrollIntoView()")
        return _shot(page)


def _work(browser: Browser, url: str, folder: Path) -> Image.Image:
    export = write_export(folder / "export.apkg", studied(uneven, seed=3, days=DAYS), "anki21b")
    with visiting(browser, url, size=DESKTOP, recipe=RECIPE) as page:
        show(page, "work")
        page.locator("#history-file").set_input_files(export)
        expect(page.locator("#found")).to_be_visible()
        page.evaluate("document.querySelector('#found').scrollIntoView()")
        return _shot(page)


def _phone(browser: Browser, url: str) -> "list[Image.Image]":
    """Three looks at the page on a phone: keys and levels, a card, the deck on its way."""
    shots = []
    with visiting(browser, url, size=PHONE, recipe=RECIPE) as page:
        settled(page)
        page.evaluate("document.querySelector('[data-field=regions]').scrollIntoView()")
        shots.append(_shot(page))
    with visiting(browser, url, size=PHONE, scheme="dark", recipe={**RECIPE, "changes": [TUNE]}) as page:
        show(page, "changes")
        expect(page.locator(".passage")).to_have_count(1)
        page.evaluate("document.querySelector('.section').scrollIntoView()")
        shots.append(_shot(page))
    with visiting(browser, url, size=PHONE, recipe=RECIPE) as page:
        show(page, "build")
        page.get_by_role("button", name="Build the deck").click()
        expect(page.get_by_role("heading", name="Your deck is ready")).to_be_visible()
        page.get_by_role("button", name="To the phone").click()
        expect(page.locator("#qr svg")).to_be_visible()
        page.evaluate("document.querySelector('#phone').scrollIntoView()")
        shots.append(_shot(page))
    return shots


def _shot(page: Page) -> Image.Image:
    page.evaluate("Promise.all([...document.images].map((image) => image.decode().catch(() => {})))")
    return Image.open(io.BytesIO(page.screenshot())).convert("RGB")
