"""A recipe: the one description of what to build, with every default.

Conventions: names of keys, tunings and colours are ASCII; numbers of regions, levels and frets are counted as players
count them. `deckbuilder.recipe` reads a recipe from TOML and checks it; a recipe made in Python is taken as it stands.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, fields
from enum import StrEnum
from functools import cached_property

from deckbuilder.cards.facts import AnyKind, Kind
from deckbuilder.cards.levels import ALTERED, DEFAULT_LEVELS
from deckbuilder.neck.instrument import Instrument
from deckbuilder.neck.regions import DEFAULT_REGIONS, Region
from deckbuilder.neck.tuning import TUNINGS, parse_tuning, read_row
from deckbuilder.neck.tunings import KnownTuning
from deckbuilder.sound.arrangement import DEFAULT_TEMPO, Direction
from deckbuilder.sound.description import A4, OwnSound
from deckbuilder.sound.loops import LOOP_TEMPO
from deckbuilder.theory.changes import SectionText, parse_form
from deckbuilder.theory.colours import COLOURS
from deckbuilder.theory.forms import Form
from deckbuilder.theory.keys import DEFAULT_KEYS, Key
from deckbuilder.theory.newcolours import OwnColour

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


DEFAULT_KINDS = (Kind.LOCATE, Kind.IDENTIFY, Kind.HEAR, Kind.SPELL, Kind.CONNECT, Kind.IMPROVISE)
"""Ways to ask in a deck of about 1,500 cards; others are there for the asking."""


@dataclass(frozen=True)
class InstrumentChoice:
    """The player's instrument.

    Args:
        tuning: a tuning's name, or pitches from the lowest string up, divided by commas.
        frets: the highest fret; None for as many as the tuning usually has.
        capo: the fret the capo sits behind, 0 for none.
        regions: how many regions the neck is divided into.
        hand: which hand plucks; pictures for the left one are mirrored.
    """

    tuning: str = STANDARD_GUITAR.tuning.name
    frets: int | None = None
    capo: int = 0
    regions: int = DEFAULT_REGIONS
    hand: Hand = Hand.RIGHT

    def __post_init__(self) -> None:
        if self.frets is None:
            object.__setattr__(self, "frets", parse_tuning(self.tuning).usual_frets)
        # Looked up now, while a recipe's own tunings are known.
        _ = self.neck

    @cached_property
    def neck(self) -> Instrument:
        """The tuned neck."""
        tuning = parse_tuning(self.tuning)
        return Instrument(tuning, tuning.usual_frets if self.frets is None else self.frets, self.capo)


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
        breadths: dict[str, Breadth] = {field.name: getattr(self, field.name) for field in fields(self)}
        return breadths.get(kind.value, Breadth.EVERY_REGION)


@dataclass(frozen=True)
class TuneSection:
    """A section of a tune.

    Args:
        name: what it is called.
        bars: its bars as text, line by line.
        key: the key it stands in; empty for the tune's.
    """

    name: str
    bars: tuple[str, ...]
    key: str = ""

    @property
    def text(self) -> SectionText:
        """The section as the theory reads it."""
        return SectionText(self.name, "\n".join(self.bars), Key.parse_either(self.key) if self.key else None)


@dataclass(frozen=True)
class Tune:
    """The changes of a tune: either `bars`, or `sections` with the `order` in which they are played.

    Args:
        name: what the player calls it.
        key: the key it is written in.
        transpose: whether it is studied in every key of the recipe.
        bars: its bars as text, line by line.
        sections: its sections.
        order: names of sections in the order in which they are played; empty for the order of `sections`.
    """

    name: str
    key: str
    transpose: bool = True
    bars: tuple[str, ...] = ()
    sections: tuple[TuneSection, ...] = ()
    order: tuple[str, ...] = ()

    @cached_property
    def form(self) -> Form:
        """The changes as a form."""
        sections = [section.text for section in self.sections] or [SectionText("", "\n".join(self.bars))]
        home = Key.parse_either(self.key)
        return parse_form(self.name, home, sections, order=self.order, transposes=self.transpose)


@dataclass(frozen=True)
class Recipe:
    """What to build.

    Args:
        title: name of the deck.
        tunings: tunings of one's own, by whose names the instrument may ask for them.
        instrument: the player's instrument.
        keys: names of keys, in the order of study.
        regions: region numbers; empty for every region.
        colours: the colours in which the levels alter a dominant, one set of cards for each: names, or colours of one's
            own, which own changes may name too.
        changes: changes of one's own, each studied after the levels.
        levels: level numbers.
        kinds: ways to ask.
        breadth: in how many places each of them asks.
        order: the road through keys and regions.
        labels: what marks on the neck say.
        notation: which written music an answer shows.
        seed: what example lines follow from, besides their place: another number gives other lines.
        sound: how clips are played.
    """

    title: str = "The whole neck"
    tunings: tuple[KnownTuning, ...] = ()
    instrument: InstrumentChoice = InstrumentChoice()
    keys: tuple[str, ...] = DEFAULT_KEYS
    regions: tuple[int, ...] = ()
    colours: tuple[str | OwnColour, ...] = (ALTERED,)
    changes: tuple[Tune, ...] = ()
    levels: tuple[int, ...] = DEFAULT_LEVELS
    kinds: tuple[AnyKind, ...] = DEFAULT_KINDS
    breadth: Breadths = Breadths()
    order: Order = Order.REGION_FIRST
    labels: Labels = Labels.DEGREES
    notation: Notation = Notation.BOTH
    seed: int = 1
    sound: Sound = Sound()

    def __post_init__(self) -> None:
        if not self.regions:
            object.__setattr__(self, "regions", tuple(range(1, self.instrument.regions + 1)))

    @property
    def colour_names(self) -> tuple[str, ...]:
        """Names of its colours, in their order."""
        return tuple(colour if isinstance(colour, str) else colour.name for colour in self.colours)

    @contextmanager
    def own_rows(self) -> Iterator[None]:
        """Have the recipe's own tunings and colours in the tables for the time of a block."""
        colours = {colour.name: colour.colour for colour in self.colours if isinstance(colour, OwnColour)}
        with TUNINGS.own_rows({row.name: read_row(row) for row in self.tunings}), COLOURS.own_rows(colours):
            yield

    @property
    def deck_title(self) -> str:
        """The title, with the tuning where it is not the standard one, so that two tunings make two decks."""
        neck = self.instrument.neck
        added = [neck.tuning.name] if neck.tuning != STANDARD_GUITAR.tuning else []
        added += [f"capo {neck.capo}"] if neck.capo else []
        return f"{self.title} ({', '.join(added)})" if added else self.title

    def region(self, key: Key, number: int) -> Region:
        """Return one of a key's regions; a minor key has those of its relative major, whose tones it shares.

        Args:
            key: the key.
            number: the region's number.
        """
        tonic = key.relative_major.tonic.pitch_class
        return self.instrument.neck.regions(tonic, self.instrument.regions)[number - 1]
