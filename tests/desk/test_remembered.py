"""Notes that are remembered are those that are made anew, whatever was asked before."""

from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given, settings

from deckbuilder.build import notes_of
from deckbuilder.cards.choices import Order
from deckbuilder.cards.recipe import Recipe
from deckbuilder.desk.remembered import Memory, OvertakenError, remembering
from tests.desk.recipes import recipes

QUICK = Recipe(keys=("F",), regions=(5,), levels=(1,))


@settings(max_examples=12, deadline=None)
@given(first=recipes(), second=recipes())
def test_a_memory_changes_no_note(first: Recipe, second: Recipe) -> None:
    memory = Memory()
    for recipe in (first, replace(first, keys=second.keys, levels=second.levels or first.levels), second, first):
        assert notes_of(recipe, tuple(remembering(recipe, memory))) == notes_of(recipe)


def counting(calls: list[bool]) -> Callable[[], bool]:
    def wanted() -> bool:
        calls.append(True)
        return len(calls) < 10

    return wanted


def test_what_is_known_is_not_made_again() -> None:
    memory = Memory()
    notes_of(QUICK, tuple(remembering(QUICK, memory)))
    known = len(memory)
    wider = replace(QUICK, title="Another", order=Order.KEY_FIRST, levels=(1, 2))
    notes_of(replace(QUICK, title="Another"), tuple(remembering(QUICK, memory)))
    assert len(memory) == known
    notes_of(wider, tuple(remembering(wider, memory)))
    assert known < len(memory) < 2 * known


def test_a_full_memory_drops_the_oldest_and_changes_nothing() -> None:
    memory = Memory(most=3)
    assert notes_of(QUICK, tuple(remembering(QUICK, memory))) == notes_of(QUICK)
    assert len(memory) == 3


def test_notes_that_are_not_wanted_are_left_and_what_was_made_is_kept() -> None:
    memory, calls = Memory(), list[bool]()
    with pytest.raises(OvertakenError):
        notes_of(QUICK, tuple(remembering(QUICK, memory, counting(calls))))
    assert len(calls) == 10
    assert len(memory) == 9
