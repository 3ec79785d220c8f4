"""Outlines of a picture's shapes, as rings of points around their middle.

Conventions: pixels, x to the right and y down, the shape's box centred on (0, 0) unless said otherwise; an
outline is an array of shape (points, 2) that closes by itself. Curves are given as chords short enough
(under half a pixel of sagitta by far) to look round.
"""

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Outline = NDArray[np.float64]

_SIDE_BULGE = np.radians(10.0)
"""How far a plectrum's side turns away from straight, at each end."""

_CORNER_SHARE = 0.13
"""A plectrum's corner radius as a share of its width."""


def disc(diameter: float) -> Outline:
    """Trace a circle.

    Args:
        diameter: in pixels.
    """
    angles = np.linspace(0, 2 * np.pi, 96, endpoint=False)
    return diameter / 2 * np.column_stack([np.cos(angles), np.sin(angles)])


def lozenge(size: float, x: float, y: float) -> Outline:
    """Trace a square that stands on a corner, at its own place.

    Args:
        size: its width and its height, in pixels.
        x: its middle.
        y: its middle.
    """
    half = size / 2
    return np.array([(x + half, y), (x, y + half), (x - half, y), (x, y - half)])


def rectangle(left: float, top: float, right: float, bottom: float, radius: float = 0.0) -> Outline:
    """Trace an upright rectangle at its own place, with round corners if asked.

    Args:
        left: left edge, in pixels.
        top: upper edge.
        right: right edge.
        bottom: lower edge.
        radius: of the corners; 0 for sharp ones.
    """
    corners = [(right, bottom, 0.0), (left, bottom, 0.5), (left, top, 1.0), (right, top, 1.5)]
    if radius == 0:
        return np.array([(x, y) for x, y, _ in corners])
    arcs = []
    for (x, y, turn), (inward_x, inward_y) in zip(corners, [(-1, -1), (1, -1), (1, 1), (-1, 1)], strict=True):
        angles = np.pi * np.linspace(turn, turn + 0.5, 12)
        centre = np.array([x + inward_x * radius, y + inward_y * radius])
        arcs.append(centre + radius * np.column_stack([np.cos(angles), np.sin(angles)]))
    return np.concatenate(arcs)


@lru_cache(maxsize=64)
def plectrum(width: float, height: float, outset: float = 0.0) -> Outline:
    """Trace a guitar pick, point down: a triangle with round corners and gently bulging sides.

    Args:
        width: of the pick, in pixels.
        height: of the pick.
        outset: distance outside the pick at which its edge is followed (a true parallel curve).

    Returns:
        Points that are kept: do not change them in place.
    """
    corner = _CORNER_SHARE * width
    vertices = np.array([(-0.5, -0.5), (0.5, -0.5), (0.0, 0.5)])
    # The bulges widen the box by amounts that depend on the box, so the core is fitted in a few rounds.
    core = np.array([width, height], dtype=float) - 2 * corner
    middle = np.zeros(2)
    for _ in range(12):
        points = _swollen(vertices * core, corner)
        low, high = points.min(axis=0), points.max(axis=0)
        core = core * (np.array([width, height]) - 2 * corner) / (high - low - 2 * corner)
        middle = (low + high) / 2
    return _swollen(vertices * core, corner + outset) - middle


def _swollen(triangle: Outline, radius: float) -> Outline:
    """Trace a clockwise (on screen) triangle with bulging sides, followed at a distance on its outside."""
    pieces = []
    for n in range(3):
        start, end = triangle[n], triangle[(n + 1) % 3]
        along = end - start
        length = float(np.hypot(*along))
        outward = np.arctan2(-along[0], along[1])
        bow = length / (2 * np.sin(_SIDE_BULGE))
        centre = (start + end) / 2 - np.cos(_SIDE_BULGE) * bow * np.array([np.cos(outward), np.sin(outward)])
        angles = np.linspace(outward - _SIDE_BULGE, outward + _SIDE_BULGE, 24)
        pieces.append(centre + (bow + radius) * np.column_stack([np.cos(angles), np.sin(angles)]))
        following = triangle[(n + 2) % 3] - end
        next_outward = np.arctan2(-following[0], following[1])
        first = outward + _SIDE_BULGE
        turn = (next_outward - _SIDE_BULGE - first) % (2 * np.pi)
        corner = np.linspace(first, first + turn, 16)
        pieces.append(end + radius * np.column_stack([np.cos(corner), np.sin(corner)]))
    return np.concatenate(pieces)
