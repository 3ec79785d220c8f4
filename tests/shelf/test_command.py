"""`deckbuilder shelf` as a user meets it: decks, the page that offers them, and what is in their way."""

import re
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser

from deckbuilder.deck.check import check_package
from tests.deck.importer import Collection
from tests.running import run

RECIPE = """
title = "Small & whole"
keys = ["F", "Bb"]
regions = [1, 2, 3]
levels = [1]
kinds = ["locate", "spell"]
notation = "none"
[sound]
silent = true
"""
DECKS = {"start-f", "whole", "lap-1", "lap-2", "lap-3", "key-f", "key-bb"}
FILES = {f"{deck}-{hand}-hand.apkg" for deck in DECKS for hand in ("right", "left")}


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("shelf")
    (folder / "whole.toml").write_text(RECIPE, "utf-8")
    done = run(folder, "shelf", "whole.toml", "--out", "shelf")
    assert done.returncode == 0, done.stderr
    assert done.stdout.splitlines()[-1] == "shelf/index.html"
    return folder / "shelf"


def test_every_deck_is_whole_and_on_the_page(shelf: Path) -> None:
    assert {path.name for path in shelf.iterdir()} == FILES | {"index.html"}
    page = (shelf / "index.html").read_text("utf-8")
    assert set(re.findall(r'href="([^"]+\.apkg)" download', page)) == FILES
    for name in FILES:
        found = check_package(shelf / name)
        assert not found.problems, name
        size, cards = f"{(shelf / name).stat().st_size / 1e6:.1f}", str(found.cards)
        offer = next(text for text in page.split("<li>") if name in text)
        assert f"<dd>{cards}</dd>" in offer
        assert f"<dd>{size}</dd>" in offer or "-left-" in name


def test_a_larger_deck_adds_what_is_missing_where_it_belongs(shelf: Path) -> None:
    """The start, then the whole: nothing that was studied moves, and all lies in the same subdecks."""
    collection = Collection(shelf / "start-f-right-hand.apkg")
    begun = collection.rows("select guid from notes")
    places = collection.rows("select id, did, due from cards order by id")
    for (card,) in collection.rows("select id from cards order by id limit 5"):
        collection.answer(int(str(card)), 9, 1_700_000_000)
    log = collection.rows("select * from revlog")
    added, _ = collection.take_in(shelf / "whole-right-hand.apkg")
    whole = Collection(shelf / "whole-right-hand.apkg")
    assert added == len(whole.rows("select guid from notes")) - len(begun)
    assert collection.rows("select * from revlog") == log
    held = {card: deck for card, deck, _ in collection.rows("select id, did, due from cards")}
    assert all(held[card] == deck for card, deck, _ in places)
    decks = {deck for (deck,) in whole.rows("select distinct did from cards")}
    assert {deck for (deck,) in collection.rows("select distinct did from cards")} == decks


def test_both_hands_ask_the_same_with_other_pictures(shelf: Path) -> None:
    right, left = (Collection(shelf / f"whole-{hand}-hand.apkg") for hand in ("right", "left"))
    assert right.rows("select guid from notes order by guid") == left.rows("select guid from notes order by guid")
    texts = [sorted(str(text) for (text,) in one.rows("select flds from notes")) for one in (right, left)]
    assert texts[0] != texts[1]


def test_a_smaller_shelf_takes_away_what_it_has_no_more_and_leaves_what_is_not_its_own(shelf: Path) -> None:
    folder = shelf.parent
    assert run(folder, "shelf", "whole.toml", "--out", "again").returncode == 0
    (folder / "again" / "mine.apkg").write_bytes(b"mine")
    (folder / "again" / "notes.txt").write_text("mine", "utf-8")
    (folder / "whole.toml").write_text(RECIPE.replace('["F", "Bb"]', '["F"]'), "utf-8")
    assert run(folder, "shelf", "whole.toml", "--out", "again").returncode == 0
    left = {path.name for path in (folder / "again").iterdir()}
    assert not {name for name in left if name.startswith("key-bb")}
    assert {"mine.apkg", "notes.txt", "index.html", "whole-left-hand.apkg"} <= left


def test_what_was_not_written_here_is_refused(shelf: Path) -> None:
    folder = shelf.parent
    (folder / "taken").mkdir()
    (folder / "taken" / "index.html").write_text("my own page", "utf-8")
    done = run(folder, "shelf", "whole.toml", "--out", "taken")
    assert done.returncode == 2
    assert "index.html" in done.stderr
    assert [path.name for path in (folder / "taken").iterdir()] == ["index.html"]


@pytest.mark.xdist_group("browser")
@pytest.mark.parametrize(("scheme", "width"), [("light", 320), ("dark", 1280)])
def test_the_page_fits_and_is_accessible(browser: Browser, shelf: Path, scheme: str, width: int) -> None:
    context = browser.new_context(
        viewport={"width": width, "height": 700}, offline=True, color_scheme="dark" if scheme == "dark" else "light"
    )
    page = context.new_page()
    page.goto((shelf / "index.html").as_uri())
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert Axe().run(page).response["violations"] == []
    picture = page.locator("figure img")
    assert picture.evaluate("(it) => it.complete && it.naturalWidth") > 0
    assert "Small & whole" in page.title()
    context.close()
