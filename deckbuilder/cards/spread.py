"""Spread: which questions for the ear are asked in which key and region.

Every question type and level asks a round number of items, not every question everywhere: enough to train, few enough
to stay fresh. A key that is asked is asked every question of the type and level, each once: so each answer comes
equally often, a front that names the key tells nothing of the answer, and a deck of one key asks different things. The
keys lie evenly around the circle, others for each type and level, and the questions of a key are put into its regions
in turn.
"""

from collections.abc import Callable, Iterator, Sequence

from deckbuilder.cards.context import Context
from deckbuilder.cards.note import Note
from deckbuilder.neck.regions import Region

ITEMS = 12
"""Items of a question type and level, at least, where there are so many."""

Question = Callable[[Context, Region], Note]
"""Asks one thing wherever it is put."""


def spread(
    questions: Sequence[Question], keys: int, regions: int, start: int = 0
) -> Iterator[tuple[Question, int, int]]:
    """Put questions into keys and regions; no question comes twice in one key.

    Args:
        questions: all questions of a type and level, each answer equally often among them.
        keys: number of keys.
        regions: number of regions.
        start: place to begin at, another one for each type and level.

    Yields:
        A question, the number of its key and the number of its region, both from 0.
    """
    if not questions:
        return
    rounds = min(-(-ITEMS // len(questions)), keys)
    for number in range(rounds):
        key = (start + number * keys // rounds) % keys
        for place, question in enumerate(questions, start=start + 2 * key):
            yield question, key, place % regions
