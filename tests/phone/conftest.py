"""A built deck of every note type and template, and a browser to look at it."""

from pathlib import Path

import pytest

from deckbuilder.build import build
from deckbuilder.cards.facts import Kind
from deckbuilder.deck.store import Store
from deckbuilder.recipe import parse_recipe
from tests.deck.reading import read_package
from tests.phone.cards import Card, cards_of, unpack_media

RECIPE = parse_recipe({"keys": ["F", "Db"], "regions": [1, 5], "kinds": [kind.value for kind in Kind]}, "test")


@pytest.fixture(scope="session")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with the media of the deck."""
    return tmp_path_factory.mktemp("phone")


@pytest.fixture(scope="session")
def cards(folder: Path) -> list[Card]:
    build(RECIPE, folder / "all.apkg", store=Store(folder / "store"), timestamp=1.7e9)
    package = read_package(folder / "all.apkg")
    unpack_media(package, folder)
    return cards_of(package)
