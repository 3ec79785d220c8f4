"""Marks: only what was written here is replaced."""

import zipfile
from pathlib import Path

import pytest
from PIL import Image

from deckbuilder.build import build
from deckbuilder.deck.marks import deck_comment, is_ours, marked_recipe, refuse_foreign_deck, title_of
from deckbuilder.deck.store import Store
from deckbuilder.deck.unfinished import OccupiedError
from deckbuilder.recipe import parse_recipe


def archive(path: Path, comment: bytes) -> Path:
    with zipfile.ZipFile(path, "w") as file:
        file.writestr("deckbuilder: a member", "deckbuilder: stored")
        file.comment = comment
    return path


def test_a_deck_tells_its_title_in_its_comment(tmp_path: Path) -> None:
    path = archive(tmp_path / "a.apkg", deck_comment("A♭ + B"))
    assert zipfile.ZipFile(path).comment.decode() == "deckbuilder: A♭ + B"
    assert title_of(path) == "A♭ + B"
    refuse_foreign_deck(path, "A♭ + B")
    with pytest.raises(OccupiedError, match="this is the deck “A♭ \\+ B”, and “A♭ - B” would take its place"):
        refuse_foreign_deck(path, "A♭ - B")


@pytest.mark.parametrize("foreign", ["an archive", "no archive", "nothing", "a folder", "a broken link"])
def test_what_bears_no_mark_is_no_deck_of_ours(tmp_path: Path, foreign: str) -> None:
    path = tmp_path / "deck.apkg"
    match foreign:
        case "an archive":
            archive(path, b"somebody else's")
        case "no archive":
            path.write_bytes(b"deckbuilder: mine")
        case "nothing":
            path.write_bytes(b"")
        case "a folder":
            path.mkdir()
        case _:
            path.symlink_to(tmp_path / "gone")
    assert title_of(path) is None
    with pytest.raises(OccupiedError, match="this was not built here, and would be lost"):
        refuse_foreign_deck(path, "Deck")


def test_a_recipe_that_was_changed_by_hand_is_its_owners(tmp_path: Path) -> None:
    path = tmp_path / "focus.toml"
    path.write_text(marked_recipe('title = "Focus"\n'), encoding="utf-8")
    assert is_ours(path)
    path.write_text(path.read_text(encoding="utf-8") + "capo = 2\n", encoding="utf-8")
    assert not is_ours(path)


@pytest.mark.parametrize("name", ["load.png", "progress.html", "practice-sheet.pdf", "focus.toml", "focus.apkg"])
def test_a_file_of_the_users_own_is_none_of_ours(tmp_path: Path, name: str) -> None:
    path = tmp_path / name
    if path.suffix == ".png":
        Image.new("RGB", (300, 300)).save(path)
    else:
        path.write_bytes(b"made by hand" * 20_000)
    assert not is_ours(path)
    assert not is_ours(tmp_path / f"gone{path.suffix}")


def test_two_titles_with_one_file_name_do_not_replace_each_other(tmp_path: Path) -> None:
    """Nothing is rendered for the second."""
    chosen = {"keys": ["F"], "regions": [5], "levels": [1], "kinds": ["spell"]}
    store, target = Store(tmp_path / "store"), tmp_path / "a-b.apkg"
    build(parse_recipe({**chosen, "title": "A+B"}, "test"), target, store=store, timestamp=0)
    before, kept = target.read_bytes(), store.names()
    other = {**chosen, "title": "A-B", "keys": ["G"]}
    with pytest.raises(OccupiedError, match="this is the deck “A\\+B”"):
        build(parse_recipe(other, "test"), target, store=store, timestamp=0)
    assert target.read_bytes() == before
    assert store.names() == kept
