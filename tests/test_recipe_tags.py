"""Tags in a recipe: a part of the same deck, note by note."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from deckbuilder.build import EmptySelectionError, notes_of
from deckbuilder.recipe import parse_recipe
from deckbuilder.recipe.toml import RecipeError

FIELDS = {"keys": ["F", "Bb"], "regions": [1, 2], "levels": [1, 2]}
WHOLE = {note.id: note for note in notes_of(parse_recipe(FIELDS, "whole"))}
TAGS = sorted({tag for note in WHOLE.values() for tag in note.tags if not tag.startswith("tuning")})


@settings(max_examples=8, deadline=None)
@given(st.lists(st.sampled_from(TAGS), min_size=1, max_size=3, unique=True))
def test_a_deck_with_tags_is_the_part_of_the_whole_that_bears_them(tags: list[str]) -> None:
    axes = {tag.partition("::")[0] for tag in tags}
    wanted = {
        name: note
        for name, note in WHOLE.items()
        if all(any(tag.startswith(f"{axis}::") and tag in note.tags for tag in tags) for axis in axes)
        # Where one colour alone is asked for, no card may ask which colour sounds.
        and [tag.partition("::")[0] for tag in tags].count(note.identity.fact) != 1
    }
    recipe = parse_recipe({**FIELDS, "tags": tags}, "part")
    if wanted:
        assert {note.id: note for note in notes_of(recipe)} == wanted
    else:
        with pytest.raises(EmptySelectionError, match="bears the tags"):
            notes_of(recipe)


def test_one_answer_alone_is_no_question() -> None:
    def facts(*tags: str) -> set[str]:
        return {note.identity.fact for note in notes_of(parse_recipe({**FIELDS, "tags": list(tags)}, "x"))}

    assert facts("source::third", "source::root") - facts("source::third") == {"source"}


@pytest.mark.parametrize("value", ["third", "sauce::third", "source::", "::", "source::a b", "key:F"])
def test_what_is_no_tag_is_told(value: str) -> None:
    with pytest.raises(RecipeError, match=r"write axis::value as in source::third; axes are level, key, "):
        parse_recipe({"tags": [value]}, "x")
