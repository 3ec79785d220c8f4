"""Labels: facts, kinds and starts of arpeggios by the short names that people choose them by."""

from itertools import chain
from typing import Final

from deckbuilder.cards.cardtypes import CARD_TYPES
from deckbuilder.speech import marked, translate
from deckbuilder.theory.arpeggios import Source

_SOURCES: Final = {Source.ROOT: marked("root"), Source.THIRD: marked("third")}


def label_of(name: str) -> str:
    """Name a fact or a kind for people, by its own name where its row has no label.

    Args:
        name: its value.
    """
    rows = CARD_TYPES.values()
    facts = (row.label for row in rows if row.fact == name)
    kinds = (ask.label for row in rows for ask in row.asks if ask.kind == name)
    return translate(next(filter(None, chain(facts, kinds)), name))


def source_label(source: str) -> str:
    """Name where an arpeggio starts.

    Args:
        source: `root` or `third`.
    """
    return translate(_SOURCES[Source(source)])
