"""A headless browser for tests: Chromium from the system, driven through playwright."""

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from playwright.sync_api import Browser, sync_playwright

_ARGUMENTS = (
    *("--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-sync"),
    *("--disable-background-networking", "--disable-component-update"),
)


@contextmanager
def chromium() -> Iterator[Browser]:
    """Start Chromium, and end it."""
    path = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    if path is None:
        pytest.fail(
            "these tests show cards in a real browser and find none: install Chromium "
            "(Debian: apt-get install chromium), or set CHROMIUM to the path of one",
            pytrace=False,
        )
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=list(_ARGUMENTS))
        yield browser
        browser.close()
