"""Recipes: what is read, and what is refused with which words."""

import json
import re
from pathlib import Path

import pytest

from deckbuilder.neck.tuning import TUNINGS
from deckbuilder.recipe import Recipe, RecipeError, parse_recipe, read_recipe
from deckbuilder.recipe.included import included
from deckbuilder.recipe.writing import tables_of

RECIPES = sorted(included().values())


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
        ({"keys": ["H"]}, r'r.toml: keys = \["H"\]: .*German name of B: write that'),
        ({"keys": []}, r"r.toml: keys = \[\]: nothing is selected"),
        ({"keys": "F"}, 'r.toml: keys = "F": this has to be a list'),
        ({"keys": ["F", "F"]}, "'F' is there twice"),
        ({"keys": ["F#", "F♯"]}, "'F#' is there twice"),
        ({"regions": [6]}, r"r.toml: regions = \[6\]: there is no region 6: a key has regions 1 to 5"),
        ({"regions": [1.5]}, "a whole number"),
        ({"levels": [9]}, "there is no level 9: levels are 1, 2, 3, 4"),
        ({"kinds": ["locte"]}, "did you mean 'locate'?"),
        ({"order": "by-key"}, 'order = "by-key"'),
        ({"labels": 3}, "a text in quotes"),
        ({"title": "one::two"}, 'title = "one::two"'),
        ({"title": " "}, "one line of text"),
        ({"instrument": {"tuning": "standrad"}}, "'standrad' is not a tuning"),
        ({"instrument": {"frets": 0}}, "instrument.frets = 0"),
        ({"sound": {"tempo": 0}}, "sound.tempo = 0: .*use 40 to 240"),
        ({"sound": {"tempo": True}}, "sound.tempo = true: "),
        ({"sound": {"a4": "442"}}, "sound.a4 = .442.: "),
        ({"sound": {"a4": 100}}, "sound.a4 = 100: .*380 to 480"),
        ({"sound": 3}, "sound = 3: this has to be a table"),
        ({"title": "one\ntwo"}, r'r.toml: title = "one\\ntwo": a title is one line of text, without line breaks'),
        ({"title": "one\u2028two"}, r'r.toml: title = "one\\u2028two": '),
        ({"title": "\u200b"}, r'r.toml: title = "\\u200B": .*this one is empty'),
        ({"title": {"a b": True}}, 'title = {"a b" = true}: this has to be a text'),
        ({"a\nb": 1}, r'r.toml: "a\\nb": there is no such field'),
        ({"order": "x" * 100}, f"order = \"{'x' * 60}…\": '{'x' * 60}…' is not one of them"),
        ({"keys": ["F"] * 100}, r'keys = \["F", .{50,60}…\]: '),
        ({"instrument": {"tuning": ["E2", "E2", "E2"]}}, r'instrument.tuning = \["E2", "E2", "E2"\]: .* 8 semitones'),
        ({"instrument": {"frets": 16**5000}}, "instrument.frets = 0x1000*…: this number is far too large"),
        ({"instrument": {"regions": 8}}, "instrument.regions = 8: the octave is not divided into 8 regions"),
        ({"instrument": {"regions": 10**12}}, "far too large"),
        ({"levels": [16**5000]}, "there is no level 0x1000"),
    ],
)
def test_a_mistake_is_told_with_file_key_value_and_remedy(fields: dict[str, object], message: str) -> None:
    with pytest.raises(RecipeError) as caught:
        parse_recipe(fields, "r.toml")
    assert re.search(message, str(caught.value)), str(caught.value)
    assert len(str(caught.value).splitlines()) == 1


@pytest.mark.parametrize("title", ["Блюз", "ジャズ", "One\u00a0two", "Band \U0001f468\u200d\U0001f469\u200d\U0001f467"])
def test_titles_of_any_script_are_taken(title: str) -> None:
    assert parse_recipe({"title": title}, "r.toml").title == title


def test_values_in_each_other_without_end_are_told() -> None:
    values: list[object] = [None, None]
    for _ in range(3000):
        values = [{"a": value} for value in values]
    with pytest.raises(RecipeError, match="too deep in each other"):
        parse_recipe({"keys": values}, "r.toml")


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


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (f"seed = {'9' * 5000}", r"bad\.toml: this is not TOML: a number of over \d+ digits"),
        (f"keys = {'[' * 3000}{']' * 3000}", r"bad\.toml: this is not TOML: too many brackets"),
    ],
)
def test_what_the_reader_of_toml_cannot_hold(tmp_path: Path, text: str, said: str) -> None:
    path = tmp_path / "bad.toml"
    path.write_text(text)
    with pytest.raises(RecipeError, match=said):
        read_recipe(path)


def test_a_byte_order_mark_is_no_mistake(tmp_path: Path) -> None:
    path = tmp_path / "windows.toml"
    path.write_text('title = "Mine"\n', encoding="utf-8-sig", newline="\r\n")
    assert read_recipe(path).title == "Mine"


@pytest.mark.parametrize(
    ("former", "chosen", "frets"),
    [
        ({"tuning": "standard", "frets": 24}, "ukulele", 12),
        ({"frets": 24}, "ukulele", 12),
        ({"frets": 24}, "bass-4", 20),
        ({"tuning": "standrad", "frets": 24}, "dadgad", 22),
        ({"tuning": ["D2", "A2", "D3", "G3", "A3", "D4"], "frets": 24}, "dadgad", 24),
        ({"tuning": "drop-d", "frets": 24}, "Drop D", 24),
        ({"frets": 24}, "standard", 24),
    ],
)
def test_frets_are_kept_only_for_the_tuning_they_were_given_with(
    former: dict[str, object], chosen: str, frets: int
) -> None:
    recipe = parse_recipe({"instrument": former}, "r.toml", {"instrument": {"tuning": chosen}})
    assert recipe.instrument.frets == frets


def test_the_default_recipe_gives_the_same_for_every_tuning() -> None:
    committed = next(path for path in RECIPES if path.name == "default.toml")
    for tuning in TUNINGS:
        overrides = {"instrument": {"tuning": tuning}}
        assert read_recipe(committed, overrides) == read_recipe(None, overrides)


def test_what_should_be_a_table_is_refused_with_options_too() -> None:
    for overrides in ({}, {"instrument": {"capo": 2}}, {"instrument": {"tuning": "bass-4"}}):
        with pytest.raises(RecipeError, match=r"r\.toml: instrument = \"bass\": this has to be a table"):
            parse_recipe({"instrument": "bass"}, "r.toml", overrides)


@pytest.mark.parametrize(
    ("overrides", "said"),
    [
        ({"keys": ["F", "H"]}, "--keys F,H: 'H' is not a key"),
        ({"keys": []}, '--keys "": nothing is selected'),
        ({"regions": [6]}, "--regions 6: there is no region 6"),
        ({"instrument": {"capo": 30}}, "--capo 30: capo at fret 30"),
        ({"instrument": {"hand": "lefty"}}, "--hand lefty: 'lefty' is not one of them; did you mean 'left'?"),
        ({"instrument": {"tuning": "C4,C4,C4"}}, "--tuning C4,C4,C4: the open strings"),
    ],
)
def test_a_mistake_in_an_option_is_not_the_files(overrides: dict[str, object], said: str) -> None:
    with pytest.raises(RecipeError) as caught:
        parse_recipe({"keys": ["F"], "instrument": {"frets": 22}}, "r.toml", overrides)
    assert str(caught.value).startswith(said)
    with pytest.raises(RecipeError, match=r"r\.toml: order = "):
        parse_recipe({"order": "x"}, "r.toml", {"keys": ["F"]})


def test_overrides_take_the_place_of_fields(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text('keys = ["F"]\nlevels = [1]\n')
    recipe = read_recipe(path, {"levels": [2, 3]})
    assert (recipe.keys, recipe.levels) == (("F",), (2, 3))


def test_a_recipe_that_comes_along_is_read_by_its_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert read_recipe(Path("quick")) == read_recipe(included()["quick"])
    Path("quick").write_text('keys = ["G"]', encoding="utf-8")
    assert read_recipe(Path("quick")).keys == ("G",)


def test_mistakes_are_known_by_the_keys_of_their_field() -> None:
    tune = {"name": "My blues", "key": "F", "bars": ["| Quux7 |"]}
    with pytest.raises(RecipeError) as caught:
        parse_recipe({"keys": ["H"], "instrument": {"capo": 30}, "colors": [], "changes": [tune]}, "mine")
    assert [mistake.where for mistake in caught.value.mistakes] == [
        ("instrument", "capo"),
        ("keys",),
        ("changes", 0, "bars"),
        ("colors",),
    ]
    assert all(
        line.startswith("mine: ") and line.endswith(mistake.text)
        for line, mistake in zip(caught.value.lines, caught.value.mistakes, strict=True)
    )


@pytest.mark.parametrize("path", RECIPES, ids=lambda path: path.stem)
def test_tables_of_a_recipe_are_read_as_the_same_recipe(path: Path) -> None:
    recipe = read_recipe(path)
    assert parse_recipe(json.loads(json.dumps(tables_of(recipe))), "again") == recipe


def test_tables_leave_out_what_follows_from_the_instrument() -> None:
    assert tables_of(parse_recipe({"instrument": {"tuning": "bass-4", "regions": 4}}, "mine")) == {
        "instrument": {"tuning": "bass-4", "regions": 4}
    }
