"""Sizes: how many bytes a deck will have, before any of its media is made.

Each medium is estimated from what it shows, by a plane through the sizes that some 2,400 media had when they were
made: two keys in two regions, levels 1 and 2, every kind, on guitars of six and eight strings, bass, ukulele and
mandolin. Sizes are those in a package, where written music and notes are packed (zlib's level 1). The default deck was
not among them: it is estimated at 72.5 MB and has 76.1. A deck's estimate is nearer than a medium's, since errors go
both ways.
"""

from typing import Final

from deckbuilder.medium import Description
from deckbuilder.notation.description import Score
from deckbuilder.picture.description import NeckPicture, NeckSheet
from deckbuilder.sound.description import Clip

PICTURE: Final = (1_190, 845, 355)
"""Bytes of any, for each string, for each mark."""
SHEET: Final = (-5_920, 5_640, 386, 439)
"""Bytes of any, for each of its pictures, for each of their strings, for each mark."""
CLIP: Final = (-310, 5_060, 189)
"""Bytes of any, for each second, for each note event."""
SCORE: Final = (390, 760, 92)
"""Bytes of any, for each bar, for each note."""
OTHER: Final = 20_000
"""A medium of an extension, which nobody measured: a guess."""
NOTE: Final = 400
"""A note with its cards, in the collection."""
ENTRY: Final = 145
"""A medium's places in the archive's lists: 51 bytes of its name, 94 of the archive's own."""


def estimated(description: Description) -> float:
    """Return how many bytes a medium will have.

    Args:
        description: what it shows or plays.
    """
    match description:
        case NeckPicture():
            return _on(PICTURE, description.strings, len(description.marks))
        case NeckSheet():
            pictures = len(description.pictures)
            return _on(SHEET, pictures, pictures * description.pictures[0].strings, len(description.marks))
        case Clip():
            return _on(CLIP, description.length, len(description.events))
        case Score():
            return _on(SCORE, description.bars, len(description.notes))
        case _:
            return OTHER


def _on(plane: tuple[float, ...], *amounts: float) -> float:
    return plane[0] + sum(each * amount for each, amount in zip(plane[1:], amounts, strict=True))
