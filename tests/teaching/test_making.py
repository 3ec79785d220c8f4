"""The decks of a class: rendered once for all, one for each student, and all of them fit for one collection."""

from pathlib import Path

import pytest

from deckbuilder.build import build, media_of
from deckbuilder.deck.check import check_package
from deckbuilder.deck.store import Store
from deckbuilder.teaching.making import Made, Planned, make, media_of_all, planned
from deckbuilder.teaching.roster import Refused, read_class
from tests.deck.importer import Collection
from tests.deck.reading import read_package

STAMP = 1_700_000_000.0
CLASS = """
title = "Class"
[recipe]
keys = ["F"]
regions = [5]
levels = [1]
kinds = ["locate"]
[[students]]
name = "A"
[[students]]
name = "B"
levels = [1, 2]
[[students]]
name = "C"
[students.sound]
silent = true
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("class")


@pytest.fixture(scope="module")
def decks(folder: Path) -> list[Planned]:
    (folder / "class.toml").write_text(CLASS)
    found, refused = planned(read_class(folder / "class.toml"), folder)
    assert not refused
    return found


@pytest.fixture(scope="module")
def told() -> list[tuple[int, int]]:
    return []


@pytest.fixture(scope="module")
def made(decks: list[Planned], folder: Path, told: list[tuple[int, int]]) -> list[Made]:
    found = make(
        decks,
        store=Store(folder / "store"),
        timestamp=STAMP,
        on_progress=lambda done, total: told.append((done, total)),
    )
    return [one for one in found if isinstance(one, Made)]


def test_each_deck_is_the_one_that_its_recipe_makes_alone(made: list[Made], folder: Path) -> None:
    assert [one.planned.student.name for one in made] == ["A", "B", "C"]
    for one in made:
        alone = folder / "alone.apkg"
        summary = build(one.planned.student.recipe, alone, store=Store(folder / "store"), timestamp=STAMP)
        assert one.planned.target.read_bytes() == alone.read_bytes()
        assert (one.size, one.planned.cards) == (summary.size, summary.cards)
        assert not check_package(alone).problems
        alone.unlink()


def test_what_several_need_is_rendered_once(
    made: list[Made], decks: list[Planned], folder: Path, told: list[tuple[int, int]]
) -> None:
    names = {medium.name for one in decks for medium in media_of(one.notes)}
    assert len(made) == 3
    assert told[-1] == (len(names), len(names)) == (len(media_of_all(decks)),) * 2
    assert len(names) < sum(len(media_of(one.notes)) for one in decks)
    assert set(Store(folder / "store").names()) == names


def test_a_bigger_deck_takes_more_days(made: list[Made]) -> None:
    days = [one.days for one in made]
    assert all(days)
    assert days[1] >= days[0] == days[2]  # type: ignore[operator]


def test_one_that_cannot_be_written_does_not_keep_the_others(decks: list[Planned], tmp_path: Path) -> None:
    (tmp_path / "class.toml").write_text(CLASS)
    roster = read_class(tmp_path / "class.toml")
    (tmp_path / "class-b.apkg").write_bytes(b"somebody's own")
    found, refused = planned(roster, tmp_path)
    assert [one.student.name for one in found] == ["A", "C"]
    assert [row.name for row in refused] == ["B"]
    assert refused[0].lines[0].startswith("B: ")
    # One that comes to lie there later is told too.
    (tmp_path / "class-a.apkg").write_bytes(b"somebody's own")
    results = list(make(found, store=Store(tmp_path / "store"), timestamp=STAMP))
    assert [type(one) for one in results] == [Refused, Made]
    assert (tmp_path / "class-b.apkg").read_bytes() == (tmp_path / "class-a.apkg").read_bytes() == b"somebody's own"


def test_decks_of_two_students_can_both_be_imported(made: list[Made]) -> None:
    """The same fact is the same note; it stays in the deck that brought it, with its schedule, and is never doubled."""
    first, second = (read_package(one.planned.target) for one in made[:2])
    shared = {row.guid for row in first.rows} & {row.guid for row in second.rows}
    assert shared == {row.guid for row in first.rows}
    collection = Collection(made[0].planned.target)
    for number, (card,) in enumerate(collection.rows("select id from cards order by id")[:3]):
        collection.answer(int(str(card)), 10 + number, int(STAMP) + 100)
    cards, log = (collection.rows(f"select * from {table} order by id") for table in ("cards", "revlog"))
    added, updated = collection.take_in(made[1].planned.target)
    assert (added, updated) == (len(second.rows) - len(shared), 0)
    assert collection.rows("select * from cards order by id")[: len(cards)] == cards
    assert collection.rows("select * from revlog order by id") == log
    assert not collection.rows("select guid from notes group by guid having count(*) > 1")
    # Only what the first one lacked lies in the second one's deck.
    own_decks = {deck for (deck,) in collection.rows("select did from cards order by id")[len(cards) :]}
    assert not own_decks & {row[2] for row in cards}
    # And so the other way round.
    other = Collection(made[1].planned.target)
    assert other.take_in(made[0].planned.target) == (0, 0)
