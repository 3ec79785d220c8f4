"""One open desk for the tests of a module."""

from collections.abc import Iterator

import pytest

from tests.desk.asking import Asker, open_desk


@pytest.fixture(scope="module")
def asker(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Asker]:
    with open_desk(tmp_path_factory.mktemp("desk")) as found:
        yield found
