"""A written page and a browser to open it in."""

from pathlib import Path

import pytest

from deckbuilder.build import media_of, notes_of
from deckbuilder.cards.facts import Kind
from deckbuilder.cards.note import Note
from deckbuilder.deck.store import Store
from deckbuilder.preview.page import write_page
from deckbuilder.recipe import parse_recipe
from deckbuilder.rendering import render_all

RECIPE = parse_recipe({"keys": ["F"], "regions": [1, 5], "kinds": [kind.value for kind in Kind]}, "test")


@pytest.fixture(scope="session")
def notes() -> tuple[Note, ...]:
    return notes_of(RECIPE)


@pytest.fixture(scope="session")
def index(tmp_path_factory: pytest.TempPathFactory, notes: tuple[Note, ...]) -> Path:
    folder = tmp_path_factory.mktemp("preview")
    media = render_all(Store(folder / "store"), media_of(notes), None, lambda _done, _total: None)
    return write_page(folder / "page", "One key <&>", notes, media)
