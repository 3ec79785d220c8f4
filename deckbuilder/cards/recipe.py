"""A recipe: the one description of what to build, with every default.

Conventions: names of keys, tunings and colours are ASCII; numbers of regions, levels and frets are counted as players
count them. `deckbuilder.recipe` reads a recipe from TOML and checks it; a recipe made in Python is taken as it stands.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace

from deckbuilder.cards.choices import (
    STANDARD_GUITAR,
    Breadths,
    InstrumentChoice,
    Labels,
    Notation,
    Order,
    Pictures,
    Sound,
    StudyBlock,
)
from deckbuilder.cards.facts import AnyKind, Kind
from deckbuilder.cards.levels import ALTERED, DEFAULT_LEVELS
from deckbuilder.cards.tunes import Tune
from deckbuilder.neck.regions import Region
from deckbuilder.neck.tuning import TUNINGS, read_row
from deckbuilder.neck.tunings import KnownTuning
from deckbuilder.speech import Language, Names, Speech, _, marked, speaking, translate
from deckbuilder.theory.colours import COLOURS
from deckbuilder.theory.keys import DEFAULT_KEYS, Key
from deckbuilder.theory.newcolours import OwnColour

DEFAULT_KINDS = (Kind.LOCATE, Kind.IDENTIFY, Kind.HEAR, Kind.SPELL, Kind.CONNECT, Kind.IMPROVISE)
"""Ways to ask in a deck of about 1,500 cards; others are there for the asking."""


@dataclass(frozen=True)
class Recipe:
    """What to build.

    Args:
        title: name of the deck.
        language: the language of everything that is read.
        names: how notes are named.
        tunings: tunings of one's own, by whose names the instrument may ask for them.
        instrument: the player's instrument.
        keys: names of keys, in the order of study.
        regions: region numbers; empty for every region.
        colours: the colours in which the levels alter a dominant, one set of cards for each: names, or colours of one's
            own, which own changes may name too.
        changes: changes of one's own, each studied after the levels.
        levels: level numbers.
        kinds: ways to ask.
        study: blocks, each with keys, regions, levels and kinds of its own, studied one after the other instead of the
            recipe's, which stand for what a block leaves out and are those of the own changes.
        breadth: in how many places each of them asks.
        order: the road through keys and regions.
        labels: what marks on the neck say.
        notation: which written music an answer shows.
        picture: how pictures of the neck look.
        tags: what every note of the deck bears, in the form `source::third`: of each axis that is named here one of the
            values; empty for all notes.
        seed: what example lines follow from, besides their place: another number gives other lines.
        sound: how clips are played.
        new_limit: new cards a day that the deck is meant for, said in its description, since apps set it for each
            deck; None for what the player's app has.
    """

    title: str = marked("The whole neck")
    language: Language = Language.ENGLISH
    names: Names = Names.ENGLISH
    tunings: tuple[KnownTuning, ...] = ()
    instrument: InstrumentChoice = InstrumentChoice()
    keys: tuple[str, ...] = DEFAULT_KEYS
    regions: tuple[int, ...] = ()
    colours: tuple[str | OwnColour, ...] = (ALTERED,)
    changes: tuple[Tune, ...] = ()
    levels: tuple[int, ...] = DEFAULT_LEVELS
    kinds: tuple[AnyKind, ...] = DEFAULT_KINDS
    study: tuple[StudyBlock, ...] = ()
    breadth: Breadths = Breadths()
    order: Order = Order.REGION_FIRST
    labels: Labels = Labels.DEGREES
    notation: Notation = Notation.BOTH
    picture: Pictures = Pictures()
    tags: tuple[str, ...] = ()
    seed: int = 1
    sound: Sound = Sound()
    new_limit: int | None = None

    def __post_init__(self) -> None:
        if not self.regions:
            object.__setattr__(self, "regions", tuple(range(1, self.instrument.regions + 1)))

    @property
    def parts(self) -> tuple["Recipe", ...]:
        """What is studied one after the other, each a recipe without blocks: the blocks, then the own changes."""
        if not self.study:
            return (self,)
        blocks = (
            replace(
                self,
                study=(),
                changes=(),
                keys=block.keys or self.keys,
                regions=block.regions or self.regions,
                levels=block.levels or self.levels,
                kinds=block.kinds or self.kinds,
            )
            for block in self.study
        )
        return (*blocks, *((replace(self, study=(), levels=()),) if self.changes else ()))

    @property
    def colour_names(self) -> tuple[str, ...]:
        """Names of its colours, in their order."""
        return tuple(colour if isinstance(colour, str) else colour.name for colour in self.colours)

    @contextmanager
    def in_force(self) -> Iterator[None]:
        """Speak as the recipe asks for the time of a block, its own tunings and colours in the tables."""
        colours = {colour.name: colour.colour for colour in self.colours if isinstance(colour, OwnColour)}
        tunings = {row.name: read_row(row) for row in self.tunings}
        with speaking(self.speech), TUNINGS.own_rows(tunings), COLOURS.own_rows(colours):
            yield

    @property
    def speech(self) -> Speech:
        """How everything is said."""
        return Speech(self.language, self.names)

    @property
    def deck_title(self) -> str:
        """The title, with the tuning where it is not the standard one, so that two tunings make two decks."""
        neck = self.instrument.neck
        with speaking(self.speech):
            added = [neck.tuning.name] if neck.tuning != STANDARD_GUITAR.tuning else []
            added += [_("capo {fret}", fret=neck.capo)] if neck.capo else []
            title = translate(self.title) if self.title == Recipe.title else self.title
        return f"{title} ({', '.join(added)})" if added else title

    def region(self, key: Key, number: int) -> Region:
        """Return one of a key's regions; a minor key has those of its relative major, whose tones it shares.

        Args:
            key: the key.
            number: the region's number.
        """
        tonic = key.relative_major.tonic.pitch_class
        return self.instrument.neck.regions(tonic, self.instrument.regions)[number - 1]
