"""Blocks of study and the daily limit in a recipe: what is read, narrowed by filters, and refused."""

import re
from typing import Any

import pytest

from deckbuilder.cards.choices import StudyBlock
from deckbuilder.cards.facts import Kind
from deckbuilder.recipe import RecipeError, parse_recipe

BLOCKS = [
    {"keys": ["F"], "levels": [1]},
    {"keys": ["B♭", "F"], "regions": [2], "levels": [2], "kinds": ["locate", "identify"]},
]


def read(overrides: dict[str, object], **fields: object) -> tuple[StudyBlock, ...]:
    return parse_recipe({"study": BLOCKS, **fields}, "r.toml", overrides).study


def test_blocks_are_read() -> None:
    second = StudyBlock(("Bb", "F"), (2,), (2,), (Kind.LOCATE, Kind.IDENTIFY))
    assert read({}) == (StudyBlock(keys=("F",), levels=(1,)), second)


def test_a_filter_leaves_of_a_block_what_it_names() -> None:
    assert read({"keys": ["Bb", "C"]}) == (StudyBlock(("Bb",), (2,), (2,), (Kind.LOCATE, Kind.IDENTIFY)),)
    assert read({"levels": [1]}) == (StudyBlock(keys=("F",), levels=(1,)),)
    assert [block.kinds for block in read({"kinds": ["identify"]})] == [(), (Kind.IDENTIFY,)]


def test_what_a_block_does_not_say_follows_the_filter() -> None:
    recipe = parse_recipe({"study": BLOCKS, "regions": [1, 3]}, "r.toml", {"regions": [2, 4]})
    assert [part.regions for part in recipe.parts] == [(2, 4), (2,)]


def test_filters_that_leave_nothing_are_told() -> None:
    with pytest.raises(RecipeError, match=r"--levels 3: no \[\[study\]\] block of r\.toml has that; leave"):
        read({"levels": [3]})
    with pytest.raises(RecipeError, match="--keys Bb, --levels 1: no "):
        read({"keys": ["Bb"], "levels": [1]})


@pytest.mark.parametrize(
    ("fields", "message"),
    [
        ({"study": [{"keys": ["H"]}]}, r'r.toml: study 1.keys = \["H"\]: .*German name of B'),
        ({"study": [{}, {"levels": [9]}]}, r"r.toml: study 2.levels = \[9\]: there is no level 9"),
        ({"study": [{"region": [1]}]}, "r.toml: study 1.region: there is no such field; did you mean 'regions'"),
        ({"study": [{}, {"regions": [6]}]}, "block 2: there is no region 6: a key has regions 1 to 5"),
        ({"study": [{"kinds": []}]}, r"r.toml: study 1.kinds = \[\]: nothing is selected"),
        ({"study": {"keys": ["F"]}}, r"r.toml: study = .*: there may be several of these: write \[\[study\]\]"),
        (
            {"levels": [], "changes": [{"name": "x", "key": "F", "bars": "| I |"}], "study": [{"keys": ["F"]}]},
            r"block 1 has no levels, nor has the recipe; write levels = \[1\]",
        ),
        ({"new_limit": 0}, "r.toml: new_limit = 0: an app takes 1 to 9,999 new cards a day"),
        ({"new_limit": "many"}, 'new_limit = "many": this has to be a whole number'),
    ],
)
def test_mistakes_are_told_with_block_key_and_remedy(fields: dict[str, Any], message: str) -> None:
    with pytest.raises(RecipeError) as caught:
        parse_recipe(fields, "r.toml")
    assert re.search(message, str(caught.value)), str(caught.value)
    assert len(str(caught.value).splitlines()) == 1
