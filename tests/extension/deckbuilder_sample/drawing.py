"""A medium: a string from the nut to the last fret, with a rung at each root."""

from dataclasses import dataclass

from deckbuilder.medium import Description, MediaType


@dataclass(frozen=True, slots=True)
class Ladder(Description):
    """A picture of one string.

    Args:
        frets: how many it has.
        marked: the frets with a rung.
    """

    media_type = MediaType.IMAGE
    prefix = "ladder"
    ending = ".svg"
    version = 1
    renderer = "deckbuilder_sample.drawing"

    frets: int
    marked: tuple[int, ...]


def render(ladder: Ladder) -> bytes:
    """Draw a ladder as SVG."""
    rungs = "".join(f'<path d="M{10 * fret} 0V20"/>' for fret in ladder.marked)
    size = f'width="{10 * ladder.frets}" height="20" viewBox="0 0 {10 * ladder.frets} 20"'
    rail = f'<path d="M0 10H{10 * ladder.frets}"/>'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size}><g stroke="#888">{rail}{rungs}</g></svg>'.encode()
