"""The neck with its regions, as data and as a drawing that can be tapped."""

import re
from itertools import pairwise
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from deckbuilder.desk.necks import neck
from deckbuilder.neck.tuning import TUNINGS
from deckbuilder.recipe import Recipe, parse_recipe
from deckbuilder.theory.keys import DEFAULT_KEYS, Key
from tests.desk.asking import Asker

SVG = "{http://www.w3.org/2000/svg}"
F = Key.parse("F")


def drawn(found: dict[str, Any]) -> ElementTree.Element:
    return ElementTree.fromstring(found["svg"])


def taps(found: dict[str, Any]) -> list[tuple[float, float]]:
    """Return left and right of what is tapped for each region."""
    boxes = [group.find(f"{SVG}rect") for group in drawn(found).iter(f"{SVG}g")]
    sides = [(float(box.get("x", "")), float(box.get("width", ""))) for box in boxes if box is not None]
    return [(left, left + width) for left, width in sides]


def test_regions_are_those_of_the_key() -> None:
    recipe = parse_recipe({"regions": [1, 5]}, "test")
    rows = neck(recipe, F)["regions"]
    assert [(row["number"], row["position"], row["low"]) for row in rows] == [
        (number, region.position, region.index_fret) for number in range(1, 6) for region in [recipe.region(F, number)]
    ]
    assert [row["number"] for row in rows if row["chosen"]] == [1, 5]
    assert [row["number"] for row in rows if row["open"]] == [1]
    assert rows[4]["label"] == "Region 5: position X, frets 10 to 13"


def test_strings_are_listed_from_the_lowest_and_drawn_with_it_at_the_bottom() -> None:
    found = neck(Recipe(), F)
    assert [row["pitch"] for row in found["strings"]] == ["E2", "A2", "D3", "G3", "B3", "E4"]
    assert [row["number"] for row in found["strings"]] == [6, 5, 4, 3, 2, 1]
    labels = [text for text in drawn(found).iter(f"{SVG}text") if text.get("class") == "open"]
    by_height = sorted(labels, key=lambda text: float(text.get("y", "")))
    assert [text.text for text in by_height] == ["E", "B", "G", "D", "A", "E"]


@pytest.mark.parametrize(("strung", "from_the_top"), [("left", "GDAEB"), ("right", "BEADG")])
def test_held_turned_over_the_lowest_string_is_at_the_top(strung: str, from_the_top: str) -> None:
    instrument = {"tuning": "bass-5", "hand": "left", "strung": strung}
    found = drawn(neck(parse_recipe({"instrument": instrument}, "test"), F))
    labels = [text for text in found.iter(f"{SVG}text") if text.get("class") == "open"]
    by_height = sorted(labels, key=lambda text: float(text.get("y", "")))
    assert "".join(str(text.text) for text in by_height) == from_the_top


@settings(max_examples=40, deadline=None)
@given(
    tuning=st.sampled_from(list(TUNINGS)),
    key=st.sampled_from(DEFAULT_KEYS),
    regions=st.integers(3, 5),
    left=st.booleans(),
)
def test_every_region_has_a_place_of_its_own_to_be_tapped(tuning: str, key: str, regions: int, left: bool) -> None:
    instrument = {"tuning": tuning, "regions": regions, "hand": "left" if left else "right"}
    found = neck(parse_recipe({"instrument": instrument}, "test"), Key.parse(key))
    boxes = taps(found)
    assert len(boxes) == regions
    assert all(0 <= start < end <= 1000 for start, end in boxes)
    for (start, end), (after, until) in pairwise(boxes):
        assert (until <= start + 0.2) if left else (end <= after + 0.2)


def test_the_left_hand_has_the_mirror_image() -> None:
    right, left = (taps(neck(parse_recipe({"instrument": {"hand": hand}}, "test"), F)) for hand in ("right", "left"))
    for (start, end), (before, after) in zip(left, right, strict=True):
        assert (1000 - end, 1000 - start) == pytest.approx((before, after), abs=0.2)


def test_a_capo_is_drawn_and_frets_are_counted_from_the_nut() -> None:
    found = neck(parse_recipe({"instrument": {"capo": 3}}, "test"), F)
    assert found["capo"] == 3
    assert all(3 <= row["low"] < row["high"] <= found["frets"] for row in found["regions"])
    assert [rect.get("class") for rect in drawn(found).iter(f"{SVG}rect")].count("capo") == 1


def test_the_drawing_has_no_style_no_script_and_nothing_from_elsewhere() -> None:
    text = neck(Recipe(), F)["svg"]
    assert not re.search(r"style|script|href|\bon\w+=|url\(", text)


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
