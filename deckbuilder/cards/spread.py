"""Spread: which questions for the ear are asked in which key and region.

Every question type and level asks a round number of items, not every question everywhere: enough to train, few enough
to stay fresh. Each answer comes equally often, so that guessing one of them earns no more than chance; keys come in
turn, and each time a key comes back it brings another question in another region.
"""

from collections.abc import Callable, Iterator, Sequence
from math import lcm

from deckbuilder.cards.context import Context
from deckbuilder.cards.note import Note
from deckbuilder.neck.regions import Region

ITEMS = 24
"""Items of a question type and level, at least, where there are so many."""

Question = Callable[[Context, Region], Note]
"""Asks one thing wherever it is put."""


def spread(
    questions: Sequence[Question], keys: int, regions: int, start: int = 0
) -> Iterator[tuple[Question, int, int]]:
    """Put questions into keys and regions; no question comes twice in one place.

    Args:
        questions: all questions of a type and level, each answer equally often among them.
        keys: number of keys.
        regions: number of regions.
        start: place to begin at, another one for each type and level, so that a key's items are not all in one region.

    Yields:
        A question, the number of its key and the number of its region, both from 0.
    """
    if not questions:
        return
    count = len(questions)
    rounds = min(-(-ITEMS // count), keys * regions)
    for number in range(count * rounds):
        question = number % count
        # Without the shift, a question would meet the same keys over and over where one count divides the other.
        key = (start + number + number // lcm(count, keys)) % keys
        region = (start + question + 2 * key + number // (count * keys)) % regions
        yield questions[question], key, region
