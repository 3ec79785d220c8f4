"""Recipes: what is read, and what is refused with which words."""

import re
from pathlib import Path

import pytest

from deckbuilder.recipe import Recipe, RecipeError, parse_recipe, read_recipe

RECIPES = sorted((Path(__file__).parent.parent / "decks").glob("*.toml"))


def test_the_default_recipe_is_the_committed_one() -> None:
    committed = next(path for path in RECIPES if path.name == "default.toml")
    assert read_recipe(committed) == read_recipe(None) == Recipe()


@pytest.mark.parametrize("path", RECIPES, ids=lambda path: path.name)
def test_every_committed_recipe_is_read(path: Path) -> None:
    assert read_recipe(path).title


@pytest.mark.parametrize(
    ("fields", "message"),
    [
        ({"kyes": ["F"]}, "r.toml: kyes: there is no such field; did you mean 'keys'?"),
        ({"instrument": {"tunin": "standard"}}, "r.toml: instrument.tunin: .* did you mean 'tuning'?"),
        ({"keys": ["H"]}, r'r.toml: keys = \["H"\]: .*choose from C, F, Bb'),
        ({"keys": []}, r"r.toml: keys = \[\]: nothing is selected"),
        ({"keys": "F"}, 'r.toml: keys = "F": this has to be a list'),
        ({"keys": ["F", "F"]}, "'F' is there twice"),
        ({"keys": ["F#", "F♯"]}, "'F#' is there twice"),
        ({"regions": [6]}, r"r.toml: regions = \[6\]: there is no region 6: a key has regions 1 to 5"),
        ({"regions": [1.5]}, "a whole number"),
        ({"levels": [4]}, "there is no level 4: levels are 1, 2, 3"),
        ({"kinds": ["locte"]}, "did you mean 'locate'?"),
        ({"order": "by-key"}, 'order = "by-key"'),
        ({"labels": 3}, "a text in quotes"),
        ({"title": "one::two"}, 'title = "one::two"'),
        ({"title": " "}, "one line of text"),
        ({"instrument": {"tuning": "standrad"}}, "'standrad' is not a tuning"),
        ({"instrument": {"frets": 0}}, "instrument.frets = 0"),
        ({"sound": {"tempo": 0}}, "sound.tempo = 0: .*use 40 to 240"),
        ({"sound": {"tempo": True}}, "sound.tempo = True: "),
        ({"sound": {"a4": "442"}}, "sound.a4 = .442.: "),
        ({"sound": {"a4": 100}}, "sound.a4 = 100: .*380 to 480"),
        ({"sound": 3}, "sound = 3: this has to be a table"),
    ],
)
def test_a_mistake_is_told_with_file_key_value_and_remedy(fields: dict[str, object], message: str) -> None:
    with pytest.raises(RecipeError) as caught:
        parse_recipe(fields, "r.toml")
    assert re.search(message, str(caught.value)), str(caught.value)


def test_all_mistakes_are_told_at_once() -> None:
    with pytest.raises(RecipeError) as caught:
        parse_recipe({"kyes": [], "levels": [9], "order": "x"}, "r.toml")
    assert len(str(caught.value).splitlines()) == 3


def test_sharps_and_flats_are_understood_in_either_spelling() -> None:
    assert parse_recipe({"keys": ["B♭", "F#"]}, "r.toml").keys == ("Bb", "F#")


def test_a_missing_file(tmp_path: Path) -> None:
    with pytest.raises(RecipeError, match=r"none\.toml: there is no such file"):
        read_recipe(tmp_path / "none.toml")


def test_a_file_that_is_no_toml_names_the_line(tmp_path: Path) -> None:
    path = tmp_path / "bad.toml"
    path.write_text('title = "x"\nkeys = F\nregions = [1]\n')
    with pytest.raises(RecipeError, match=r"bad\.toml: this is not TOML: .*line"):
        read_recipe(path)


def test_a_file_that_is_no_text(tmp_path: Path) -> None:
    path = tmp_path / "bytes.toml"
    path.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(RecipeError, match="not a text file"):
        read_recipe(path)


def test_overrides_take_the_place_of_fields(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text('keys = ["F"]\nlevels = [1]\n')
    recipe = read_recipe(path, {"levels": [2, 3]})
    assert (recipe.keys, recipe.levels) == (("F",), (2, 3))
