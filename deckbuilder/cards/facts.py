"""Facts, kinds and slots: what a note may be about, how a card may ask it, and where its media stand.

Facts and kinds are open: an extension has an enumeration of its own over `AnyFact` or `AnyKind`.
"""

from enum import StrEnum


class AnyFact(StrEnum):
    """What a note may be about: the base of every enumeration of facts. Values are ASCII, small letters and digits."""


class AnyKind(StrEnum):
    """How a card may ask: the base of every enumeration of kinds. Values are ASCII, small letters and digits."""


class Fact(AnyFact):
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
    GUIDE_LINES = "guidelines"
    READING = "reading"
    SIGHT = "sight"
    ENCLOSURE = "enclosure"
    SHELL = "shell"
    INVERSIONS = "inversions"


class Kind(AnyKind):
    """How a card asks it."""

    LOCATE = "locate"
    IDENTIFY = "identify"
    HEAR = "hear"
    SPELL = "spell"
    CONNECT = "connect"
    IMPROVISE = "improvise"
    FOLLOW = "follow"
    READ = "read"
    NAME = "name"
    ANALYSE = "analyse"
    ENCLOSE = "enclose"
    VOICE = "voice"
    CROSS = "cross"


class Slot(StrEnum):
    """Where a medium stands on a note; a note type has a field of the same name for each."""

    PICTURE = "picture"
    """The neck with the answer."""
    QUESTION_PICTURE = "bare picture"
    """The neck of the question: without labels, or with the tone that it starts from."""
    EMPTY_NECK = "empty neck"
    """The neck that a place is asked on, nothing marked."""
    CLIP = "clip"
    """The chord, then the run; what the ear is asked about; a backing loop."""
    EXAMPLE = "example"
    """An example line over the changes."""
    QUESTION_SCORE = "question score"
    """The staff of the question, without what tells the answer."""
    NOTATION = "notation"
    """The answer in written music."""
    SLOW_CLIP = "slow clip"
    """What is heard with the answer, slowly."""
