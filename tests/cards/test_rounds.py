"""Rounds: the default deck's are like the whole, share nothing, and a note keeps its round in every deck."""

from collections import Counter
from collections.abc import Callable

import pytest

from deckbuilder.build import notes_of
from deckbuilder.cards.facts import Fact, Kind
from deckbuilder.cards.note import Note
from deckbuilder.cards.rounds import ROUNDS, round_of
from deckbuilder.recipe import parse_recipe

Table = dict[int, Counter[object]]


@pytest.fixture(scope="module")
def rounds() -> dict[int, list[Note]]:
    """Give the default deck's notes by round."""
    found: dict[int, list[Note]] = {}
    for note in notes_of(parse_recipe({}, "test")):
        number = round_of(note.identity)
        if number is not None:
            found.setdefault(number, []).append(note)
    return found


def counted(rounds: dict[int, list[Note]], group: Callable[[Note], object]) -> Table:
    """Count the cards of each group in each round."""
    return {
        number: Counter(found for note in notes for found in [group(note)] * len(note.kinds))
        for number, notes in rounds.items()
    }


def extremes(table: Table, group: object) -> tuple[int, int]:
    counts = [counter[group] for counter in table.values()]
    return min(counts), max(counts)


def test_a_round_takes_twenty_minutes(rounds: dict[int, list[Note]]) -> None:
    """Where the default deck grows or shrinks, so does `ROUNDS`."""
    assert sorted(rounds) == list(range(1, ROUNDS + 1))
    sizes = [sum(len(note.kinds) for note in notes) for notes in rounds.values()]
    assert 120 <= min(sizes) <= max(sizes) <= 150


def test_every_key_region_level_source_and_kind_has_its_share(rounds: dict[int, list[Note]]) -> None:
    keys = counted(rounds, lambda note: note.identity.key)
    regions = counted(rounds, lambda note: note.identity.region)
    for key in {key for counter in keys.values() for key in counter}:
        low, high = extremes(keys, key)
        assert 7 <= low <= high <= 20, key
        pairs = [keys[number][key] + keys[number % ROUNDS + 1][key] for number in keys]
        assert 18 <= min(pairs) <= max(pairs) <= 30, key
    for region in range(1, 6):
        low, high = extremes(regions, region)
        assert 16 <= low <= high <= 40, region
    levels = counted(rounds, lambda note: note.level)
    assert [extremes(levels, level)[0] >= least for level, least in ((1, 55), (2, 20), (3, 20))] == [True] * 3
    sources = counted(rounds, lambda note: str(note.identity.source))
    assert min(extremes(sources, "root")[0], extremes(sources, "third")[0]) >= 35
    for kind, least in ((Kind.LOCATE, 60), (Kind.IDENTIFY, 8), (Kind.HEAR, 15), (Kind.SPELL, 5), (Kind.CONNECT, 4)):
        assert all(sum(kind in note.kinds for note in notes) >= least for notes in rounds.values()), kind


def test_the_tag_says_it_and_improvisations_have_none(rounds: dict[int, list[Note]]) -> None:
    for number, notes in rounds.items():
        for note in notes:
            assert f"round::{number}" in note.tags
            assert note.identity.fact is not Fact.IMPROVISATION
    (improvisation, *_) = notes_of(parse_recipe({"keys": ["F"], "regions": [1], "kinds": ["improvise"]}, "test"))
    assert not [tag for tag in improvisation.tags if tag.startswith("round::")]


@pytest.mark.parametrize(
    "fields",
    [
        {"keys": ["F", "Gb"], "regions": [2, 3]},
        {"levels": [2], "kinds": ["locate"]},
        {"colours": ["half-whole-diminished", "altered"], "keys": ["Eb"]},
        {"instrument": {"tuning": "dadgad"}, "keys": ["A"], "seed": 3, "order": "region-first"},
    ],
)
def test_a_note_has_its_round_in_every_deck(rounds: dict[int, list[Note]], fields: dict[str, object]) -> None:
    def about(note: Note) -> str:
        return note.id.partition("/")[2]

    known = {about(note): number for number, notes in rounds.items() for note in notes}
    same = [
        (known[about(note)], round_of(note.identity))
        for note in notes_of(parse_recipe(fields, "test"))
        if about(note) in known
    ]
    assert len(same) > 20
    assert all(one == other for one, other in same)


def test_what_the_tables_do_not_know_has_a_round_too() -> None:
    fields = {
        "title": "Own",
        "keys": ["F"],
        "levels": [],
        "changes": [{"name": "Blues", "key": "Cm", "bars": ["| i6 | iv7 |"]}],
    }
    numbers = {
        round_of(note.identity)
        for note in notes_of(parse_recipe(fields, "test"))
        if note.identity.fact is not Fact.IMPROVISATION
    }
    assert None not in numbers
    assert len(numbers) > 3
