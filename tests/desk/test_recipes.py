"""Recipes are opened and saved as files that the commands read."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings

from deckbuilder.cards.recipe import Recipe
from deckbuilder.cli import main
from deckbuilder.deck.marks import is_ours
from deckbuilder.desk.recipes import saved
from deckbuilder.recipe import parse_recipe, read_recipe
from deckbuilder.recipe.included import included
from deckbuilder.speech import Names
from tests.desk.asking import Asker
from tests.desk.recipes import recipes


def save(asker: Asker, name: object, recipe: dict[str, Any]) -> Any:
    return asker.post("/api/recipes/save", {"name": name, "recipe": recipe})


@settings(max_examples=20, deadline=None)
@given(recipe=recipes())
def test_a_saved_recipe_is_read_as_it_was(tmp_path_factory: pytest.TempPathFactory, recipe: Recipe) -> None:
    folder = tmp_path_factory.mktemp("recipes")
    assert saved(folder, "Blues in F♯", recipe) == "blues-in-f-sharp"
    assert read_recipe(folder / "blues-in-f-sharp.toml") == recipe


def test_what_was_saved_is_listed_opened_downloaded_and_read_by_commands(asker: Asker) -> None:
    answer = save(asker, "Evening", {"title": "Evening", "keys": ["G"]})
    assert (answer.status, answer.json) == (200, {"name": "evening"})
    rows = {row["name"]: row for row in asker.get("/api/recipes").json}
    assert rows["evening"] == {"name": "evening", "title": "Evening", "sentence": "", "own": True}
    assert asker.post("/api/recipes/open", {"name": "evening"}).json == {
        "name": "evening",
        "recipe": {"title": "Evening", "keys": ["G"]},
    }
    download = asker.get("/api/recipes/evening.toml")
    assert download.headers["content-disposition"] == 'attachment; filename="evening.toml"'
    assert download.body == (asker.desk.folder / "evening.toml").read_bytes()
    with pytest.raises(SystemExit) as done:
        main(["list", str(asker.desk.folder / "evening.toml"), "--regions", "1"])
    assert not done.value.code


@pytest.mark.parametrize("name", list(included()))
def test_recipes_that_come_along_are_listed_opened_and_begun_with(asker: Asker, name: str) -> None:
    row = next(row for row in asker.get("/api/recipes").json if row["name"] == name)
    assert row["title"] == read_recipe(included()[name]).title
    assert row["sentence"]
    assert not row["own"]
    opened = asker.post("/api/recipes/open", {"name": name}).json["recipe"]
    assert save(asker, f"again {name}", opened).status == 200
    assert read_recipe(asker.desk.folder / f"again-{name}.toml") == read_recipe(included()[name])


def test_saving_again_replaces_what_was_saved_here_and_nothing_else(asker: Asker) -> None:
    assert save(asker, "mine", {"keys": ["F"]}).status == 200
    assert save(asker, "Mine!", {"keys": ["C"]}).status == 200
    path = asker.desk.folder / "mine.toml"
    assert read_recipe(path).keys == ("C",)
    assert is_ours(path)
    changed = path.read_bytes() + b'\ntitle = "By hand"\n'
    path.write_bytes(changed)
    answer = save(asker, "mine", {"keys": ["D"]})
    assert answer.status == 409
    assert "mine.toml" in answer.json["error"]
    assert "choose another name" in answer.json["error"]
    assert path.read_bytes() == changed


@pytest.mark.parametrize("name", ["", " ", "…", "../..", "/"])
def test_a_name_without_letters_is_none(asker: Asker, name: str) -> None:
    answer = save(asker, name, {})
    assert answer.status == 422
    assert "a name with a letter or a digit" in answer.json["error"]


@pytest.mark.parametrize("name", ["../evil", "/etc/evil", "a\\b", "Блюз", "x" * 500, "con\0"])
def test_whatever_a_name_holds_the_file_lies_in_the_folder(asker: Asker, name: str) -> None:
    answer = save(asker, name, {})
    assert answer.status == 200
    assert (asker.desk.folder / f"{answer.json['name']}.toml").is_file()
    assert answer.json["name"].isascii()


def test_a_recipe_with_a_mistake_is_not_saved(asker: Asker) -> None:
    assert save(asker, "wrong", {"keys": ["X"]}).status == 422
    assert not (asker.desk.folder / "wrong.toml").exists()
    assert save(asker, None, {}).status == 400


def test_a_text_is_opened_as_the_file_would_be(asker: Asker) -> None:
    answer = asker.post("/api/recipes/open", {"text": 'title = "T"\nkeys = ["Bb", "F"]\n'})
    assert answer.json == {"name": "T", "recipe": {"title": "T", "keys": ["Bb", "F"]}}
    broken = asker.post("/api/recipes/open", {"text": "keys = ["})
    assert (broken.status, broken.json["where"]) == (422, None)
    assert broken.json["error"].startswith("the recipe: this is not TOML")
    wrong = asker.post("/api/recipes/open", {"text": 'keys = ["X"]'})
    assert (wrong.status, wrong.json["where"]) == (422, ["keys"])
    assert asker.post("/api/recipes/open", {}).status == 400


@pytest.mark.parametrize("name", ["nothing", "../quick", "quick.toml", ""])
def test_what_is_not_listed_is_not_opened(asker: Asker, name: str) -> None:
    assert asker.post("/api/recipes/open", {"name": name}).status == 404
    assert asker.get(f"/api/recipes/{name}.toml").status in (400, 404)


def test_a_broken_file_in_the_folder_is_listed_with_what_is_wrong(asker: Asker) -> None:
    path = asker.desk.folder / "broken.toml"
    path.parent.mkdir(exist_ok=True)
    path.write_text('keys = ["X"]', encoding="utf-8")
    row = next(row for row in asker.get("/api/recipes").json if row["name"] == "broken")
    assert row["broken"]
    assert "'X' is not a key" in row["sentence"]
    assert asker.post("/api/recipes/open", {"name": "broken"}).status == 422


def test_a_folder_that_takes_nothing_is_told(tmp_path: Path) -> None:
    folder = tmp_path / "file"
    folder.write_bytes(b"")
    with pytest.raises(OSError, match=r"evening\.toml: this cannot be written"):
        saved(folder, "evening", Recipe())


def test_a_recipe_can_be_had_with_other_names_of_notes(asker: Asker) -> None:
    english = {"keys": ["B", "Bb"], "changes": [{"name": "T", "key": "Bb", "bars": ["| Bb7 | B7 |"]}]}
    german = asker.post("/api/recipes/renamed", {"recipe": english, "names": "german"}).json["recipe"]
    assert german["keys"] == ["H", "B"]
    assert parse_recipe(german, "german") == replace(parse_recipe(english, "english"), names=Names.GERMAN)
    back = asker.post("/api/recipes/renamed", {"recipe": german, "names": "english"}).json["recipe"]
    assert back == english
    assert asker.post("/api/recipes/renamed", {"recipe": english, "names": "latin"}).status == 400
