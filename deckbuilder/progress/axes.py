"""Axes: what the tags of our notes say that they are about, and how many different things a history may say.

Tags are the player's to change, and a deck may come from a later version: a value need not be one that is known here.
But no deck has hundreds of keys or of kinds, and every value is a row of a table; so the rarest are taken together.
"""

from collections import Counter
from collections.abc import Iterable, Mapping

OTHER = "other"
"""Stands for values that are no words, or too many to tell apart."""
MOST_VALUES = 40
"""Values of an axis that are told apart: fifteen major and as many minor keys are the most that a deck has."""


def grouped_values(values: Iterable[str]) -> Mapping[str, str]:
    """Return for each value what it is called: itself, or `OTHER` for the rarest where there are too many.

    Args:
        values: the values of an axis, one for each card.
    """
    counts = Counter(values)
    common = counts if len(counts) <= MOST_VALUES else {value for value, _ in counts.most_common(MOST_VALUES)}
    return {value: value if value in common else OTHER for value in counts}
