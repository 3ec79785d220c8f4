"""Labels: facts, kinds and starts of arpeggios by the short names that people choose them by."""

from typing import Final

from deckbuilder.cards.facts import Fact, Kind
from deckbuilder.speech import marked, translate
from deckbuilder.theory.arpeggios import Source

_LABELS: Final[dict[str, str]] = {
    Fact.SCALE: marked("scale"),
    Fact.ARPEGGIO: marked("arpeggio"),
    Fact.SPELLING: marked("spelling"),
    Fact.COLOUR: marked("colour"),
    Fact.SOURCE: marked("source"),
    Fact.TARGET: marked("target"),
    Fact.FUNCTION: marked("function"),
    Fact.CONNECTION: marked("connection"),
    Fact.IMPROVISATION: marked("improvisation"),
    Fact.GUIDE_LINES: marked("guide-tone lines"),
    Fact.READING: marked("reading"),
    Fact.SIGHT: marked("sight"),
    Fact.ENCLOSURE: marked("enclosure"),
    Fact.SHELL: marked("shell"),
    Fact.INVERSIONS: marked("inversions"),
    Kind.LOCATE: marked("locate"),
    Kind.IDENTIFY: marked("identify"),
    Kind.HEAR: marked("hear"),
    Kind.SPELL: marked("spell"),
    Kind.CONNECT: marked("connect"),
    Kind.IMPROVISE: marked("improvise"),
    Kind.FOLLOW: marked("follow"),
    Kind.READ: marked("read"),
    Kind.NAME: marked("name"),
    Kind.ANALYSE: marked("analyse"),
    Kind.ENCLOSE: marked("enclose"),
    Kind.VOICE: marked("voice"),
    Kind.CROSS: marked("cross"),
}
_SOURCES: Final = {Source.ROOT: marked("root"), Source.THIRD: marked("third")}


def label_of(name: str) -> str:
    """Name a fact or a kind for people; one of an extension by its own name.

    Args:
        name: its value.
    """
    return translate(_LABELS.get(name, name))


def source_label(source: str) -> str:
    """Name where an arpeggio starts.

    Args:
        source: `root` or `third`.
    """
    return translate(_SOURCES[Source(source)])
