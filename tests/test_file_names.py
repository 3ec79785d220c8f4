"""Names of decks' files: ASCII, different where recipes differ, and never too long for a file system."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.build import deck_name
from deckbuilder.cli.options import filter_words
from deckbuilder.recipe import parse_recipe
from tests.running import run
from tests.test_cli import SMALL


def name_of(title: str, *filters: str) -> str:
    return deck_name(parse_recipe({"title": title}, "r.toml"), filters)


@pytest.mark.parametrize(
    ("title", "filters", "name"),
    [
        ("The whole neck", (), "the-whole-neck.apkg"),
        ("The whole neck", ("keys F",), "the-whole-neck--keys-f.apkg"),
        ("The whole neck", ("keys F# Bb", "regions 1 2"), "the-whole-neck--keys-f-sharp-bb--regions-1-2.apkg"),
        ("A blues in F", ("left",), "a-blues-in-f--left.apkg"),
        ("C# & more!", (), "c-sharp-more.apkg"),
        ("Blues in B♭", (), "blues-in-bb.apkg"),
    ],
)
def test_a_title_that_ascii_holds_is_the_name(title: str, filters: tuple[str, ...], name: str) -> None:
    assert name_of(title, *filters) == name


def test_titles_of_any_script_have_names_of_their_own() -> None:
    titles = ("Блюз", "ジャズ", "Джаз 1", "Джаз 2", "Café", "Cafè", "♪", "♫", "!!!", "???", "deck")
    names = [name_of(title) for title in titles]
    assert len(set(names)) == len(titles)
    assert name_of("Cafe\u0301") == name_of("Café")


_PRINTABLE = st.characters(exclude_categories=["C", "Z"], exclude_characters=":")


@given(st.text(_PRINTABLE, min_size=1, max_size=400), st.lists(st.sampled_from(["keys C F Bb Eb", "left"]), max_size=9))
def test_names_are_ascii_and_fit_a_file_system(title: str, filters: list[str]) -> None:
    name = name_of(title, *filters)
    assert name.isascii()
    assert not name.startswith((".", "-"))
    assert len(name) <= 200


def test_a_long_title_is_cut_and_still_its_own() -> None:
    one, other = name_of("x" * 300 + "1"), name_of("x" * 300 + "2")
    assert one != other
    assert one.startswith("x" * 100 + "-")
    assert len(one) < 120
    assert name_of("x" * 300, "keys F").endswith("--keys-f.apkg")


def test_the_hand_and_english_names_of_keys_are_in_the_name() -> None:
    chosen = dict.fromkeys(("keys", "regions", "levels", "kinds", "hand"))
    assert filter_words(chosen, parse_recipe({}, "test")) == []
    recipe = parse_recipe({"names": "german", "keys": ["H"]}, "test")
    assert filter_words({**chosen, "keys": ("H",), "hand": "left"}, recipe) == ["keys B", "left"]


def test_a_folder_in_the_place_of_the_deck_is_told_before_anything_is_rendered(tmp_path: Path) -> None:
    (tmp_path / "mine.toml").write_text('title = "Mine"\n')
    name = "mine--keys-f--regions-5--levels-2--kinds-locate-identify-spell.apkg"
    (tmp_path / "decks" / name).mkdir(parents=True)
    done = run(tmp_path, "build", "mine.toml", *SMALL)
    assert done.returncode == 2
    assert f"{name}: a folder of that name is in the way" in done.stderr
    assert not (tmp_path / "cache").exists()


def test_a_title_longer_than_a_file_name_is_built(tmp_path: Path) -> None:
    (tmp_path / "long.toml").write_text(f'title = "{"long " * 80}"\n')
    done = run(tmp_path, "build", "long.toml", *SMALL, "--format", "apkg,csv")
    assert done.returncode == 0, done.stderr
    assert len(list((tmp_path / "decks").glob("long-*.apkg"))) == 1
