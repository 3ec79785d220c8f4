"""What holds for all tests of a process: one browser, a place of its own for code that numba compiles, and a cache.

Playwright runs no second browser beside the first. numba's cache of compiled code lies in site-packages, where several
test processes would write it at once and load what another has half written; a folder a process keeps them apart. No
test touches the user's own cache of rendered media.
Hypothesis sets no time for an example: the first one may load a library.
"""

import atexit
import os
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings

if TYPE_CHECKING:
    from playwright.sync_api import Browser

_COMPILED = tempfile.mkdtemp(prefix="compiled-")
os.environ["NUMBA_CACHE_DIR"] = _COMPILED
os.environ["XDG_CACHE_HOME"] = str(Path(_COMPILED, "cache"))
atexit.register(shutil.rmtree, _COMPILED, ignore_errors=True)

settings.register_profile("patient", deadline=None)
settings.load_profile("patient")


@pytest.fixture(scope="session")
def browser() -> "Iterator[Browser]":
    # Only tests that look at cards need Playwright.
    from tests.browser.running import NoBrowserError, chromium

    try:
        with chromium() as found:
            yield found
    except NoBrowserError as error:
        pytest.fail(str(error), pytrace=False)
