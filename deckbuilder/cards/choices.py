"""Choices of a recipe that are tables or words of their own: the road, breadth, blocks, marks, instrument, sound."""

from dataclasses import dataclass, fields
from enum import StrEnum
from functools import cached_property

from deckbuilder.cards.facts import AnyKind
from deckbuilder.neck.instrument import Instrument
from deckbuilder.neck.regions import DEFAULT_REGIONS
from deckbuilder.neck.tuning import TUNINGS, parse_tuning
from deckbuilder.picture.description import Ground, Size
from deckbuilder.sound.arrangement import DEFAULT_TEMPO, Direction
from deckbuilder.sound.description import A4, OwnSound
from deckbuilder.sound.loops import LOOP_TEMPO

STANDARD_GUITAR = Instrument(TUNINGS["standard"])


class Order(StrEnum):
    """The road through the places; one pass of its inner round is a lap."""

    REGION_FIRST = "region-first"
    """One region in all keys, then the next region."""
    KEY_FIRST = "key-first"
    """One key in all regions, then the next key in fourths."""


class Breadth(StrEnum):
    """In how many places a kind asks the same thing."""

    EVERY_REGION = "every-region"
    ONCE_A_KEY = "once-a-key"
    """In one region of each key, another one from key to key and from chord to chord."""
    FIRST_LAP = "first-lap"
    """In the first lap of the levels alone; in changes of one's own everywhere."""


class Labels(StrEnum):
    """What marks on the neck say."""

    DEGREES = "degrees"
    NAMES = "names"


class Notation(StrEnum):
    """Which written music an answer shows."""

    BOTH = "both"
    """Staff and tablature."""
    TABLATURE = "tablature"
    STAFF = "staff"
    NONE = "none"


class Hand(StrEnum):
    """Which hand plucks."""

    RIGHT = "right"
    LEFT = "left"


@dataclass(frozen=True)
class InstrumentChoice:
    """The player's instrument.

    Args:
        tuning: a tuning's name, or pitches from the lowest string up, divided by commas.
        frets: the highest fret; None for as many as the tuning usually has.
        capo: the fret the capo sits behind, 0 for none.
        regions: how many regions the neck is divided into.
        hand: which hand plucks; pictures for the left one are mirrored.
        strung: the hand that it is strung for; None for the one that plucks. An instrument strung for the other hand is
            held turned over, its lowest string next to the floor.
    """

    tuning: str = STANDARD_GUITAR.tuning.name
    frets: int | None = None
    capo: int = 0
    regions: int = DEFAULT_REGIONS
    hand: Hand = Hand.RIGHT
    strung: Hand | None = None

    def __post_init__(self) -> None:
        if self.frets is None:
            object.__setattr__(self, "frets", parse_tuning(self.tuning).usual_frets)
        # Looked up now, while a recipe's own tunings are known.
        _ = self.neck

    @property
    def turned_over(self) -> bool:
        """Whether it is held turned over."""
        return self.strung is not None and self.strung is not self.hand

    @cached_property
    def neck(self) -> Instrument:
        """The tuned neck."""
        tuning = parse_tuning(self.tuning)
        return Instrument(tuning, tuning.usual_frets if self.frets is None else self.frets, self.capo)


@dataclass(frozen=True)
class Pictures:
    """How pictures of the neck look.

    Args:
        ground: what they are drawn on; one that follows its card is dark at night and light by day.
        size: how large their letters are.
    """

    ground: Ground = Ground.FOLLOW
    size: Size = Size.USUAL


@dataclass(frozen=True)
class Sound:
    """How clips are played.

    Args:
        a4: Hz of A4.
        tempo: quarter notes a minute of runs and held chords.
        loop_tempo: quarter notes a minute of backing loops.
        chord: whether the chord sounds before a run.
        direction: how a run is played.
        count_in: whether a loop begins with two bars of clicks.
        soundfont: the player's own SoundFont; None for the strings made here.
        preset: which of its presets plays the player's instrument, by MIDI program from 0; None for the best.
        silent: whether there are no clips at all; kinds that ask the ear are then left out.
    """

    a4: float = A4
    tempo: float = DEFAULT_TEMPO
    loop_tempo: float = LOOP_TEMPO
    chord: bool = True
    direction: Direction = Direction.UP
    count_in: bool = True
    soundfont: OwnSound | None = None
    preset: int | None = None
    silent: bool = False


@dataclass(frozen=True)
class Breadths:
    """Where the kinds that could ask in every region do so.

    Args:
        locate: the places of scales and arpeggios.
        identify: shapes by sight.
        hear: arpeggios by ear; they sound alike in every region.
        connect: ways from chord to chord.
        improvise: loops to play over.
    """

    locate: Breadth = Breadth.EVERY_REGION
    identify: Breadth = Breadth.ONCE_A_KEY
    hear: Breadth = Breadth.ONCE_A_KEY
    connect: Breadth = Breadth.FIRST_LAP
    improvise: Breadth = Breadth.EVERY_REGION

    def of(self, kind: AnyKind) -> Breadth:
        """Return where a kind asks; everywhere for one that no field names."""
        breadth: Breadth = getattr(self, kind.value) if kind.value in _WITH_BREADTH else Breadth.EVERY_REGION
        return breadth


_WITH_BREADTH = frozenset(field.name for field in fields(Breadths))
"""Kinds that a field names."""


@dataclass(frozen=True)
class StudyBlock:
    """A part of what is studied, with a choice of its own; what it leaves empty it has from the recipe.

    Args:
        keys: names of keys, in the order of study.
        regions: region numbers.
        levels: level numbers.
        kinds: ways to ask.
    """

    keys: tuple[str, ...] = ()
    regions: tuple[int, ...] = ()
    levels: tuple[int, ...] = ()
    kinds: tuple[AnyKind, ...] = ()
