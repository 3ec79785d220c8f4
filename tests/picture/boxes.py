"""Boxes that marks cover, from the layout and the sizes of marks."""

from deckbuilder.picture.description import Mark
from deckbuilder.picture.geometry import Box, Layout, mark_extent


def mark_box(mark: Mark, layout: Layout) -> Box:
    """Find the box that a mark covers in a window.

    Args:
        mark: the tone.
        layout: the window's layout.
    """
    x, y = layout.centre(mark.string, mark.fret)
    width, height = mark_extent(mark, layout.size)
    return Box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)


def overlap(one: Box, other: Box) -> bool:
    """Tell whether two boxes share any area."""
    return one.left < other.right and other.left < one.right and one.top < other.bottom and other.top < one.bottom
