"""Suggestions: the nearest right word."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.suggestions import nearest, remedy

KINDS = ("locate", "identify", "hear", "spell")


@pytest.mark.parametrize(
    ("word", "right"), [("locat", "locate"), ("LOCATE", "locate"), (" hear ", "hear"), ("spel", "spell"), ("zzz", None)]
)
def test_the_nearest_word_is_suggested(word: str, right: str | None) -> None:
    assert nearest(word, KINDS) == right


@given(st.sampled_from(KINDS))
def test_a_known_word_is_its_own_nearest(word: str) -> None:
    assert nearest(word, KINDS) == nearest(word.upper(), KINDS) == word


def test_where_nothing_is_near_all_are_named() -> None:
    assert remedy("xyz", KINDS) == "choose from locate, identify, hear, spell"
    assert remedy("x" * 10**6, KINDS) == remedy("xyz", KINDS)
    assert remedy("idenify", KINDS) == "did you mean 'identify'?"
