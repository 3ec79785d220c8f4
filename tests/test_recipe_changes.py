"""Changes in recipes: what is read, what is refused with which words, and that a refusal writes nothing."""

import re
import subprocess
import sys
import unicodedata
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.build import notes_of
from deckbuilder.cards.slug import slug
from deckbuilder.recipe import RecipeError, parse_recipe, read_recipe

DECKS = Path(__file__).parent.parent / "deckbuilder" / "recipes"
BLUES = "| I7 | IV7 | I7 | % | IV7 | % | I7 | VI7alt | ii7 | V7alt | I7 VI7alt | ii7 V7alt |"


def changes(**fields: object) -> dict[str, object]:
    return {"keys": ["F"], "changes": [{"name": "Mine", "key": "F", **fields}]}


def test_bars_are_one_text_or_a_list_of_lines() -> None:
    (one,) = parse_recipe(changes(bars=BLUES), "r.toml").changes
    first, second = BLUES[: BLUES.index("| IV7 | %")] + "|", BLUES[BLUES.index("| IV7 | %") :]
    (other,) = parse_recipe(changes(bars=[first, second]), "r.toml").changes
    assert other.form == one.form
    assert len(one.form.bars) == 12


def test_numerals_and_symbols_give_the_same_cards() -> None:
    numerals = parse_recipe(changes(bars="| ii | V7alt | Imaj7 | VI7alt |"), "r.toml")
    symbols = parse_recipe(changes(bars="| Gm7 | C7alt | Fmaj7 | D7alt |"), "r.toml")
    assert notes_of(numerals) == notes_of(symbols)


def test_sections_are_played_in_their_order() -> None:
    recipe = read_recipe(DECKS / "rhythm.toml")
    (tune,) = recipe.changes
    assert [section.name for section in tune.form.sections] == ["A1", "A2", "B", "A2"]
    assert len(tune.form.bars) == 32


def test_changes_without_levels() -> None:
    recipe = read_recipe(DECKS / "blues.toml")
    assert recipe.levels == ()
    assert recipe.deck_title == "A blues in F"
    assert {note.changes for note in notes_of(recipe)} == {("Twelve-bar blues",)}


def test_a_form_follows_the_recipes_keys_unless_it_is_kept() -> None:
    moved = parse_recipe({**changes(bars=BLUES), "keys": ["Bb", "C"], "levels": [], "regions": [1]}, "r.toml")
    assert {note.identity.key for note in notes_of(moved)} == {"Bb", "C"}
    kept = parse_recipe(
        {**changes(bars=BLUES, transpose=False), "keys": ["Bb", "C"], "levels": [], "regions": [1]}, "r.toml"
    )
    assert {note.identity.key for note in notes_of(kept)} == {"F"}


def test_the_default_colour_is_altered() -> None:
    assert parse_recipe({"colours": ["altered"]}, "r.toml") == parse_recipe({}, "r.toml")


@pytest.mark.parametrize(
    ("fields", "message"),
    [
        (changes(bars="| ii | | I |"), r"r.toml: changes 1.bars = .*: bar 2: the bar is empty; write a chord, or %"),
        (changes(bars="| ii | VX | I |"), r"changes 1.bars = .*: bar 2: 'VX'.*write"),
        (
            changes(bars="| ii | Hm7 | I |"),
            r"changes 1.bars = .*: bar 2: 'Hm7' is not a chord; this is the German name",
        ),
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
        (changes(bars=BLUES, key="H"), r'changes 1.key = "H": .*not a key; this is the German name of B'),
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
        (
            {"changes": [{"name": name, "key": "F", "bars": BLUES} for name in ("Mine", "mine!")]},
            "two changes have names that differ in no letter or digit, 'Mine' and 'mine!'",
        ),
        (
            changes(sections=[{"name": "A", "bars": "| ii |"}, {"name": "A'", "bars": "| V |"}]),
            "two sections of 'Mine' have names that differ in no letter or digit",
        ),
        (changes(sections=[{"name": "A\nB", "bars": "| ii |"}]), "a section's name is one line of text"),
        (changes(bars=BLUES, name="!!"), 'changes 1.name = "!!": a name needs a letter or a digit'),
        (changes(name="x" * 100), f"'{'x' * 60}…' needs either bars"),
        (changes(name="x" * 100, bars="| I7 " * 400 + "|"), f"'{'x' * 60}…' has 400 bars"),
        ({"changes": [{"key": "F", "bars": BLUES}]}, r'r.toml: changes 1.name is missing; write name = "My blues"$'),
        ({"changes": [{"name": "A", "bars": BLUES}]}, r'r.toml: changes 1.key is missing; write key = "F"$'),
        (
            changes(sections=[{"name": "A"}]),
            r'r.toml: changes 1.sections 1.bars is missing; write bars = \["\| ii7 \| V7 \| Imaj7 \|"\]$',
        ),
        (
            changes(sections=[{"name": "A", "bars": "| ii | | V7 |"}], order=["A"]),
            r"^r.toml: changes 1.sections 1.bars = .*: bar 2: the bar is empty",
        ),
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


def test_changes_are_named_in_any_script() -> None:
    names = ("Блюз", "Джаз", "ブルース", "Blues 夜", "Blues")
    own = [{"name": name, "key": "F", "bars": BLUES} for name in names]
    recipe = parse_recipe({"keys": ["F"], "regions": [1], "levels": [], "changes": own}, "r.toml")
    notes = notes_of(recipe)
    ids = [note.id for note in notes]
    assert len(set(ids)) == len(ids)
    assert all(text.isascii() for note in notes for text in (note.id, *note.tags))
    assert {name for note in notes for name in note.changes} == set(names)
    assert len({tag for note in notes for tag in note.tags if tag.startswith("changes::")}) == len(names)


@pytest.mark.parametrize(
    ("name", "slugged"),
    [
        ("Twelve-bar blues", "twelve-bar-blues"),
        ("Blues in F#", "blues-in-f-sharp"),
        ("Blues in F♯", "blues-in-f-sharp"),
        ("Blues in B♭", "blues-in-bb"),
        ("C++ & more!", "c-more"),
        ("Player’s – own", "player-s-own"),
        ("", ""),
        ("*", ""),
    ],
)
def test_names_that_ascii_holds_have_no_digest(name: str, slugged: str) -> None:
    assert slug(name) == slugged


@given(st.text(st.characters(max_codepoint=127)))
def test_the_slug_of_an_ascii_name_is_its_words(name: str) -> None:
    assert slug(name) == re.sub(r"[^a-z0-9]+", "-", name.replace("#", "-sharp").lower()).strip("-")


@given(st.text(st.characters(categories=["L", "N"], min_codepoint=128), min_size=1))
def test_letters_of_any_script_tell_names_apart(name: str) -> None:
    assert slug(name)
    assert slug(name).isascii()
    assert slug(name) != slug(f"{name}語") != slug(f"{name}語語")
    assert slug(unicodedata.normalize("NFD", name)) == slug(name)


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
