"""A headless browser for tests, driven through playwright."""

import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager

from playwright.sync_api import Browser, Error, Playwright, sync_playwright

from tests.browser.choice import VARIABLE, candidates

_ARGUMENTS = (
    *("--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-sync"),
    *("--disable-background-networking", "--disable-component-update"),
)
"""It shows our own pages only: it needs no sandbox, which root has not, and has nothing to ask the network."""
_NOT_THERE = "Executable doesn't exist"


class NoBrowserError(Exception):
    """No browser starts; the message says what to install."""

    def __init__(self, tried: Sequence[str]) -> None:
        named = os.environ.get(VARIABLE)
        remedy = (
            f"{VARIABLE}={named} is none that starts: name another, or unset it"
            if named
            else "none is here: install Chrome, Chromium or Edge (Debian, Ubuntu: sudo apt-get install chromium "
            f"fonts-dejavu-core), or set {VARIABLE} to the path of one"
        )
        super().__init__("\n".join((f"the tests show cards in a real browser, and {remedy}", *tried)))


def launched(playwright: Playwright) -> tuple[Browser, str]:
    """Start the first browser that starts.

    Args:
        playwright: what drives it.

    Returns:
        The browser, and where it lies.

    Raises:
        NoBrowserError: none starts.
    """
    tried: list[str] = []
    for path in candidates(os.environ, sys.platform, os.path.isfile):
        try:
            browser = playwright.chromium.launch(executable_path=path, args=list(_ARGUMENTS))
        except Error as error:
            if path is not None or _NOT_THERE not in error.message:
                tried.append(f"  {path or 'Playwright’s own'} does not start: {error.message.strip().splitlines()[0]}")
        else:
            return browser, path or "Playwright’s own"
    raise NoBrowserError(tried)


@contextmanager
def chromium() -> Iterator[Browser]:
    """Start a browser, and end it.

    Raises:
        NoBrowserError: none starts.
    """
    with sync_playwright() as playwright:
        browser, _ = launched(playwright)
        yield browser
        browser.close()
