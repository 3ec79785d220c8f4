"""German cards fit a small phone as English ones do, though their words are longer."""

from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from deckbuilder.build import build
from deckbuilder.deck.store import Store
from deckbuilder.speech import Language
from tests.deck.reading import read_package
from tests.phone import test_cards as usual
from tests.phone.cards import Card, cards_of, unpack_media
from tests.phone.conftest import RECIPE

pytestmark = pytest.mark.xdist_group("browser")


@pytest.fixture(scope="module")
def german(tmp_path_factory: pytest.TempPathFactory) -> tuple[list[Card], Path]:
    """Give the cards of a German deck, and the folder of their media."""
    folder = tmp_path_factory.mktemp("german")
    recipe = replace(RECIPE, language=Language.GERMAN, keys=("F",))
    build(recipe, folder / "all.apkg", store=Store(folder / "store"), timestamp=1.7e9)
    package = read_package(folder / "all.apkg")
    unpack_media(package, folder)
    return cards_of(package), folder


def test_german_cards_fit(browser: Browser, german: tuple[list[Card], Path]) -> None:
    cards, folder = german
    screen, (width, height) = usual.SCREENS[0], usual.SMALL
    page = browser.new_page(viewport={"width": width, "height": height}, device_scale_factor=2)
    for card in usual.chosen(cards):
        for side in ("front", "back"):
            seen = usual.show(page, card, side, screen, folder)
            assert seen["scrollWidth"] <= seen["width"], f"{card.name}, {side}"
            usual.assert_nothing_overlaps(seen, f"{card.name}, {side}")
    usual.test_the_answer_is_seen_without_scrolling(page, screen, cards, folder)
    page.close()
