"""Speech: one process says everything in several languages, one after the other."""

import ast

import pytest
from babel.messages.catalog import Catalog
from babel.messages.mofile import read_mo

from deckbuilder.build import notes_of
from deckbuilder.cards.facts import Kind
from deckbuilder.recipe import parse_recipe
from deckbuilder.recipe.writing import recipe_toml
from deckbuilder.speech import Language, Names, Speech, code, current, in_context, plural, speaking, translate
from deckbuilder.speech import _ as say
from tests.catalogue import HOUSE, KEYWORDS, PLACE, catalogue_of, forms, gathered, po_file

GERMAN = Speech(Language.GERMAN)


def test_a_block_speaks_its_language_and_leaves_the_former_one() -> None:
    with speaking(GERMAN):
        assert code() == "de"
        with speaking(Speech()):
            assert code() == "en"
        assert current() == GERMAN
    assert current() == Speech()


def test_what_no_catalogue_has_is_said_as_it_stands() -> None:
    with speaking(GERMAN):
        assert translate("Sung {by} nobody") == "Sung {by} nobody"
        assert say("Sung by {who}", who="{nobody}") == "Sung by {nobody}"
        assert plural("{count} gnu", "{count} gnus", 2) == "2 gnus"
        assert in_context("animal", "gnu") == "gnu"
        assert translate("") == ""


def test_a_recipe_names_language_and_names_of_notes() -> None:
    recipe = parse_recipe({"language": "german", "names": "solfege"}, "test")
    assert recipe.speech == Speech(Language.GERMAN, Names.SOLFEGE)
    assert parse_recipe({"language": "german"}, "test") == parse_recipe({"language": Language.GERMAN}, "test")
    assert recipe_toml(recipe) == 'language = "german"\nnames = "solfege"\n'
    with recipe.in_force():
        assert current() == recipe.speech


def test_an_unknown_language_is_told_with_the_known_ones() -> None:
    with pytest.raises(ValueError, match=r'language = "klingon".*english.*german'):
        parse_recipe({"language": "klingon"}, "test")


def test_languages_do_not_run_into_each_other() -> None:
    """Notes made in one language, then in another, are as if each had been made alone: nothing keeps old words."""
    given = {"keys": ["F"], "regions": [5], "levels": [2, 4], "kinds": [kind.value for kind in Kind]}
    english = [note.words for note in notes_of(parse_recipe(given, "test"))]
    german = [note.words for note in notes_of(parse_recipe({**given, "language": "german"}, "test"))]
    assert all(one.why != other.why for one, other in zip(english, german, strict=True))
    assert [note.words for note in notes_of(parse_recipe(given, "test"))] == english
    assert [note.words for note in notes_of(parse_recipe({**given, "language": "german"}, "test"))] == german


@pytest.mark.parametrize("language", [each for each in Language if each is not Language.ENGLISH])
class TestCatalogue:
    def test_has_the_messages_of_the_program_and_no_others(self, language: Language) -> None:
        translated = catalogue_of(language)
        assert {(each.context, each.id) for each in translated if each.id} == {
            (each.context, each.id) for each in gathered() if each.id
        }, "run python -m tests.catalogue"

    def test_has_every_word(self, language: Language) -> None:
        for message in catalogue_of(language):
            assert all(forms(message.string)), f"{message.id!r} is not translated"
            assert not message.id or not message.fuzzy, f"{message.id!r} is fuzzy"

    def test_keeps_the_places_for_values(self, language: Language) -> None:
        for message in catalogue_of(language):
            asked = {place for form in forms(message.id) for place in PLACE.findall(form)}
            for form in forms(message.string):
                assert not message.id or set(PLACE.findall(form)) == asked, message.id

    def test_is_compiled(self, language: Language) -> None:
        with po_file(language).with_suffix(".mo").open("rb") as stream:
            compiled = _texts(read_mo(stream))
        assert compiled == _texts(catalogue_of(language)), "run python -m tests.catalogue"


def _texts(catalogue: Catalog) -> dict[tuple[str | None, tuple[str, ...]], tuple[str, ...]]:
    # A compiled context is read as bytes.
    return {
        (str(each.context, "utf-8") if isinstance(each.context, bytes) else each.context, tuple(forms(each.id))): tuple(
            forms(each.string)
        )
        for each in catalogue
        if each.id
    }


def test_messages_are_gathered_where_they_are_said() -> None:
    """A message is a literal, outside of f-strings, into which the gatherer does not look."""
    for path in HOUSE.glob("**/*.py"):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        hidden = {id(inner) for node in ast.walk(tree) if isinstance(node, ast.JoinedStr) for inner in ast.walk(node)}
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in KEYWORDS:
                told = f"{path}:{node.lineno}"
                assert id(node) not in hidden, f"{told}: a message in an f-string is not gathered"
                texts = node.args[: 2 if node.func.id in ("plural", "in_context") else 1]
                assert all(isinstance(text, ast.Constant) for text in texts), f"{told}: a message is no literal"
