"""The desk says nothing past the catalogue: its page, and what its script says."""

import html
import re
from pathlib import Path

from deckbuilder.desk.choices import offered
from deckbuilder.desk.pages import page
from deckbuilder.recipe import read_recipe
from deckbuilder.recipe.included import included
from deckbuilder.speech import OWN_NAMES, Speech, code
from tests.cards.test_languages import LETTER, unsaid
from tests.marking import BEGIN, MARKED, marking

_CODE = re.compile(r"<(style|script|code|pre)\b.*?</\1>|<!doctype[^>]*>", re.DOTALL)
_NAMED = re.compile(r'(?:alt|aria-label|placeholder|title|data-play|data-stop)="([^"]*)"')
_GIVEN = (
    "deckbuilder",
    *(name for name, _sentence in OWN_NAMES.values()),
    "C D E F G A H",
    "A B C D E F G H",
    "do ré mi fa sol la si",
    "JavaScript",
)
"""What no language changes: the program, languages by their own names, notes and letters, a technique."""


def test_every_word_of_the_page_is_of_a_message(tmp_path: Path) -> None:
    with marking():
        made = page("desk.html", choices=offered(tmp_path), code=code(), speech=Speech(MARKED))
    assert made.count(BEGIN) > 300
    text = _CODE.sub("\n", made)
    recipes = [read_recipe(path) for path in included().values()]
    titles = [name for recipe in recipes for name in (recipe.title, *(tune.name for tune in recipe.changes))]
    names = (*_GIVEN, *sorted(titles, key=len, reverse=True))
    for line in (*_NAMED.findall(text), *re.sub("<[^>]*>", "\n", text).splitlines()):
        said = html.unescape(line).strip()
        # Data of the script's own has every text once more.
        assert said.startswith(("[{", '{"')) or not LETTER.search(unsaid(said, names)), said
