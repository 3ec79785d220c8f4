"""Sizes: how many bytes a deck will have, before any of its media is made.

Each medium is estimated from what it shows, by a plane through the sizes that some 2,400 media had when they were
made: two keys in two regions, levels 1 and 2, every kind, on guitars of six and eight strings, bass, ukulele and
mandolin. Sizes are those in a package, where written music and notes are packed (zlib's level 1). The default deck was
not among them: it is estimated at 72.5 MB and has 76.1. A deck's estimate is nearer than a medium's, since errors go
both ways.
"""

from dataclasses import dataclass
from typing import Final

from deckbuilder.cards.note import Attachment
from deckbuilder.medium import Description, MediaType, medium
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
_MOST_KNOWN: Final = 50_000
"""Media whose weight is known; the default deck has 3,501."""
ENTRY: Final = 145
"""A medium's places in the archive's lists: 51 bytes of its name, 94 of the archive's own."""


@dataclass(frozen=True, slots=True)
class Weighed:
    """A medium, as far as it is counted.

    Args:
        name: its name.
        media_type: how it reaches a player.
        size: bytes that it will have in a package, estimated.
    """

    name: str
    media_type: MediaType
    size: float


class Scales:
    """Weighs media, each attachment once: notes that are remembered bring the same ones again. Threads may share it."""

    def __init__(self) -> None:
        self._known: dict[int, tuple[Attachment, Weighed]] = {}

    def weighed(self, attachment: Attachment) -> Weighed:
        """Weigh a medium.

        Args:
            attachment: the medium on its note.
        """
        # What is known is kept alive with its number, so that no other attachment gets this number meanwhile.
        found = self._known.get(id(attachment))
        if found is None:
            if len(self._known) >= _MOST_KNOWN:
                self._known = {}
            description = attachment.description
            name = medium(description).name
            found = attachment, Weighed(name, description.media_type, estimated(description) + ENTRY)
            self._known[id(attachment)] = found
        return found[1]


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
