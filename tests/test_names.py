"""Names of tones from the recipe to the deck: the music of a deck is the same in every way to name tones."""

import json
import re
import sqlite3
import tomllib
import zipfile
from contextlib import closing
from dataclasses import fields, replace
from pathlib import Path

import pytest

from deckbuilder.build import build, notes_of
from deckbuilder.cards.facts import Kind
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.deck.listing import note_values
from deckbuilder.deck.store import Store
from deckbuilder.picture.description import NeckPicture, NeckSheet
from deckbuilder.picture.validation import validate, validate_sheet
from deckbuilder.recipe import RecipeError, parse_recipe, read_recipe
from deckbuilder.recipe.writing import recipe_toml
from deckbuilder.speech import Names

ASKED: dict[str, object] = {
    "keys": ["F", "Bb", "B"],
    "regions": [5],
    "levels": [2],
    "kinds": ["locate", "identify", "spell", "connect", "improvise", "read", "name", "analyse", "enclose", "voice"],
    "labels": "names",
    "changes": [{"name": "Mine", "key": "Bb", "bars": "| Cm7 | F7alt | Bbmaj7/D | F#7 |"}],
}
GERMAN: dict[str, object] = {
    **ASKED,
    "names": "german",
    "keys": ["F", "B", "H"],
    "changes": [{"name": "Mine", "key": "B", "bars": "| Cm7 | F7alt | Bmaj7/D | Fis7 |"}],
}
SOLFEGE: dict[str, object] = {
    **ASKED,
    "names": "solfege",
    "keys": ["Fa", "sib", "Si"],
    "changes": [{"name": "Mine", "key": "Sib", "bars": "| Dom7 | Fa7alt | Sibmaj7/Ré | Fa#7 |"}],
}
WORDS = ("prompt", "why")
"""Values of a note that are said."""
MEDIA = ("picture", "clip", "example")
"""Names of media; a picture's follows from what its marks say."""


def music_of(note: Note) -> dict[str, object]:
    return {name: value for name, value in note_values(note).items() if name not in (*WORDS, *MEDIA)}


@pytest.fixture(scope="module")
def english() -> tuple[Note, ...]:
    return notes_of(parse_recipe(ASKED, "test"))


@pytest.mark.parametrize("given", [GERMAN, SOLFEGE], ids=["german", "solfege"])
def test_the_music_of_a_deck_is_the_same_under_all_names(given: dict[str, object], english: tuple[Note, ...]) -> None:
    found = notes_of(parse_recipe(given, "test"))
    assert [music_of(note) for note in found] == [music_of(note) for note in english]
    assert [note.tags for note in found] == [note.tags for note in english]
    assert [note_values(note)["clip"] for note in found] == [note_values(note)["clip"] for note in english]
    for note in found:
        assert "".join((note.id, *note.tags)).isascii()


@pytest.mark.parametrize(
    ("given", "foreign"),
    [(GERMAN, r"[A-Z][♭♯]"), (SOLFEGE, r"(?<![A-Za-zé])(A[♭♯7m]|[B-H][♭♯]?(m|maj|7|\b))")],
    ids=["german", "solfege"],
)
def test_words_and_pictures_have_the_names_of_the_recipe(given: dict[str, object], foreign: str) -> None:
    for note in notes_of(parse_recipe(given, "test")):
        words = note.words
        said = [words.key, words.prompt, words.question, words.label, words.over, words.missing, words.why]
        said += [tone.name for tone in words.tones] + [made.alt for made in note.media.values()]
        for text in said:
            assert not re.search(foreign, text), text


@pytest.mark.parametrize("names", Names)
def test_a_recipe_is_written_with_its_names_and_means_the_same(names: Names) -> None:
    given = {
        **ASKED,
        "instrument": {"tuning": ["B1", "E2", "A2", "D3", "F#3", "B3", "E4"]},
        "tunings": [{"name": "mine", "pitches": "C2 Bb2 D3 G3 B3 D4"}],
    }
    recipe = replace(parse_recipe(given, "test"), names=names)
    written = recipe_toml(recipe)
    assert {Names.ENGLISH: '"Bb"', Names.GERMAN: '"H"', Names.SOLFEGE: '"Sib"'}[names] in written
    again = parse_recipe(tomllib.loads(written), "test")
    assert {field.name: getattr(again, field.name) for field in fields(Recipe)} == {
        field.name: getattr(recipe, field.name) for field in fields(Recipe)
    }


def test_options_and_file_may_name_tones_each_in_its_way(tmp_path: Path) -> None:
    file = tmp_path / "mine.toml"
    file.write_text('names = "german"\nkeys = ["H"]\n[instrument]\ntuning = "H1,E2,A2,D3,G3,H3,E4"\n', encoding="utf-8")
    assert read_recipe(file).keys == ("B",)
    other = read_recipe(file, {"names": "solfege", "keys": ["Sib", "Ré"]})
    assert (other.names, other.keys) == (Names.SOLFEGE, ("Bb", "D"))
    assert other.instrument.tuning == read_recipe(file).instrument.tuning == "B1,E2,A2,D3,G3,B3,E4"
    assert read_recipe(file, {"names": "english"}).keys == ("B",)
    with pytest.raises(RecipeError, match="--keys H: 'H' is not a key; this is the German name of Si"):
        read_recipe(file, {"names": "solfege", "keys": ["H"]})


@pytest.mark.parametrize(("names", "keys"), [("german", ["Fis", "Ces", "Cis"]), ("solfege", ["Fa#", "Dob", "Do#"])])
def test_every_name_fits_on_its_mark(names: str, keys: list[str]) -> None:
    fields = {"names": names, "keys": keys, "labels": "names", "levels": [2, 4]}
    found = notes_of(parse_recipe({**fields, "regions": [3], "kinds": [kind.value for kind in Kind]}, "test"))
    pictures = [made.description for note in found for made in note.media.values()]
    sheets = [made for made in pictures if isinstance(made, NeckSheet)]
    necks = [made for made in pictures if isinstance(made, NeckPicture)]
    assert sheets
    assert necks
    for sheet in sheets:
        validate_sheet(sheet)
    for neck in necks:
        validate(neck)


def test_pitches_of_strings_are_shown_with_the_names_of_the_recipe() -> None:
    recipe = parse_recipe({"names": "german"}, "test")
    with recipe.in_force():
        assert recipe.instrument.neck.tuning.pitch_labels == ("E2", "A2", "D3", "G3", "H3", "E4")
    with replace(recipe, names=Names.SOLFEGE).in_force():
        assert recipe.instrument.neck.tuning.string_labels == ("Mi", "Si", "Sol", "Ré", "La", "Mi")


def test_recipes_that_build_on_each_other_may_name_tones_each_in_its_way(tmp_path: Path) -> None:
    (tmp_path / "school.toml").write_text(
        'keys = ["B", "Bb"]\n[[changes]]\nname = "Mine"\nkey = "Bb"\nbars = "| Bm7 | Bb: V7 |"\n', encoding="utf-8"
    )
    mine = tmp_path / "mine.toml"
    mine.write_text('extends = "school.toml"\nnames = "german"\n[[study]]\nkeys = ["H"]\n', encoding="utf-8")
    recipe = read_recipe(mine)
    assert recipe.keys == ("B", "Bb")
    assert recipe.study[0].keys == ("B",)
    assert recipe.changes[0].bars == ("| Bm7 | Bb: V7 |",)
    assert parse_recipe(tomllib.loads(recipe_toml(recipe)), "test") == recipe


@pytest.mark.parametrize(
    ("names", "sentence"), [("english", ""), ("german", "H is the English B"), ("solfege", "Do is C")]
)
def test_a_deck_and_its_page_say_how_tones_are_named(names: str, sentence: str, tmp_path: Path) -> None:
    fields = {"names": names, "regions": [5], "levels": [1], "kinds": ["spell"]}
    recipe = parse_recipe({**fields, "keys": [{"english": "Bb", "german": "B", "solfege": "Sib"}[names]]}, "test")
    target = tmp_path / "deck.apkg"
    build(recipe, target, store=Store(tmp_path / "store"), timestamp=1.7e9, formats=["apkg", "page"])
    page = (tmp_path / "deck-preview" / "index.html").read_text(encoding="utf-8")
    with zipfile.ZipFile(target) as archive:
        (tmp_path / "collection").write_bytes(archive.read("collection.anki2"))
    with closing(sqlite3.connect(tmp_path / "collection")) as connection:
        ((decks,),) = connection.execute("SELECT decks FROM col")
    told = [deck["desc"] for deck in json.loads(decks).values() if deck["name"].startswith(recipe.title)]
    assert told
    for text in (page, *told):
        assert sentence in text
        assert sentence or not re.search("English B|fixed do", text)
