"""A player studies, rebuilds, imports again, and loses nothing."""

from dataclasses import replace
from pathlib import Path

import pytest

from deckbuilder.build import build
from deckbuilder.cards.choices import Labels, Order
from deckbuilder.cards.facts import Kind
from deckbuilder.cards.syllabus import syllabus
from deckbuilder.deck.store import Store
from deckbuilder.recipe import Recipe, parse_recipe
from tests.deck.importer import Collection

FIRST = parse_recipe({"title": "Mine", "keys": ["F"], "regions": [5], "levels": [1], "kinds": ["locate"]}, "first")
STAMP = 1_700_000_000


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("reimport")


def _built(folder: Path, name: str, recipe: Recipe, stamp: int) -> Path:
    target = folder / f"{name}.apkg"
    build(recipe, target, store=Store(folder / "store"), timestamp=stamp)
    return target


@pytest.fixture
def studied(folder: Path) -> Collection:
    collection = Collection(_built(folder, "first", FIRST, STAMP))
    for number, (card,) in enumerate(collection.rows("select id from cards order by id")[:4]):
        collection.answer(int(str(card)), 10 + number, STAMP + 100)
    return collection


def test_a_newer_build_updates_texts_and_touches_no_review(studied: Collection, folder: Path) -> None:
    schedule = studied.rows("select * from cards order by id")
    log = studied.rows("select * from revlog order by id")
    guids = studied.rows("select guid from notes order by guid")
    changed = replace(FIRST, labels=Labels.NAMES, title="Renamed", order=Order.KEY_FIRST)
    assert studied.take_in(_built(folder, "second", changed, STAMP + 1000)) == (0, len(guids))
    assert studied.rows("select * from cards order by id") == schedule
    assert studied.rows("select * from revlog order by id") == log
    assert studied.rows("select guid from notes order by guid") == guids
    assert {stamp for (stamp,) in studied.rows("select mod from notes")} == {STAMP + 1000}


def test_new_notes_and_newly_wanted_kinds_are_added(studied: Collection, folder: Path) -> None:
    schedule = studied.rows("select * from cards order by id")
    notes = len(studied.rows("select 1 from notes"))
    wider = replace(FIRST, levels=(1, 2), kinds=(Kind.LOCATE, Kind.IDENTIFY))
    assert studied.take_in(_built(folder, "wider", wider, STAMP + 1000)) == (3, notes)
    assert studied.rows("select * from cards order by id")[: len(schedule)] == schedule
    cards = sum(len(note.kinds) for note in syllabus(wider))
    assert notes + 3 < len(studied.rows("select 1 from cards")) == cards
    assert not studied.rows("select guid from notes group by guid having count(*) > 1")
    assert not studied.rows("select nid, ord from cards group by nid, ord having count(*) > 1")


def test_a_smaller_build_leaves_the_rest_alone(studied: Collection, folder: Path) -> None:
    before = studied.rows("select guid, flds from notes order by guid")
    smaller = replace(FIRST, keys=("Bb",))
    added, updated = studied.take_in(_built(folder, "smaller", smaller, STAMP + 1000))
    assert (added, updated) == (len(before), 0)
    left = studied.rows("select guid, flds from notes where tags like '%key::F%' order by guid")
    assert left == before


def test_an_older_build_changes_nothing(studied: Collection, folder: Path) -> None:
    before = studied.rows("select * from notes order by id")
    changed = replace(FIRST, labels=Labels.NAMES)
    assert studied.take_in(_built(folder, "older", changed, STAMP - 1000)) == (0, 0)
    assert studied.rows("select * from notes order by id") == before
