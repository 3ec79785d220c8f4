"""Facts and kinds: what a note may be about, and how a card may ask it."""

from enum import StrEnum


class Fact(StrEnum):
    """What a note is about."""

    SCALE = "scale"
    ARPEGGIO = "arpeggio"
    SPELLING = "spelling"
    COLOUR = "colour"
    SOURCE = "source"
    TARGET = "target"
    FUNCTION = "function"
    CONNECTION = "connection"
    IMPROVISATION = "improvisation"


class Kind(StrEnum):
    """How a card asks it."""

    LOCATE = "locate"
    IDENTIFY = "identify"
    HEAR = "hear"
    SPELL = "spell"
    CONNECT = "connect"
    IMPROVISE = "improvise"
