"""Recipes that build on others: what is merged, and what is told."""

import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.recipe import RecipeError, parse_recipe, read_recipe
from deckbuilder.recipe.extending import MOST, merged

VALUES = st.one_of(st.integers(0, 3), st.lists(st.integers(0, 3), max_size=2))
TABLES = st.recursive(
    st.dictionaries(st.sampled_from("abc"), VALUES, max_size=3),
    lambda inner: st.dictionaries(st.sampled_from("abc"), st.one_of(VALUES, inner), max_size=3),
    max_leaves=8,
)


@given(TABLES, TABLES, TABLES)
def test_merging_does_not_depend_on_where_one_begins(one: Any, two: Any, three: Any) -> None:
    assert merged(merged(one, two), three) == merged(one, merged(two, three))


@given(TABLES)
def test_merging_with_nothing_or_oneself_changes_nothing(tables: Any) -> None:
    assert merged(tables, {}) == merged({}, tables) == merged(tables, tables) == tables


@given(TABLES, TABLES)
def test_the_last_word_has_the_one_that_builds_on_the_other(base: Any, own: Any) -> None:
    """Every list and every single value of its own is there, unless the other has no table in that place."""

    def kept(said: Any, wanted: Any, former: Any) -> bool:
        if not isinstance(wanted, dict):
            return bool(said == wanted)
        if former is not None and not isinstance(former, dict):
            return bool(said == former)
        return all(kept(said[name], value, (former or {}).get(name)) for name, value in wanted.items())

    said = merged(base, own)
    assert set(said) == {*base, *own}
    assert kept(said, own, base)


def write(folder: Path, **files: str) -> Path:
    for name, text in files.items():
        path = folder / f"{name.replace('_', '/')}.toml"
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return folder / f"{next(iter(files)).replace('_', '/')}.toml"


def told(path: Path) -> str:
    with pytest.raises(RecipeError) as caught:
        read_recipe(path)
    return str(caught.value)


def test_tables_are_merged_and_lists_replaced(tmp_path: Path) -> None:
    path = write(
        tmp_path,
        anna='extends = "class.toml"\ntitle = "A. B."\nkeys = ["F"]\n[sound]\ntempo = 90.0\n',
        **{"class": 'title = "Class"\nkeys = ["C", "G"]\nlevels = [1]\n[sound]\ncount_in = false\ntempo = 120.0\n'},
    )
    recipe = read_recipe(path)
    assert (recipe.title, recipe.keys, recipe.levels) == ("A. B.", ("F",), (1,))
    assert (recipe.sound.tempo, recipe.sound.count_in) == (90.0, False)


def test_a_recipe_is_looked_for_beside_the_one_that_names_it(tmp_path: Path) -> None:
    path = write(
        tmp_path,
        students_anna='extends = "../class.toml"',
        **{"class": 'extends = "school/all.toml"\nkeys = ["G"]', "school_all": 'title = "School"'},
    )
    assert (read_recipe(path).title, read_recipe(path).keys) == ("School", ("G",))


def test_a_recipe_that_comes_along_is_known_by_its_name(tmp_path: Path) -> None:
    path = write(tmp_path, one='extends = "blues"\nkeys = ["G"]')
    assert read_recipe(path).changes == read_recipe(Path("blues")).changes != ()
    write(tmp_path, blues='title = "Mine"')
    (tmp_path / "blues.toml").rename(tmp_path / "blues")
    assert read_recipe(path).title == "Mine"


def test_frets_are_those_of_the_tuning_they_were_given_with(tmp_path: Path) -> None:
    base = '[instrument]\ntuning = "bass-4"\nfrets = 24\n'
    path = write(tmp_path, one='extends = "base.toml"\n[instrument]\ntuning = "ukulele"\n', base=base)
    assert read_recipe(path).instrument.frets == 12
    path = write(tmp_path, two='extends = "base.toml"\n[instrument]\nhand = "left"\n', base=base)
    assert read_recipe(path).instrument.frets == 24


def test_a_mistake_is_told_with_the_file_in_which_it_is(tmp_path: Path) -> None:
    base = 'keys = ["H"]\n[[changes]]\nname = "x"\nkey = "F"\nbars = "| H7 |"\n[sound]\ntempo = 1.0\n'
    path = write(tmp_path, one='extends = "base.toml"\nlevels = [9]\n[sound]\na4 = 1.0\n', base=base)
    lines = told(path).splitlines()
    base_file = str(tmp_path / "base.toml")
    assert [line.split(": ")[:2] for line in lines] == [
        [base_file, 'keys = ["H"]'],
        [base_file, 'changes 1.bars = "| H7 |"'],
        [str(path), "levels = [9]"],
        [str(path), "sound.a4 = 1.0"],
        [base_file, "sound.tempo = 1.0"],
    ]


def test_circles_are_told(tmp_path: Path) -> None:
    one = write(tmp_path, one='extends = "two.toml"', two='extends = "./one.toml"')
    assert told(one).startswith(f'{tmp_path / "two.toml"}: extends = "./one.toml": these recipes build on each other')
    own = write(tmp_path, own='extends = "own.toml"')
    assert "in a circle" in told(own)


def test_a_missing_file_and_one_that_is_none_are_told_with_who_names_it(tmp_path: Path) -> None:
    path = write(tmp_path, one='extends = "none.toml"')
    assert told(path).startswith(f'{path}: extends = "none.toml": {tmp_path / "none.toml"}: there is no such file')
    path = write(tmp_path, one='extends = "bad.toml"', bad="keys = F")
    assert told(path).startswith(f'{path}: extends = "bad.toml": {tmp_path / "bad.toml"}: this is not TOML')


@pytest.mark.parametrize("value", ["3", "[]", '" "', '["a.toml"]', '"a\\u0000b"'])
def test_what_is_no_file_name_is_told(tmp_path: Path, value: str) -> None:
    path = write(tmp_path, one=f"extends = {value}")
    assert told(path).startswith(f"{path}: extends = ")


def test_only_so_many_build_on_each_other(tmp_path: Path) -> None:
    for number in range(MOST):
        write(tmp_path, **{f"r{number}": f'extends = "r{number + 1}.toml"'})
    write(tmp_path, **{f"r{MOST}": 'title = "Root"'})
    assert read_recipe(tmp_path / "r1.toml").title == "Root"
    assert f"more than {MOST} recipes build on each other" in told(tmp_path / "r0.toml")


def test_a_recipe_that_is_no_file_builds_on_one_of_its_folder(tmp_path: Path) -> None:
    write(tmp_path, base='title = "Base"')
    assert parse_recipe({"extends": "base.toml"}, "mine", folder=tmp_path).title == "Base"


def test_a_misspelled_extends_is_known(tmp_path: Path) -> None:
    assert "did you mean 'extends'?" in told(write(tmp_path, one='extend = "base.toml"'))


def test_options_have_the_last_word(tmp_path: Path) -> None:
    path = write(tmp_path, one='extends = "base.toml"\nkeys = ["G"]', base='keys = ["C"]\nlevels = [1]')
    recipe = read_recipe(path, {"keys": ["F"]})
    assert (recipe.keys, recipe.levels) == (("F",), (1,))
    assert tomllib.loads(path.read_text())["keys"] == ["G"]
