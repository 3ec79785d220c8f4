"""Progress says nothing past the catalogue: terminal, report, pictures, practice sheet and plan."""

import re
from collections.abc import Iterator
from html import unescape
from typing import Any

import pytest

from deckbuilder.build import notes_of
from deckbuilder.progress import charts, drawing, practice
from deckbuilder.progress.analysis import Analysis, analyse
from deckbuilder.progress.load import lines as plan_lines
from deckbuilder.progress.load import load_picture
from deckbuilder.progress.sheet import practice_sheet
from deckbuilder.progress.simulation import planned_cards, simulated
from deckbuilder.progress.terminal import lines
from deckbuilder.progress.work import work
from deckbuilder.recipe import parse_recipe
from deckbuilder.speech import Language, Speech, number, percent, speaking
from tests.cards.test_languages import LETTER, unsaid
from tests.marking import MARKED, marking
from tests.progress.conftest import DAYS, uneven
from tests.progress.learner import history_of, studied
from tests.progress.test_report import page_of

_CODE = re.compile(r"<style>.*?</style>|<code>.*?</code>|<!doctype[^>]*>", re.DOTALL)
_NAMED = re.compile(r'(?:alt|aria-label)="([^"]*)"')
GIVEN = ("standard", "--tuning", "tag:round::1")
"""What a deck and a player's app call things."""


def made() -> Analysis:
    return analyse(history_of(studied(uneven, seed=3, days=DAYS), DAYS))


def page_texts(page: str) -> Iterator[str]:
    text = _CODE.sub(" ", page)
    yield from map(unescape, _NAMED.findall(text))
    yield from unescape(re.sub("<[^>]*>", "\n", text)).splitlines()


def collected(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Collect what pictures and sheets say instead of writing it on them."""
    texts: list[str] = []

    def told(_axes: Any, _x: float, _y: float, words: str, *_args: Any, **_options: Any) -> None:
        texts.append(words)

    monkeypatch.setattr(charts, "text", told)
    monkeypatch.setattr(drawing.Sheet, "text", told)
    monkeypatch.setattr(drawing, "wrapped", lambda words, _size, _width: [words])
    return texts


@pytest.fixture
def drawn(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Give what pictures and the sheet say."""
    return collected(monkeypatch)


def test_every_word_of_a_report_is_of_a_message(drawn: list[str]) -> None:
    with marking():
        analysis = made()
        searches = [line for line in lines(analysis) if line.startswith("  tag:")]
        texts = [line for line in lines(analysis) if line not in searches]
        texts += page_texts(page_of(analysis))
        practice_sheet(analysis, work(analysis, 4), {})
    texts += drawn
    assert searches
    assert len(texts) > 300
    for text in texts:
        assert not LETTER.search(unsaid(text, GIVEN)), text


def test_every_word_of_a_plan_is_of_a_message(drawn: list[str]) -> None:
    recipe = parse_recipe({"keys": ["F", "Bb"], "regions": [1, 2]}, "test")
    with marking():
        course = simulated(planned_cards(notes_of(recipe)), 15, 1, 0.5)
    with speaking(Speech(MARKED)), marking():
        texts = list(plan_lines(course))
        load_picture(course)
    assert drawn
    for text in (*texts, *drawn):
        assert not LETTER.search(unsaid(text, tuple(course.laps))), text


def test_numbers_have_the_signs_of_their_language() -> None:
    assert (number(1234.5, 1), percent(0.995, 1)) == ("1,234.5", "99.5%")
    with speaking(Speech(Language.GERMAN)):
        assert (number(1234.5, 1), percent(0.995, 1)) == ("1.234,5", "99,5\N{NO-BREAK SPACE}%")
        assert practice.spoken_plan(practice.rotation(1))[0][1].startswith("langsam")
        (first, *_) = lines(made())
        assert first == "Stand 24. März 2024, Stimmung standard"
