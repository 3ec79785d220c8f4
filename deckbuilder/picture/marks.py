"""What a mark looks like: a plectrum for a guide tone, a disc for another tone, a dot for the scale.

A root has a ring around its shape, with a gap between; every mark has a dark edge that lifts it off the
strings.
"""

from deckbuilder.picture import style
from deckbuilder.picture.canvas import Face, Letters, Shape
from deckbuilder.picture.description import Mark, Role
from deckbuilder.picture.outlines import Outline, disc, plectrum
from deckbuilder.picture.sizes import MarkSize
from deckbuilder.picture.style import PALETTE

_PICK_LABEL_LIFT = 0.1
"""A plectrum is widest above its middle, so its label is lifted by this share of the height."""


def mark_layers(mark: Mark, size: MarkSize, centre: float) -> list[Shape | Letters]:
    """List the layers that draw a mark, the lowest first.

    Args:
        mark: the tone; its place does not matter.
        size: the size of marks in the window.
        centre: x and y of the mark's middle, in pixels.
    """

    def edge(outset: float) -> Outline:
        return _outline(mark.role, size, outset) + centre

    layers: list[Shape | Letters] = []
    if mark.root:
        ring = size.ring_gap + size.ring_line
        layers += [Shape(edge(ring), PALETTE.root_ring), Shape(edge(size.ring_gap), PALETTE.halo)]
    else:
        layers.append(Shape(edge(size.halo), PALETTE.halo))
    layers.append(Shape(edge(0), style.MARK_COLOUR[mark.role]))
    if mark.label.strip() and mark.role is not Role.SCALE:
        lift, widest = 0.0, size.disc_label
        if mark.role is Role.GUIDE:
            lift, widest = _PICK_LABEL_LIFT * size.pick_height, size.pick_label
        layers.append(Letters(mark.label, centre, centre - lift, size.label, PALETTE.label, Face.BOLD, widest))
    return layers


def _outline(role: Role, size: MarkSize, outset: float) -> Outline:
    if role is Role.GUIDE:
        return plectrum(size.pick_width, size.pick_height, outset)
    return disc((size.disc if role is Role.TONE else size.dot) + 2 * outset)
