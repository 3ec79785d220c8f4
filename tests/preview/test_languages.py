"""The page says nothing past the catalogue, in its text and in what its script fills in."""

import re
from dataclasses import replace
from html import unescape

from deckbuilder.build import notes_of
from deckbuilder.preview.cards import cards_of
from deckbuilder.preview.page import INDEX, page_texts
from deckbuilder.recipe import parse_recipe
from deckbuilder.speech import Language
from tests.cards.test_languages import LETTER, LEVELS_TOO, unsaid
from tests.marking import MARKED, marking

_OUTSIDE = re.compile(r"<!doctype[^>]*>|<(?!h1)[^>]*>|<h1>[^<]*</h1>")
_NAMED = re.compile(r'aria-label="([^"]*)"')
_WORDS = re.compile(r'"words":\{(.*?)\},"sides"')
RECIPE = parse_recipe({"keys": ["F"], "regions": [1], **LEVELS_TOO}, "test")


def test_every_word_is_of_a_message() -> None:
    recipe = replace(RECIPE, language=MARKED)
    with marking():
        notes = notes_of(recipe)
        texts = page_texts("§", notes)
        values = {value for card in cards_of(notes) for value in card.values.values() if value}
    page = texts[INDEX]
    assert '<html lang="qq">' in page
    (words,) = _WORDS.findall(next(text for name, text in texts.items() if name == "cards.js"))
    said = re.findall(r':"((?:[^"\\]|\\.)*)"', words)
    assert len(said) == 8
    for text in (*_NAMED.findall(page), *_OUTSIDE.sub("\n", page).splitlines(), *said, *values):
        assert not LETTER.search(re.sub(r"\{\w+\}|JavaScript", " ", unsaid(unescape(text), ()))), text


def test_the_page_says_its_language() -> None:
    recipe = replace(RECIPE, language=Language.GERMAN)
    with recipe.in_force():
        page = page_texts(recipe.deck_title, notes_of(recipe))[INDEX]
    assert '<html lang="de">' in page
    assert "<title>Das ganze Griffbrett: alle Karten</title>" in page
