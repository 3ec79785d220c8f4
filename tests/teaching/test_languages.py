"""The week of a class says nothing past the catalogue, on its page, its sheets and in the terminal."""

import pytest

from deckbuilder.progress.drawing import Paper
from deckbuilder.progress.spots import spots
from deckbuilder.recipe import parse_recipe
from deckbuilder.teaching.classpage import class_html, terminal_rows
from deckbuilder.teaching.matching import Unused
from deckbuilder.teaching.roster import Student
from deckbuilder.teaching.week import Change, Standing, Week
from deckbuilder.teaching.weekplan import week_plan
from deckbuilder.teaching.weeksheet import week_sheet
from tests.cards.test_languages import LETTER, unsaid
from tests.marking import marking
from tests.progress.test_languages import GIVEN, collected, made, page_texts

RECIPE = parse_recipe({"title": "§", "keys": ["F"], "regions": [1], "levels": [1], "kinds": ["locate"]}, "test")
NAMES = (*GIVEN, "Kim", "Bo", "Twelve-bar blues", "Minor tune", "Rhythm changes")


def test_every_word_of_a_week_is_of_a_message(monkeypatch: pytest.MonkeyPatch) -> None:
    drawn = collected(monkeypatch)
    with marking():
        analysis = made()
        found = spots(analysis)
        change = Change("2024-03-17", ("1",), ("2",), (0.5, 0.7), 4)
        places = tuple(map(str, range(6)))
        last = analysis.history.now
        one = Standing(Student("Kim", RECIPE), "Kim", ("1",), analysis, last, 1, 2.0, 3, places, found, change, 60)
        other = Standing(Student("Bo", RECIPE), "Bo", ("1",), analysis, last, 0, 0.0, 0, (), (), None, 240)
        absent = tuple(Standing(Student("Kim", RECIPE), "Kim", files) for files in ((), ("1",)))
        week = Week("§", last, (one, other, *absent), (Unused("1", "2"),))
        texts = [*page_texts(class_html(week, {})), *(cell for row in terminal_rows(week) for cell in row)]
        for tempo in (60, 240):
            week_sheet("§", last, week_plan(analysis, RECIPE, (), tempo), Paper.A4)
    assert found
    assert drawn
    for text in (*texts, *drawn):
        assert not LETTER.search(unsaid(text, NAMES)), text
