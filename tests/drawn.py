"""Drawings that serve again: for tests that look at few of many, or at none."""

from collections.abc import Callable, Hashable
from typing import Any


def drawn_once(draw: Callable[..., bytes], key: Callable[..., Hashable]) -> Callable[..., bytes]:
    """Return what draws as `draw` does, but once for all that have the same key.

    Args:
        draw: what draws.
        key: what tells drawings apart, from the arguments of `draw`.
    """
    made: dict[Hashable, bytes] = {}

    def drawn(*arguments: Any) -> bytes:
        own = key(*arguments)
        if own not in made:
            made[own] = draw(*arguments)
        return made[own]

    return drawn
