"""The neck with its regions, as a page is told it."""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from deckbuilder.desk.necks import neck
from deckbuilder.neck.tuning import TUNINGS
from deckbuilder.recipe import Recipe, parse_recipe
from deckbuilder.theory.keys import DEFAULT_KEYS, Key
from tests.desk.asking import Asker

F = Key.parse("F")


def test_regions_are_those_of_the_key() -> None:
    recipe = parse_recipe({"regions": [1, 5]}, "test")
    rows = neck(recipe, F)["regions"]
    assert [(row["number"], row["position"], row["low"]) for row in rows] == [
        (number, region.position, region.index_fret) for number in range(1, 6) for region in [recipe.region(F, number)]
    ]
    assert [row["number"] for row in rows if row["chosen"]] == [1, 5]
    assert [row["number"] for row in rows if row["open"]] == [1]
    assert rows[4]["label"] == "Region 5: position X, frets 10 to 13"


def test_strings_are_listed_from_the_lowest() -> None:
    found = neck(Recipe(), F)
    assert [row["pitch"] for row in found["strings"]] == ["E2", "A2", "D3", "G3", "B3", "E4"]
    assert [row["number"] for row in found["strings"]] == [6, 5, 4, 3, 2, 1]
    assert [row["label"] for row in found["strings"]] == ["E", "A", "D", "G", "B", "E"]


def test_the_first_notes_of_the_key_are_those_that_players_know() -> None:
    """Source: F on a guitar in standard tuning, common practice, no source."""
    places = [(row["string"], row["fret"]) for row in neck(Recipe(), F)["tonics"] if row["fret"] <= 12]
    assert places == [(0, 1), (1, 8), (2, 3), (3, 10), (4, 6), (5, 1)]
    capo = neck(parse_recipe({"instrument": {"capo": 3}}, "test"), F)["tonics"]
    assert min(row["fret"] for row in capo) == 3


@pytest.mark.parametrize(("strung", "turned"), [("left", False), ("right", True)])
def test_an_instrument_of_the_other_hand_is_held_turned_over(strung: str, turned: bool) -> None:
    found = neck(parse_recipe({"instrument": {"hand": "left", "strung": strung}}, "test"), F)
    assert (found["hand"], found["turned_over"]) == ("left", turned)


@settings(max_examples=40, deadline=None)
@given(tuning=st.sampled_from(list(TUNINGS)), key=st.sampled_from(DEFAULT_KEYS), regions=st.integers(3, 5))
def test_regions_go_up_the_neck_and_stay_on_it(tuning: str, key: str, regions: int) -> None:
    found = neck(parse_recipe({"instrument": {"tuning": tuning, "regions": regions}}, "test"), Key.parse(key))
    lows = [row["low"] for row in found["regions"]]
    assert lows == sorted(set(lows))
    assert len(lows) == regions
    assert all(row["low"] < row["high"] <= found["frets"] for row in found["regions"])


def test_a_capo_is_drawn_and_frets_are_counted_from_the_nut() -> None:
    found = neck(parse_recipe({"instrument": {"capo": 3}}, "test"), F)
    assert found["capo"] == 3
    assert all(3 <= row["low"] < row["high"] <= found["frets"] for row in found["regions"])


def test_a_page_is_told_the_neck_of_its_recipe(asker: Asker) -> None:
    typed = {"instrument": {"tuning": ["D2", "A2", "D3", "G3", "A3", "D4"]}}
    found = asker.post("/api/neck", {"recipe": typed, "key": "Bb"}).json
    assert found == neck(parse_recipe(typed, "test"), Key.parse("Bb"))
    assert found["key"] == "B♭"
    minor = asker.post("/api/neck", {"recipe": {}, "key": "Cm"}).json
    assert [row["low"] for row in minor["regions"]] == [
        row["low"] for row in neck(Recipe(), Key.parse("Eb"))["regions"]
    ]


@pytest.mark.parametrize(
    ("body", "status", "where"),
    [
        ({"recipe": {}}, 400, None),
        ({"recipe": {}, "key": "X"}, 422, None),
        ({"recipe": {"instrument": {"tuning": ["E2", "A2"]}}, "key": "F"}, 422, ["instrument", "tuning"]),
        ({"recipe": {"instrument": {"tuning": ["E2", "A2", "nothing"]}}, "key": "F"}, 422, ["instrument", "tuning"]),
    ],
)
def test_what_has_no_neck_is_told(asker: Asker, body: dict[str, Any], status: int, where: list[str] | None) -> None:
    answer = asker.post("/api/neck", body)
    assert answer.status == status
    assert answer.json["where"] == where
