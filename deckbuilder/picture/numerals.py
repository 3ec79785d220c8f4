"""What the order of visits looks like: small numerals beside the marks, on a dark ground of their own.

A tone's numerals stand on its string, towards the body, and on its other side where there is more room; nothing else is
drawn there but neck. They are as large as fret numbers and narrowed where a neighbour is near.
"""

from dataclasses import dataclass

from deckbuilder.picture import style
from deckbuilder.picture.canvas import Face, Letters, Shape, ink_width
from deckbuilder.picture.description import Mark, NeckPicture
from deckbuilder.picture.geometry import Box, Layout, PictureError, mark_box
from deckbuilder.picture.outlines import rectangle
from deckbuilder.picture.style import PALETTE


@dataclass(frozen=True, slots=True)
class Tag:
    """When a line visits a tone, and where that is written.

    Args:
        text: the visits' numbers, counted from 1.
        box: the ground under them.
    """

    text: str
    box: Box


def tags(picture: NeckPicture, layout: Layout) -> list[Tag]:
    """Place the numerals of a picture's visits, in the order of the tones' first ones.

    Args:
        picture: what is shown; every place that is visited has a mark.
        layout: where it lies.

    Raises:
        PictureError: marks stand so close that numerals between them would not be legible.
    """
    numbers: dict[tuple[int, int], list[str]] = {}
    for number, place in enumerate(picture.visits, start=1):
        numbers.setdefault(place, []).append(str(number))
    texts = {place: " ".join(visits) for place, visits in numbers.items()}
    placed: dict[tuple[int, int], Tag] = {}
    for string in range(1, picture.strings + 1):
        marks = sorted((mark for mark in picture.marks if mark.string == string), key=lambda mark: mark.fret)
        placed |= _on_string(marks, texts, layout, picture)
    return [placed[place] for place in texts]


def numeral_layers(picture: NeckPicture, layout: Layout) -> list[Shape | Letters]:
    """List the layers that number a picture's visits, the lowest first.

    Args:
        picture: what is shown.
        layout: where it lies.
    """
    layers: list[Shape | Letters] = []
    for tag in tags(picture, layout):
        box = tag.box
        x, y = (box.left + box.right) / 2, (box.top + box.bottom) / 2
        ground = rectangle(box.left, box.top, box.right, box.bottom, style.TAG_RADIUS)
        layers.append(Shape(ground, PALETTE.halo))
        widest = box.width - 2 * style.TAG_PADDING
        layers.append(Letters(tag.text, x, y, layout.size.number, PALETTE.root_ring, Face.BOLD, widest))
    return layers


def _on_string(
    marks: list[Mark], texts: dict[tuple[int, int], str], layout: Layout, picture: NeckPicture
) -> dict[tuple[int, int], Tag]:
    """Place the tags of one string's marks, from the nut on, each in what room is left beside its mark."""
    size, left_handed = layout.size, picture.left_handed
    boxes = [_unmirrored(mark_box(mark, layout), left_handed) for mark in marks]
    placed: dict[tuple[int, int], Tag] = {}
    free_from = float(size.margin + size.name_column) if picture.string_names else 0.0
    for number, (mark, box) in enumerate(zip(marks, boxes, strict=True)):
        free_to = boxes[number + 1].left - style.TAG_GAP if number + 1 < len(boxes) else style.WIDTH
        text, taken_to = texts.get((mark.string, mark.fret), ""), box.right
        if text:
            wanted = ink_width(text, size.number, Face.BOLD) + 2 * style.TAG_PADDING
            near, far = box.left - style.TAG_GAP, box.right + style.TAG_GAP
            before, after = near - free_from, free_to - far
            towards_body = after >= wanted or after >= before
            width = min(wanted, after if towards_body else before)
            if width < style.TAG_NARROWEST * wanted:
                raise PictureError(
                    f"no room to number the visits {text} of string {mark.string}, fret {mark.fret}; show fewer frets"
                )
            left = far if towards_body else near - width
            y, half = layout.strings[mark.string - 1], style.TAG_HEIGHT / 2
            tag = Box(left, y - half, left + width, y + half)
            placed[mark.string, mark.fret] = Tag(text, _unmirrored(tag, left_handed))
            taken_to = max(taken_to, tag.right)
        free_from = taken_to + style.TAG_GAP
    return placed


def _unmirrored(box: Box, left_handed: bool) -> Box:
    return box.mirrored() if left_handed else box
