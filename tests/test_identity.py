"""What importers know decks by stays, whatever else changes."""

import json

import pytest

from tests.identity import INSTRUMENTS, LIST, guids, identity, recipe


def test_identity_is_the_committed_list() -> None:
    """A difference here costs players their progress: see DEVELOPERS.md before the list is written again."""
    assert identity() == json.loads(LIST.read_text(encoding="utf-8"))


@pytest.mark.parametrize("name", INSTRUMENTS)
def test_nothing_but_the_subject_is_in_an_id(name: str) -> None:
    instrument = INSTRUMENTS[name]
    changed = recipe(
        {**instrument, "hand": "left"},
        title="Another title",
        order="region-first",
        labels="names",
        sound={"a4": 442.0, "tempo": 90.0, "direction": "down"},
    )
    assert guids(changed) == guids(recipe(instrument))


def test_a_kind_switched_off_takes_no_id_along() -> None:
    part, whole = guids(recipe({}, kinds=["locate", "spell"])), guids(recipe({}))
    assert part
    assert part.items() <= whole.items()


def test_every_id_belongs_to_one_note() -> None:
    every = [guid for instrument in INSTRUMENTS.values() for guid in guids(recipe(instrument)).values()]
    assert len(set(every)) == len(every)
