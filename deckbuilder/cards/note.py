"""A note: one fact, its question, its answer and its reason, with picture and clip still undrawn.

Conventions: names, symbols and degrees are ASCII where a field feeds tables and ids, and carry ♭ and ♯ in the fields
that are read by people (`prompt`, `task`, `answer`, `why`); pitches are MIDI note numbers; frets are counted from the
nut; string 1 is the last of the tuning's list. A note's id follows from what it is about, never from its wording,
picture, sound or level.
"""

import hashlib
import re
import unicodedata
from dataclasses import dataclass

from deckbuilder.cards.facts import Fact, Kind
from deckbuilder.cards.levels import LEVELS
from deckbuilder.lines.notes import LineNote
from deckbuilder.neck.instrument import Instrument
from deckbuilder.neck.tuning import Place
from deckbuilder.picture.description import NeckPicture, NeckSheet
from deckbuilder.sound.description import Clip


@dataclass(frozen=True, slots=True)
class Subject:
    """What a note is about; everything its id is made of.

    Args:
        instrument: the tuned neck; the id names the pitches of its open strings, and the capo if there is one.
        fact: the kind of fact.
        key: ASCII name of the key.
        region: region number; None for a fact about no place.
        region_count: how many regions the neck is divided into.
        function: the chord's function; None for the key's own scale.
        colour: a dominant's colour; None for other chords.
        source: where the arpeggio starts; None for a scale.
        item: what else the fact is about, ASCII: a degree, changes; None where the axes above say it all.
        scale: the scale that the chord draws on, ASCII; None where it follows from key, function and colour.
    """

    instrument: Instrument
    fact: Fact
    key: str
    region: int | None
    region_count: int
    function: str | None
    colour: str | None
    source: str | None
    item: str | None = None
    scale: str | None = None

    @property
    def id(self) -> str:
        """The note's lasting name, ASCII."""
        region = f"region-{self.region}-of-{self.region_count}" if self.region else None
        chord = (self.function, self.colour, self.scale, self.source)
        parts = (self.instrument.id, self.fact, self.key, region, *chord, self.item)
        return "/".join(str(part) for part in parts if part is not None)


@dataclass(frozen=True, slots=True)
class Answer:
    """The answer in words.

    Args:
        label: symbol or scale name for people, `B♭m7♭5`.
        over: the chord it serves and that chord's place, `over C7alt · V altered in F`.
        tones: names for people, in order from the root.
        degrees: the tones' degrees for people, in the same order.
        guide_tones: those of `tones` that are guide tones of the sounding chord.
        places: one line per string that is used, low to high, such as `6th string: 8 10`.
        missing: which tones the hand cannot reach; empty where it reaches all.
    """

    label: str
    over: str
    tones: tuple[str, ...]
    degrees: tuple[str, ...]
    guide_tones: tuple[str, ...]
    places: tuple[str, ...]
    missing: str = ""


@dataclass(frozen=True, slots=True)
class Note:
    """One fact and every way to ask it.

    Args:
        subject: what it is about.
        kinds: the ways to ask it that are switched on.
        level: the lowest level that has this fact; changes of a recipe's own are levels that follow on those here.
        key_label: the key for people, `B♭`.
        index_fret: fret under the first finger; None for a fact about no place.
        position: position number for people; None for a fact about no place.
        chord: the sounding chord's symbol, ASCII.
        symbol: symbol of the arpeggio or name of the scale, ASCII; over changes, their name.
        tones: names of its tones, ASCII, in order from the root.
        degrees: the tones' degrees against the sounding chord, ASCII, in the order of `tones`.
        midi: the run, ascending.
        places: where each note of the run is fretted.
        missing: pitches inside the run's compass that the hand cannot reach.
        prompt: the question as a player says it.
        task: the prompt without key and region.
        answer: the answer in words.
        why: one line of reason.
        picture: the neck with the answer.
        picture_alt: the same in words.
        bare_picture: the neck of the question: without labels for `identify`, with the tone that `connect` starts
            from; None where neither is asked.
        bare_picture_alt: the same in words.
        clip: the chord, then the run; what the ear is asked about; a backing loop.
        question: the question of a `hear` or `improvise` card in full, for people; empty where none is asked.
        heard: the answer to it, ASCII; None where it is more than a word.
        carriers: symbols of the sevenths that hold both guide tones of the sounding chord, ASCII.
        example: an example line over the changes, to hear with the answer; None where there is none.
        line: the notes of that line.
        changes: names of the recipe's own changes that have this fact.
    """

    subject: Subject
    kinds: tuple[Kind, ...]
    level: int
    key_label: str
    index_fret: int | None
    position: str | None
    chord: str
    symbol: str
    tones: tuple[str, ...]
    degrees: tuple[str, ...]
    midi: tuple[int, ...]
    places: tuple[Place, ...]
    missing: tuple[int, ...]
    prompt: str
    task: str
    answer: Answer
    why: str
    picture: NeckPicture | NeckSheet
    picture_alt: str
    bare_picture: NeckPicture | None
    bare_picture_alt: str
    clip: Clip
    question: str = ""
    heard: str | None = None
    carriers: tuple[str, ...] = ()
    example: Clip | None = None
    line: tuple[LineNote, ...] = ()
    changes: tuple[str, ...] = ()

    @property
    def id(self) -> str:
        """The note's lasting name."""
        return self.subject.id

    @property
    def window(self) -> NeckPicture | None:
        """The neck that a place is asked on, nothing marked; None where no place is asked."""
        if Kind.LOCATE in self.kinds and isinstance(self.picture, NeckPicture):
            return self.picture.window
        return None

    @property
    def tags(self) -> tuple[str, ...]:
        """Hierarchical tags, one per axis."""
        subject = self.subject
        axes = (
            ("level", self.level if self.level in LEVELS else None),
            ("key", subject.key),
            ("region", subject.region),
            ("function", subject.function),
            ("colour", subject.colour),
            ("scale", subject.scale),
            ("source", subject.source),
            ("fact", subject.fact),
            ("tuning", subject.instrument.name),
            ("instrument", "needed" if Kind.IMPROVISE in self.kinds else None),
        )
        own = tuple(("changes", slug(name)) for name in self.changes)
        return tuple(f"{axis}::{value}" for axis, value in (*axes, *own) if value is not None)


def slug(name: str) -> str:
    """Return a name as ids, tags and file names have it, ASCII and lower case: `Blues in F♯` as `blues-in-f-sharp`.

    Where ASCII has no place for letters, digits or symbols that tell names apart, a digest of the name stands for them:
    `Блюз in F` as `in-f-` and eight digits. An ASCII name never has one.

    Args:
        name: one line of text.

    Returns:
        Words joined by `-`; empty for a name of punctuation alone.
    """
    plain = _composed(name).replace("♯", "#").replace("♭", "b").replace("#", "-sharp").lower()
    words = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")
    lost = any(not sign.isascii() and unicodedata.category(sign)[0] in _TELLING for sign in plain)
    return "-".join(filter(None, (words, digest(plain) if lost else "")))


def digest(text: str) -> str:
    """Return eight hexadecimal digits that tell a text from others, however its accents are encoded."""
    return hashlib.sha256(_composed(text).encode()).hexdigest()[:8]


_TELLING = "LMNS"
"""Unicode's categories of letters, marks, digits and symbols: they tell names apart; punctuation and spaces do not."""


def _composed(text: str) -> str:
    """Return a text with each accent in one piece with its letter, as most keyboards write it."""
    return unicodedata.normalize("NFC", text)
