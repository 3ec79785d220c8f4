"""What a recipe comes to: counts are exact, bytes nearly."""

import time
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings

from deckbuilder.build import EmptySelectionError, build, media_of, notes_of
from deckbuilder.cards.recipe import Recipe
from deckbuilder.deck.store import Store
from deckbuilder.desk.notebook import Notebook
from deckbuilder.desk.remembered import OvertakenError
from deckbuilder.desk.sizes import Scales
from deckbuilder.desk.summary import summary
from deckbuilder.recipe import parse_recipe
from tests.desk.asking import Answer, Asker
from tests.desk.recipes import recipes

SMALL: dict[str, Any] = {"keys": ["F"], "regions": [5], "levels": [1]}


def counted(asker: Asker, recipe: dict[str, Any]) -> Answer:
    return asker.post("/api/summary", {"recipe": recipe, "wait": True})


@settings(max_examples=15, deadline=None)
@given(recipes())
def test_counts_are_those_of_the_notes_that_a_build_makes(recipe: Recipe) -> None:
    notebook = Notebook()
    try:
        found = summary(recipe, notebook.book(recipe).result().notes, Scales())
    finally:
        notebook.close()
    notes = notes_of(recipe)
    media = media_of(notes)
    assert found["notes"] == len(notes) == sum(row["notes"] for row in found["by_level"])
    assert found["cards"] == sum(len(note.kinds) for note in notes)
    assert found["cards"] == sum(row["cards"] for row in found["by_level"])
    assert found["clips"] == sum(made.name.endswith(".mp3") for made in media)
    assert found["pictures"] + found["clips"] == len(media)


@pytest.mark.parametrize(
    "fields",
    [
        {"keys": ["F"], "regions": [5], "levels": [1, 2]},
        {"keys": ["Bb"], "regions": [1], "instrument": {"tuning": "bass-4"}, "kinds": ["locate", "follow", "voice"]},
    ],
)
def test_the_size_is_nearly_that_of_the_deck(fields: dict[str, Any], tmp_path: Path) -> None:
    recipe = parse_recipe(fields, "test")
    made = build(recipe, tmp_path / "deck.apkg", store=Store(tmp_path / "store"), timestamp=0.0)
    found = summary(recipe, notes_of(recipe), Scales())
    assert (found["notes"], found["cards"]) == (made.notes, made.cards)
    assert (found["pictures"], found["clips"]) == (made.pictures, made.clips)
    assert found["size"] == pytest.approx(made.size, rel=0.15)


def test_a_page_is_told_what_its_recipe_comes_to(asker: Asker) -> None:
    answer = counted(asker, SMALL)
    assert answer.status == 200
    assert answer.json["notes"] == len(notes_of(parse_recipe(SMALL, "test")))
    assert answer.json["title"] == "The whole neck"
    assert [row["level"] for row in answer.json["by_level"]] == [1]


def test_changes_of_ones_own_are_counted_by_name(asker: Asker) -> None:
    tune = {"name": "My blues", "key": "F", "bars": ["| I7 | IV7 |"]}
    answer = counted(asker, {**SMALL, "levels": [], "changes": [tune]})
    assert [row["title"] for row in answer.json["by_level"]] == ["My blues"]


def test_what_takes_long_is_counted_after_the_answer(asker: Asker) -> None:
    recipe = {"instrument": {"tuning": "open-c"}, "seed": 7}
    first = asker.post("/api/summary", {"recipe": recipe})
    assert (first.status, first.json) == (202, {"counting": True})
    assert counted(asker, recipe).json["notes"] == len(notes_of(parse_recipe(recipe, "test")))
    again = asker.post("/api/summary", {"recipe": recipe})
    assert again.status == 200


def test_a_newer_recipe_overtakes_an_older_one() -> None:
    notebook = Notebook()
    try:
        older = notebook.book(Recipe(seed=11))
        time.sleep(0.05)
        newer = notebook.book(parse_recipe(SMALL, "test"))
        with pytest.raises(OvertakenError):
            older.result()
        assert newer.result().notes
        assert notebook.book(Recipe(seed=11)).result().notes
    finally:
        notebook.close()


def test_a_notebook_that_is_closed_makes_no_more_notes() -> None:
    notebook = Notebook()
    under_way = notebook.book(Recipe(seed=12))
    notebook.close()
    assert under_way.cancelled() or isinstance(under_way.exception(), OvertakenError)
    assert notebook.book(Recipe()).cancelled()


def test_a_recipe_that_asks_for_nothing_is_told_so(asker: Asker) -> None:
    recipe = {"kinds": ["hear"], "sound": {"silent": True}}
    answer = counted(asker, recipe)
    with pytest.raises(EmptySelectionError) as error:
        notes_of(parse_recipe(recipe, "test"))
    assert (answer.status, answer.json) == (422, {"error": str(error.value), "where": None})


def test_every_mistake_is_told_with_the_keys_of_its_field(asker: Asker) -> None:
    tune = {"name": "My blues", "key": "F", "bars": ["| Quux7 |"]}
    answer = counted(asker, {"keys": ["X"], "changes": [tune]})
    assert answer.status == 422
    assert answer.json["where"] == ["keys"]
    assert [mistake["where"] for mistake in answer.json["mistakes"]] == [["keys"], ["changes", 0, "bars"]]
    assert answer.json["mistakes"][0]["error"].startswith("'X' is not a key; choose from C, F,")
    assert all(mistake["error"] in answer.json["error"] for mistake in answer.json["mistakes"])


@pytest.mark.parametrize("body", [{}, {"recipe": None}, {"recipe": []}, {"recipe": "quick"}])
def test_a_question_needs_a_recipe(asker: Asker, body: dict[str, Any]) -> None:
    assert asker.post("/api/summary", body).status == 400


@pytest.mark.parametrize("fields", [{"keys": None}, {"title": {}}, {"kinds": [["hear"]]}, {"changes": [1]}, {"": 1}])
def test_tables_of_any_shape_are_refused_not_stumbled_over(asker: Asker, fields: dict[str, Any]) -> None:
    assert counted(asker, fields).status == 422
