"""Descriptions that cannot be drawn are refused with what would be right."""

from dataclasses import replace
from typing import Any

import pytest

from deckbuilder.picture.description import Mark, NeckPicture, Role
from deckbuilder.picture.geometry import PictureError
from deckbuilder.picture.neck import position_name
from deckbuilder.picture.render import render

GOOD = NeckPicture(strings=6, first_fret=4, last_fret=9, index_fret=5, marks=())


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"strings": 2}, "2 strings; a neck has 3 to 10"),
        ({"strings": 11}, "11 strings; a neck has 3 to 10"),
        ({"first_fret": -1}, "frets -1 to 9"),
        ({"first_fret": 10}, "frets 10 to 9"),
        ({"first_fret": 0, "last_fret": 0, "index_fret": None}, "frets 0 to 0"),
        ({"last_fret": 40}, "from 1 to 36"),
        ({"index_fret": 3}, "index fret 3 is outside the window"),
        ({"capo": 10}, "capo at fret 10"),
        ({"capo": -1}, "capo at fret -1"),
        ({"capo": 6}, "behind the capo at fret 6"),
        ({"marks": (Mark(7, 5, Role.TONE),)}, "string 7, fret 5: strings are numbered 1 to 6"),
        ({"marks": (Mark(1, 3, Role.TONE),)}, "playable frets shown are 4 to 9"),
        ({"marks": (Mark(1, 5, Role.TONE),), "capo": 6, "index_fret": 6}, "playable frets shown are 6 to 9"),
        ({"marks": (Mark(1, 5, Role.TONE), Mark(1, 5, Role.SCALE))}, "two marks on string 1, fret 5"),
        ({"marks": (Mark(1, 5, Role.TONE, "maj79"),)}, "label 'maj79'.*at most 4 printable"),
        ({"marks": (Mark(1, 5, Role.TONE, "\n"),)}, "at most 4 printable"),
        ({"string_names": ("E", "A")}, "2 string names for 6 strings"),
        ({"string_names": ("highest",) * 6}, "string name 'highest'"),
        ({"first_fret": 1, "last_fret": 20}, "too many for one legible picture"),
    ],
)
def test_bad_descriptions_are_refused(change: dict[str, Any], message: str) -> None:
    with pytest.raises(PictureError, match=message):
        render(replace(GOOD, **change))


def test_position_names() -> None:
    names = [position_name(fret) for fret in range(13)]
    assert names == ["open", "I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X", "XI", "XII"]
    assert [position_name(fret) for fret in (14, 19, 20)] == ["XIV", "XIX", "XX"]
