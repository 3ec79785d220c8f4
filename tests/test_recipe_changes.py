"""Changes in recipes: what is read, what is refused with which words, and that a refusal writes nothing."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

from deckbuilder.build import notes_of
from deckbuilder.recipe import RecipeError, parse_recipe, read_recipe

DECKS = Path(__file__).parent.parent / "decks"
BLUES = "| I7 | IV7 | I7 | % | IV7 | % | I7 | VI7alt | ii7 | V7alt | I7 VI7alt | ii7 V7alt |"


def changes(**fields: object) -> dict[str, object]:
    return {"keys": ["F"], "changes": [{"name": "Mine", "key": "F", **fields}]}


def test_bars_are_one_text_or_a_list_of_lines() -> None:
    one = parse_recipe(changes(bars=BLUES), "r.toml").outline().forms
    first, second = BLUES[: BLUES.index("| IV7 | %")] + "|", BLUES[BLUES.index("| IV7 | %") :]
    assert parse_recipe(changes(bars=[first, second]), "r.toml").outline().forms == one
    assert len(one[0].bars) == 12


def test_numerals_and_symbols_give_the_same_cards() -> None:
    numerals = parse_recipe(changes(bars="| ii | V7alt | Imaj7 | VI7alt |"), "r.toml")
    symbols = parse_recipe(changes(bars="| Gm7 | C7alt | Fmaj7 | D7alt |"), "r.toml")
    assert notes_of(numerals) == notes_of(symbols)


def test_sections_are_played_in_their_order() -> None:
    recipe = read_recipe(DECKS / "rhythm.toml")
    (form,) = recipe.outline().forms
    assert [section.name for section in form.sections] == ["A1", "A2", "B", "A2"]
    assert len(form.bars) == 32


def test_changes_without_levels() -> None:
    recipe = read_recipe(DECKS / "blues.toml")
    assert recipe.levels == ()
    assert recipe.deck_title == "A blues in F"
    assert {note.changes for note in notes_of(recipe)} == {("Twelve-bar blues",)}


def test_a_form_follows_the_recipes_keys_unless_it_is_kept() -> None:
    moved = parse_recipe({**changes(bars=BLUES), "keys": ["Bb", "C"], "levels": [], "regions": [1]}, "r.toml")
    assert {note.subject.key for note in notes_of(moved)} == {"Bb", "C"}
    kept = parse_recipe(
        {**changes(bars=BLUES, transpose=False), "keys": ["Bb", "C"], "levels": [], "regions": [1]}, "r.toml"
    )
    assert {note.subject.key for note in notes_of(kept)} == {"F"}


def test_the_default_colour_is_altered() -> None:
    assert parse_recipe({"colours": ["altered"]}, "r.toml") == parse_recipe({}, "r.toml")


@pytest.mark.parametrize(
    ("fields", "message"),
    [
        (changes(bars="| ii | | I |"), r"r.toml: changes 1.bars = .*: bar 2: the bar is empty; write a chord, or %"),
        (changes(bars="| ii | VX | I |"), r"changes 1.bars = .*: bar 2: 'VX'.*write"),
        (changes(bars="| ii | Hm7 | I |"), r"changes 1.bars = .*: bar 2: 'Hm7' is not a chord; write a root A to G"),
        (changes(bars="| ii | V7"), r"changes 1.bars = .*: bar 2: the bar line after 'V7' is missing; end the line"),
        (changes(bars="|: ii | V7 |"), r"changes 1.bars = .*: bar 2: the repeat that \|: opens is not closed"),
        (changes(bars="ii V7 I"), r"changes 1.bars = .*: bar 1: 'ii' stands before the first bar line"),
        (changes(bars="| ii7alt | I |"), r"changes 1.bars = .*: bar 1: 'ii7alt'.*cannot be altered: only a dominant"),
        (changes(bars="| Fmaj7{altered} |"), r"changes 1.bars = .*: bar 1: 'Fmaj7' cannot be altered: only a dominant"),
        (changes(bars="| C7{bright} |"), r"changes 1.bars = .*: bar 1: 'bright' is not a dominant colour; choose from"),
        (
            changes(bars=["| I7 | IV7 | I7 | V7 |"] * 100),
            "changes 1.bars = .*: 'Mine' has 400 bars; a form has at most",
        ),
        (changes(), r"changes 1 = .*: 'Mine' needs either bars or sections"),
        (changes(bars=BLUES, sections=[{"name": "A", "bars": BLUES}]), "needs either bars or sections"),
        (changes(bars=BLUES, key="H"), r'changes 1.key = "H": .*not a key; choose from'),
        (changes(bars=BLUES, name="a::b"), r'changes 1.name = "a::b": a name is one line of text'),
        (changes(bars=BLUES, tranpose=False), r"changes.*tranpose: there is no such field; did you mean 'transpose'"),
        (changes(bars=4), "changes 1.bars = 4: this has to be a list"),
        ({"changes": 3}, "changes = 3: this has to be a list"),
        ({"changes": [3]}, "this has to be a table of its own"),
        (
            changes(sections=[{"name": "A", "bars": "| ii | | V7 |"}]),
            r"changes 1.sections 1.bars = .*: bar 2: the bar is empty",
        ),
        (
            changes(sections=[{"name": "A", "bars": "| ii |"}, {"name": "A", "bars": "| V |"}]),
            "two sections of 'Mine' have the same name",
        ),
        (
            changes(sections=[{"name": "A", "bars": "| ii |"}], order=["A", "B"]),
            r'changes 1.order = \["A", "B"\]: there is no section \'B\'; choose from A',
        ),
        ({"changes": [{"name": "a", "key": "F", "bars": BLUES}] * 2}, "two changes have the same name"),
        ({"levels": []}, r"levels = \[\]: nothing is selected"),
        ({"colours": ["bright"]}, r'colours = \["bright"\]: \'bright\' is not one of them; choose from plain, altered'),
        ({"colours": []}, "nothing is selected"),
        ({"seed": "x"}, 'seed = "x": this has to be a whole number'),
    ],
)
def test_a_mistake_is_told_with_bar_symbol_and_remedy(fields: dict[str, object], message: str) -> None:
    with pytest.raises(RecipeError) as caught:
        parse_recipe(fields, "r.toml")
    assert re.search(message, str(caught.value)), str(caught.value)
    assert "\n" not in str(caught.value)


def test_the_mistake_of_the_second_form_is_told_as_its() -> None:
    good, bad = {"name": "One", "key": "F", "bars": BLUES}, {"name": "Two", "key": "F", "bars": "| ii | |"}
    with pytest.raises(RecipeError, match=r"changes 2.bars"):
        parse_recipe({"changes": [good, bad]}, "r.toml")


@pytest.mark.parametrize("bars", ["| ii | | I |", "| ii | V7", "| Hm7 |", "| ii7alt |", "| I7 " * 400 + "|"])
def test_nothing_is_written_for_changes_that_cannot_be_read(tmp_path: Path, bars: str) -> None:
    recipe = tmp_path / "mine.toml"
    recipe.write_text(f'levels = []\n[[changes]]\nname = "Mine"\nkey = "F"\nbars = "{bars}"\n')
    done = subprocess.run(
        [
            sys.executable,
            "-c",
            "from deckbuilder.cli import main; main()",
            "build",
            str(recipe),
            "--out",
            "decks",
            "--store",
            "store",
        ],
        cwd=tmp_path,
        capture_output=True,
        text=True,
    )
    assert done.returncode == 2, done.stderr
    assert "mine.toml: changes 1.bars" in done.stderr
    assert "Traceback" not in done.stderr
    assert {path.name for path in tmp_path.iterdir()} == {"mine.toml"}
