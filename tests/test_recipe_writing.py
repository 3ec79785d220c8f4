"""Recipes that are written come back as they were."""

import tomllib
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from deckbuilder.cards.cardtypes import known_kinds
from deckbuilder.cards.choices import Breadth, Labels, Notation, Order, StudyBlock
from deckbuilder.cards.levels import LEVELS
from deckbuilder.neck.tuning import TUNINGS
from deckbuilder.recipe import Recipe, parse_recipe
from deckbuilder.recipe.writing import recipe_toml
from deckbuilder.theory.keys import KEY_NAMES

KEYS = st.lists(st.sampled_from(KEY_NAMES), min_size=1, max_size=4, unique=True)
REGIONS = st.lists(st.integers(1, 3), min_size=1, unique=True)
SOME_LEVELS = st.lists(st.sampled_from(sorted(LEVELS)), min_size=1, unique=True)
KINDS = st.lists(st.sampled_from([kind.value for kind in known_kinds()]), min_size=1, max_size=4, unique=True)
TITLES = st.text(st.characters(codec="utf-8", categories=("L", "N", "P", "S")), min_size=1).filter(
    lambda title: "::" not in title
)


def some(**fields: st.SearchStrategy[Any]) -> st.SearchStrategy[dict[str, Any]]:
    """Give any of some fields, as TOML has them."""
    return st.fixed_dictionaries({}, optional=fields)


BLOCKS = st.lists(some(keys=KEYS, regions=REGIONS, levels=SOME_LEVELS, kinds=KINDS), max_size=3)
CHANGES = st.lists(st.sampled_from(["Blues", "Rhythm", "Minor"]), max_size=2, unique=True).map(
    lambda names: [
        {"name": name, "key": "F", "transpose": name == "Blues", "bars": ["| ii7 | V7 | Imaj7 |"]} for name in names
    ]
)
RECIPES = some(
    title=TITLES,
    keys=KEYS,
    regions=REGIONS,
    levels=SOME_LEVELS,
    kinds=KINDS,
    study=BLOCKS,
    changes=CHANGES,
    order=st.sampled_from([one.value for one in Order]),
    labels=st.sampled_from([one.value for one in Labels]),
    notation=st.sampled_from([one.value for one in Notation]),
    tags=st.lists(st.sampled_from(["source::third", "key::F", "fact::scale"]), max_size=2, unique=True),
    seed=st.integers(-5, 5),
    new_limit=st.integers(1, 9999),
    breadth=some(locate=st.sampled_from([one.value for one in Breadth])),
    instrument=some(
        tuning=st.sampled_from(["standard", "dadgad", "bass-4", "seven-string"]),
        frets=st.integers(20, 24),
        regions=st.sampled_from([3, 5]),
        hand=st.sampled_from(["left", "right"]),
    ),
    sound=some(tempo=st.floats(40, 240), count_in=st.booleans(), silent=st.booleans()),
)


@settings(max_examples=60, deadline=None)
@given(RECIPES)
def test_what_is_written_is_read_as_the_same_recipe(fields: dict[str, Any]) -> None:
    recipe = parse_recipe(fields, "one")
    again = parse_recipe(tomllib.loads(recipe_toml(recipe)), "again")
    assert again == recipe
    assert recipe_toml(again) == recipe_toml(recipe)


def test_the_default_needs_no_word() -> None:
    assert recipe_toml(Recipe()) == ""


def test_frets_and_regions_that_another_neck_has_by_default_are_written() -> None:
    bass = parse_recipe({"instrument": {"tuning": "bass-4", "frets": 22}}, "bass")
    assert TUNINGS["bass-4"].usual_frets != 22
    assert tomllib.loads(recipe_toml(bass))["instrument"] == {"tuning": "bass-4", "frets": 22}
    few = parse_recipe({"regions": [1, 2, 3, 4, 5], "instrument": {"regions": 7}}, "few")
    assert tomllib.loads(recipe_toml(few))["regions"] == [1, 2, 3, 4, 5]


def test_a_block_says_no_more_than_it_was_given() -> None:
    recipe = Recipe(study=(StudyBlock(keys=("F",)), StudyBlock(("Bb",), (2,), (2,))))
    assert tomllib.loads(recipe_toml(recipe))["study"] == [
        {"keys": ["F"]},
        {"keys": ["Bb"], "regions": [2], "levels": [2]},
    ]
