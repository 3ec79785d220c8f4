"""Axes: what the tags of our notes say that they are about, and how many different things a history may say.

Tags are the player's to change, and a deck may come from a later version: a value need not be one that is known here.
But no deck has hundreds of keys or of kinds, and every value is a row of a table; so the rarest are taken together.
"""

import re
from collections import Counter
from collections.abc import Iterable, Mapping

AXES = frozenset({"level", "key", "region", "function", "colour", "source", "fact", "tuning"})
"""Axes that are read."""
WORD = re.compile(r"[A-Za-z0-9#_+.,-]{1,40}")
"""What an axis or a kind may say; anything else did not come from this program and is not repeated."""
OTHER = "other"
"""Stands for values that are no words, or too many to tell apart."""
MOST_VALUES = 40
"""Values of an axis that are told apart: fifteen major and as many minor keys are the most that a deck has."""


def axes_of(tags: Iterable[str]) -> dict[str, str]:
    """Return what some tags say, by axis.

    Args:
        tags: of a note, such as `key::Bb`.
    """
    axes: dict[str, str] = {}
    for tag in tags:
        axis, divider, value = tag.partition("::")
        if divider and axis in AXES and WORD.fullmatch(value):
            axes.setdefault(axis, value)
    return axes


def told_apart(values: Iterable[str]) -> Mapping[str, str]:
    """Return for each value what it is called: itself, or `OTHER` for the rarest where there are too many.

    Args:
        values: the values of an axis, one for each card.
    """
    counts = Counter(values)
    common = counts if len(counts) <= MOST_VALUES else {value for value, _ in counts.most_common(MOST_VALUES)}
    return {value: value if value in common else OTHER for value in counts}
