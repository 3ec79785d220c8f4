"""An SVG of written music read again: what stands where."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from xml.etree import ElementTree

SVG = "{http://www.w3.org/2000/svg}"


@dataclass(frozen=True)
class Placed:
    """A text in its place: which row it is in, its shape, where its left end and its line are."""

    row: int
    shape: str
    x: int
    y: int


def placed(svg: bytes, group: str) -> Iterator[Placed]:
    """Yield the texts of a group in their order."""
    root = ElementTree.fromstring(svg)
    for number, row in enumerate(root.findall(f"{SVG}g")):
        for part in row.findall(f"{SVG}g[@class='{group}']"):
            for use in part.findall(f"{SVG}use"):
                yield Placed(number, use.get("href", "")[1:], int(use.get("x", 0)), int(use.get("y", 0)))


def height(svg: bytes) -> float:
    """Return the height, in CSS pixels."""
    found = re.search(rb'height="([0-9.]+)"', svg)
    assert found is not None
    return float(found[1])
