"""What a neck picture shows, before it is drawn.

Conventions: string 1 is the last of a tuning written from the lowest string, the one nearest the floor on a guitar that
is strung for the hand that plucks it; frets are counted from the nut, 0 being the open string; labels are ready to read
(Unicode ♭ and ♯). A description is plain data: the same description always draws the same bytes.
"""

from dataclasses import dataclass, replace
from enum import StrEnum

from deckbuilder.medium import Description, MediaType

RENDERER_VERSION = 7
"""Raised whenever the same description would give other bytes; part of a medium's file name."""


class Role(StrEnum):
    """What a marked tone is to the chord that sounds."""

    GUIDE = "guide"
    """A guide tone (third or seventh) of the sounding chord."""
    TONE = "tone"
    """Another tone of the arpeggio or scale that is asked for."""
    SCALE = "scale"
    """A tone of the surrounding scale only: small and quiet, without a label."""


class Ground(StrEnum):
    """What a picture is drawn on."""

    FOLLOW = "follow"
    """Nothing: the page shows through, and one that is light turns the colours (`deckbuilder.picture.colours`)."""
    DARK = "dark"
    LIGHT = "light"


class Size(StrEnum):
    """How large letters and marks are."""

    USUAL = "usual"
    LARGE = "large"
    """Letters of 16 CSS pixels at least on a phone 360 wide."""


@dataclass(frozen=True, slots=True)
class Mark:
    """One tone on the neck.

    Args:
        string: string number, 1 the highest-numbered position in the tuning's list.
        fret: fret counted from the nut, 0 for the open string.
        role: what the tone is to the chord.
        label: text inside the mark; empty for none.
        root: whether the tone is the root of the arpeggio or scale, which has its own outline.
    """

    string: int
    fret: int
    role: Role
    label: str = ""
    root: bool = False


class _NeckDescription(Description):
    __slots__ = ()

    media_type = MediaType.IMAGE
    prefix = "neck"
    ending = ".png"
    version = RENDERER_VERSION
    renderer = "deckbuilder.picture.render"


@dataclass(frozen=True, slots=True)
class NeckPicture(_NeckDescription):
    """A window of the neck and the marks on it.

    Args:
        strings: number of strings, 3 to 10.
        first_fret: lowest fret shown; 0 shows the nut and, without a capo, room for open strings beside it.
        last_fret: highest fret shown.
        index_fret: the fret under the first finger, whose position number is printed; None prints none
            (a picture of the whole neck).
        marks: the tones shown.
        string_names: open strings' names beside the nut side, string 1 first; empty for none.
        left_handed: mirror the picture so that the nut side is on the right.
        capo: fret the capo sits behind, 0 for none.
        paths: ways from mark to mark, each the places it visits in their order, as string and fret.
        hand_span: how many frets the hand covers from the index fret on.
        open_name: what is printed where the hand lies at the nut or the capo.
        ground: what it is drawn on.
        size: how large letters and marks are.
        turned_over: whether the lowest string is at the top, as whoever holds an instrument that is strung for the
            other hand sees it.
    """

    strings: int
    first_fret: int
    last_fret: int
    index_fret: int | None
    marks: tuple[Mark, ...]
    string_names: tuple[str, ...] = ()
    left_handed: bool = False
    capo: int = 0
    paths: tuple[tuple[tuple[int, int], ...], ...] = ()
    hand_span: int = 4
    open_name: str = "open"
    ground: Ground = Ground.DARK
    size: Size = Size.USUAL
    turned_over: bool = False

    @property
    def affinity(self) -> tuple[float, ...]:
        """The frets shown."""
        return self.first_fret, self.last_fret

    @property
    def follows_page(self) -> bool:
        """Whether a light page has to turn its colours."""
        return self.ground is Ground.FOLLOW

    @property
    def window(self) -> "NeckPicture":
        """The same window of the neck with nothing on it."""
        return replace(self, marks=(), paths=())


@dataclass(frozen=True, slots=True)
class NeckSheet(_NeckDescription):
    """Windows of one neck, often the same one, one under the other in one picture, each with a title.

    Args:
        pictures: what each shows, from the top; all of the same neck.
        titles: a name and a remark for each, in the order of `pictures`; none for parts of one neck without titles.
    """

    pictures: tuple[NeckPicture, ...]
    titles: tuple[tuple[str, str], ...] = ()

    @property
    def affinity(self) -> tuple[float, ...]:
        """The frets shown."""
        return self.pictures[0].affinity

    @property
    def ground(self) -> Ground:
        """What it is drawn on."""
        return self.pictures[0].ground

    @property
    def capo(self) -> int:
        """The fret that the capo sits behind."""
        return self.pictures[0].capo

    @property
    def follows_page(self) -> bool:
        """Whether a light page has to turn its colours."""
        return self.ground is Ground.FOLLOW

    @property
    def marks(self) -> tuple[Mark, ...]:
        """The marks of all pictures, from the top."""
        return tuple(mark for picture in self.pictures for mark in picture.marks)
