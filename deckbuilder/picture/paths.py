"""What a path looks like: from mark to mark a line whose arrowheads say which way.

A path lies under the marks and is white with a dark edge, as a root's ring is: it says order, not what a tone is. Each
step ends at the edge of the mark it leads to. Where two marks stand so close that little of a line is left, the
arrowhead is as small as the room between them.
"""

import math
from itertools import pairwise

import numpy as np

from deckbuilder.picture import style
from deckbuilder.picture.canvas import Letters, Shape
from deckbuilder.picture.description import Mark, NeckPicture
from deckbuilder.picture.geometry import Layout, mark_extent
from deckbuilder.picture.outlines import Outline
from deckbuilder.picture.style import PALETTE

SHORTEST = 2
"""Places that a path visits at least."""

_HEAD_ASPECT = 0.62
"""Half an arrowhead's width as a share of its length."""

_TIP = math.hypot(1, _HEAD_ASPECT) / _HEAD_ASPECT
"""How far before an arrowhead's tip that of its edge lies, for an edge that is 1 thick all around."""


def path_layers(picture: NeckPicture, layout: Layout) -> list[Shape | Letters]:
    """List the layers that draw a picture's paths, the lowest first.

    Args:
        picture: what is shown; every place of a path has a mark.
        layout: where it lies.
    """
    marks = {(mark.string, mark.fret): mark for mark in picture.marks}
    steps = {step for path in picture.paths for step in pairwise(path) if step[0] != step[1]}
    outlines = [outline for one, other in sorted(steps) for outline in _step(marks[one], marks[other], layout)]
    return [
        *(Shape(edge, PALETTE.halo) for edge, _ in outlines),
        *(Shape(inner, PALETTE.root_ring) for _, inner in outlines),
    ]


def _step(one: Mark, other: Mark, layout: Layout) -> list[tuple[Outline, Outline]]:
    """Trace one step: its line and its arrowhead, each with the dark edge around it and without."""
    start = np.array(layout.centre(one.string, one.fret))
    end = np.array(layout.centre(other.string, other.fret))
    length = float(np.hypot(*(end - start)))
    along = (end - start) / length
    tip_at = length - _reach(other, layout, along)
    room = tip_at - _reach(one, layout, along)
    head = min(max(room, style.PATH_SMALLEST_HEAD), style.PATH_HEAD)
    return [
        (
            _bar(start, along, tip_at - head / 2, style.PATH / 2 + style.PATH_EDGE),
            _bar(start, along, tip_at - head / 2, style.PATH / 2),
        ),
        (
            _head(start + along * (tip_at + style.PATH_EDGE * _TIP), along, head + style.PATH_EDGE * (_TIP + 1)),
            _head(start + along * tip_at, along, head),
        ),
    ]


def _reach(mark: Mark, layout: Layout, along: Outline) -> float:
    """Measure how far a mark reaches from its middle in a direction; its shape is taken for an ellipse."""
    width, height = mark_extent(mark, layout.size)
    return 1 / math.hypot(along[0] / (width / 2), along[1] / (height / 2))


def _bar(start: Outline, along: Outline, length: float, half: float) -> Outline:
    across = np.array([-along[1], along[0]]) * half
    end = start + along * length
    return np.array([start + across, end + across, end - across, start - across])


def _head(tip: Outline, along: Outline, length: float) -> Outline:
    across = np.array([-along[1], along[0]]) * length * _HEAD_ASPECT
    back = tip - along * length
    return np.array([tip, back + across, back - across])
