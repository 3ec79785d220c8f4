"""One browser for all tests of a process: playwright runs no second one beside it."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser

from tests.phone.browser import chromium


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    with chromium() as found:
        yield found
