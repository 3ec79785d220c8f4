"""A note: one fact, its question, its answer and its reason, with its media still undrawn.

Conventions: what feeds tables and ids is ASCII; what people read carries ♭ and ♯.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from deckbuilder.cards.facts import AnyKind, Slot
from deckbuilder.cards.identity import Identity, tags_of
from deckbuilder.cards.music import Music
from deckbuilder.cards.rounds import round_of
from deckbuilder.medium import Description


@dataclass(frozen=True, slots=True)
class ToneName:
    """A tone of the answer for people: its name, its degree, and whether it is a guide tone of the chord."""

    name: str
    degree: str
    is_guide: bool


@dataclass(frozen=True, slots=True)
class Words:
    """A note in words, for people.

    Args:
        key: the key, `B♭`.
        where: the region with its position, or that the whole neck is meant.
        prompt: the question as a player says it.
        task: the question in short, its parts divided by `words.SEPARATOR`.
        question: the question in full where a card asks with the ear, a way on or an improvisation; else empty.
        label: the answer: a symbol or a scale's name, `B♭m7♭5`.
        over: the chord it serves and that chord's place, `over C7alt · V altered in F`.
        tones: the answer's tones, in order from the root.
        places: one line per string that is used, low to high, such as `6th string: 8 10`.
        missing: which tones the hand cannot reach; empty where it reaches all.
        why: one line of reason.
        heard: what is right where a question is about sound alone, ASCII; None elsewhere.
    """

    key: str
    where: str
    prompt: str
    task: str
    question: str
    label: str
    over: str
    tones: tuple[ToneName, ...]
    places: tuple[str, ...]
    missing: str
    why: str
    heard: str | None


@dataclass(frozen=True, slots=True)
class Attachment:
    """A medium of a note, undrawn.

    Args:
        description: what it shows or plays.
        alt: the same in words, of a picture what it shows, of a clip what a button for it does.
    """

    description: Description
    alt: str = ""


@dataclass(frozen=True, slots=True)
class Note:
    """One fact and every way to ask it.

    Args:
        identity: what it is about; its id is made of that.
        level: the lowest level that has this fact; changes of a recipe's own are levels that follow on those here.
        music: the fact as music.
        words: the fact in words.
        media: its pictures and clips by their slots.
        kinds: the ways to ask it that are switched on.
        changes: names of the recipe's own changes that have this fact.
        lap: name of the lap that brings it, `Lap 1 · Region 1` (`deckbuilder.cards.laps`).
    """

    identity: Identity
    level: int
    music: Music
    words: Words
    media: Mapping[Slot, Attachment]
    kinds: tuple[AnyKind, ...] = ()
    changes: tuple[str, ...] = ()
    lap: str = ""

    @property
    def id(self) -> str:
        """The note's lasting name."""
        return self.identity.id

    @property
    def tags(self) -> tuple[str, ...]:
        """Hierarchical tags, one per axis."""
        return tags_of(self.identity, self.level, round_of(self.identity), self.kinds, self.changes)
