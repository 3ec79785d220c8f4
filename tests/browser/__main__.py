"""Makes sure of a browser for the tests and says which: `python -m tests.browser`, a step of README's test command.

One that is there is taken; else Playwright's own is fetched; else, on Debian and Ubuntu as root, the distribution's.
"""

import os
import sys
from collections.abc import Callable

from playwright.sync_api import sync_playwright

from prepare import system
from prepare.following import follow
from tests.browser.choice import VARIABLE
from tests.browser.running import NoBrowserError, launched

_BOUND = 600.0
"""s that a download may take."""
_CONNECTION = {"PLAYWRIGHT_DOWNLOAD_CONNECTION_TIMEOUT": "15000"}
"""ms until a server that does not answer is given up; three are tried."""


def main() -> int:
    """Find a browser or get one; return the exit status."""
    ways: list[Callable[[], None]] = [lambda: None]
    if not os.environ.get(VARIABLE):
        ways += [_fetch, _install] if system.may_install() else [_fetch]
    try:
        for way in ways:
            way()
            found = _found()
            if isinstance(found, str):
                print(f"browser: {found}", flush=True)
                return 0
        print(f"browser: {found}", file=sys.stderr)
    except KeyboardInterrupt:
        print("browser: interrupted; run the same command again", file=sys.stderr)
        return 130
    return 1


def _found() -> str | NoBrowserError:
    """Start a browser; return which it is, or why there is none."""
    with sync_playwright() as playwright:
        try:
            browser, place = launched(playwright)
        except NoBrowserError as error:
            return error
        version = browser.version
        browser.close()
    return f"{place}, version {version}"


def _fetch() -> None:
    print("browser: none starts here; fetches Playwright’s own, about 110 MB", flush=True)
    command = (sys.executable, "-m", "playwright", "install", "--only-shell", "chromium")
    ended = follow(command, bound=_BOUND, environment={**_CONNECTION, **os.environ})
    if ended.status != 0:
        reason = next((line for line in ended.lines if line.startswith("Error: ")), "Error: it took too long")
        print(f"browser: that failed ({reason.removeprefix('Error: ')})", flush=True)


def _install() -> None:
    print("browser: installs the distribution’s chromium, and fonts; about a minute and 400 MB of disk", flush=True)
    ended = system.install(("chromium", "fonts-dejavu-core"))
    if ended.status != 0:
        print(f"browser: that failed; apt-get says:\n{ended.last_words}", flush=True)


if __name__ == "__main__":
    sys.exit(main())
