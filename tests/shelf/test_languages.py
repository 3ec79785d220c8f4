"""The page of the shelf says nothing past the catalogue."""

import html
import re
from dataclasses import replace

from deckbuilder.build import notes_of
from deckbuilder.cards.choices import Hand
from deckbuilder.recipe import parse_recipe
from deckbuilder.shelf.page import Offer, page, sample_note
from deckbuilder.shelf.parts import Shape, parts
from tests.cards.test_languages import LETTER, unsaid
from tests.marking import MARKED, marking

_CODE = re.compile(r"<(style|script)\b.*?</\1>|<!doctype[^>]*>", re.DOTALL)
_NAMED = re.compile(r'(?:alt|aria-label)="([^"]*)"')


def test_every_word_is_of_a_message() -> None:
    given = {"title": "§", "keys": ["F", "Bb"], "regions": [1, 2, 3], "levels": [1], "kinds": ["locate"]}
    recipe = replace(parse_recipe(given, "test"), language=MARKED)
    with marking():
        cut = parts(recipe, notes_of(recipe))
        offers = [Offer(part, number or None, dict.fromkeys(Hand, ("1", 1))) for number, part in enumerate(cut)]
        made = _CODE.sub("\n", page("§", offers, 15, sample_note(offers), b""))
    assert {part.shape for part in cut} == set(Shape)
    for line in (*_NAMED.findall(made), *re.sub("<[^>]*>", "\n", made).splitlines()):
        said = html.unescape(line)
        assert not LETTER.search(unsaid(said, ())), said
