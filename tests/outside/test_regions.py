"""Regions of standard tuning against the five positions that players know.

Source: common practice, no source. With the key's root at fret r of the lowest string the five positions of the major
scale have the first finger at r−1, r+1 or r+2, r+4, r+6 or r+7, and r+9.
"""

import pytest

from deckbuilder.neck.fingering import fingering
from deckbuilder.neck.regions import regions
from deckbuilder.neck.tuning import tuning_named
from deckbuilder.theory.keys import KEY_NAMES, Key

STANDARD = tuning_named("standard")
POSITIONS = ({11}, {1, 2}, {4}, {6, 7}, {9})
LOW_E = 4


@pytest.mark.parametrize("name", KEY_NAMES)
def test_the_five_positions(name: str) -> None:
    root_fret = (Key.parse(name).tonic.pitch_class - LOW_E) % 12
    relative = sorted(
        (region.index_fret - root_fret) % 12 for region in regions(STANDARD, Key.parse(name).tonic.pitch_class)
    )
    assert all(fret in allowed for fret, allowed in zip(relative, sorted(POSITIONS, key=min), strict=True))


def test_f_in_first_position_as_beginners_learn_it() -> None:
    """Common practice, no source: F major with open strings, from the low E string up."""
    first = regions(STANDARD, 5)[0]
    notes = fingering(STANDARD, Key.parse("F").scale.pitch_classes, first.index_fret, frets=22).notes
    frets: dict[int, list[int]] = {}
    for note in notes:
        frets.setdefault(note.place.string, []).append(note.place.fret)
    assert frets == {6: [0, 1, 3], 5: [0, 1, 3], 4: [0, 2, 3], 3: [0, 2, 3], 2: [1, 3], 1: [0, 1, 3]}
