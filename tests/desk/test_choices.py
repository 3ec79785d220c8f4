"""Everything that a recipe may ask for is on the page, in words of a guitarist."""

import re
from pathlib import Path
from typing import Any

import pytest

from deckbuilder.cards.cardtypes import known_kinds
from deckbuilder.cards.levels import LEVELS
from deckbuilder.desk.choices import choices, offered
from deckbuilder.desk.pages import page
from deckbuilder.desk.recipes import starts
from deckbuilder.neck.tuning import TUNINGS
from deckbuilder.recipe import Recipe, parse_recipe
from deckbuilder.speech import Language, Names, Speech, code, current, speaking
from deckbuilder.theory.colours import COLOURS
from deckbuilder.theory.keys import KEY_NAMES, Key
from tests.desk.asking import Asker

ROWS = ("levels", "kinds", "colours", "orders", "breadths", "labels", "notations", "directions", "hands", "strung")
MORE_ROWS = ("names", "grounds", "sizes")
OF_THE_HOUSE = re.compile(r"\b(facts?|cells?|carriers?|sources?|slots?|laps?|regions?)\b", re.IGNORECASE)
"""Words that mean something here which they do not mean to a player."""


@pytest.fixture(scope="module")
def found() -> dict[str, Any]:
    return choices()


def names(rows: list[dict[str, Any]]) -> list[object]:
    return [row["name"] for row in rows]


def test_every_row_of_every_table_can_be_chosen(found: dict[str, Any]) -> None:
    assert names(found["tunings"]) == list(TUNINGS)
    assert names(found["keys"]) == list(KEY_NAMES)
    assert [row["number"] for row in found["levels"]] == list(LEVELS)
    assert names(found["kinds"]) == [kind.value for kind in known_kinds()]
    assert names(found["colours"]) == list(COLOURS)


def test_what_is_chosen_by_default_is_the_default_recipe(found: dict[str, Any]) -> None:
    assert parse_recipe(found["default"], "default") == Recipe()
    for what in ("kinds", "colours"):
        assert {row["name"] for row in found[what] if row["default"]} == set(found["default"][what])
    assert {row["number"] for row in found["levels"] if row["default"]} == set(found["default"]["levels"])


def test_every_field_of_the_page_has_its_default(tmp_path: Path, found: dict[str, Any]) -> None:
    """All but how a neck is strung, which follows the hand until it is chosen."""
    made = page("desk.html", choices=offered(tmp_path), code=code(), speech=current())
    paths = set(re.findall(r'data-(?:path|list)="([^"]+)"', made))
    assert len(paths) > 20
    for path in paths - {"instrument.strung"}:
        table, _, field = path.rpartition(".")
        assert field in (found["default"][table] if table else found["default"]), path


@pytest.mark.parametrize("what", [*ROWS, *MORE_ROWS])
def test_words_are_a_guitarists(found: dict[str, Any], what: str) -> None:
    for row in found[what]:
        label, sentence = row.get("label") or row["title"], row["sentence"]
        assert label[0].isupper() or label.startswith("do")
        assert sentence.endswith(".")
        assert not OF_THE_HOUSE.search(f"{label} {sentence}")


def test_pitches_of_a_tuning_are_one_a_string_and_can_be_given_back(found: dict[str, Any]) -> None:
    for row in found["tunings"]:
        assert len(row["pitches"]) == len(row["pitch_labels"]) == row["strings"]
        by_pitches = parse_recipe({"instrument": {"tuning": ",".join(row["pitches"])}}, "typed")
        assert (
            by_pitches.instrument.neck.id
            == parse_recipe({"instrument": {"tuning": row["name"]}}, "named").instrument.neck.id
        )


def test_a_tune_may_begin_with_each_start_and_stand_in_each_key(found: dict[str, Any]) -> None:
    assert parse_recipe({"changes": found["starts"]}, "starts").changes
    for row in found["tune_keys"]:
        assert Key.parse_either(row["name"]).label == row["label"]


def test_every_option_is_one_that_a_recipe_takes(found: dict[str, Any]) -> None:
    for what, field in (("orders", "order"), ("labels", "labels"), ("notations", "notation"), ("names", "names")):
        for row in found[what]:
            assert getattr(parse_recipe({field: row["name"]}, "test"), field) == row["name"]
    for row in found["breadths"]:
        assert parse_recipe({"breadth": {"locate": row["name"]}}, "test").breadth.locate == row["name"]


def test_the_page_is_told_all_of_it_and_which_recipes_there_are(asker: Asker) -> None:
    told = asker.get("/api/choices").json
    assert {row["name"] for row in told.pop("recipes")} >= {"default", "blues", "minor", "quick", "rhythm"}
    assert told == choices()


def test_languages_are_called_in_their_own(found: dict[str, Any]) -> None:
    with speaking(Speech(language=Language.GERMAN)):
        assert choices()["languages"] == found["languages"]


@pytest.mark.parametrize("names", list(Names))
def test_keys_and_pitches_have_the_names_that_a_recipe_takes(asker: Asker, names: Names) -> None:
    told = asker.get(f"/api/choices?names={names}&language=german").json
    starts_in_english = parse_recipe({"changes": starts(Names.ENGLISH)}, "test").changes
    recipe = parse_recipe({"names": names, "keys": [row["name"] for row in told["keys"]]}, "test")
    assert recipe.keys == KEY_NAMES
    assert parse_recipe(told["default"], "test").keys == Recipe().keys
    assert told["default"]["title"] == "Das ganze Griffbrett"
    assert parse_recipe({"names": names, "changes": told["starts"]}, "test").changes == starts_in_english
    for row in told["tunings"]:
        found = parse_recipe({"names": names, "instrument": {"tuning": row["pitches"]}}, "test")
        assert found.instrument.neck.tuning.open_midi == TUNINGS[row["name"]].open_midi
    assert asker.get("/api/choices?names=latin").status == 400
