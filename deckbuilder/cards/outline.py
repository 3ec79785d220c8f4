"""Outline: what a syllabus is asked to hold, after the recipe has been read and checked."""

from dataclasses import dataclass
from enum import StrEnum

from deckbuilder.cards.note import Kind
from deckbuilder.neck.instrument import Instrument
from deckbuilder.neck.regions import DEFAULT_REGIONS, Region
from deckbuilder.neck.tuning import TUNINGS
from deckbuilder.sound.arrangement import DEFAULT_TEMPO, DIRECTIONS
from deckbuilder.sound.loops import LOOP_TEMPO
from deckbuilder.theory.forms import Form
from deckbuilder.theory.keys import DEFAULT_KEYS, Key


class Order(StrEnum):
    """How new cards follow each other."""

    KEY_FIRST = "key-first"
    """One key in all regions, then the next key in fourths."""
    REGION_FIRST = "region-first"
    """One region in all keys, then the next region."""


class Labels(StrEnum):
    """What marks on the neck say."""

    DEGREES = "degrees"
    NAMES = "names"


DEFAULT_KINDS = tuple(kind for kind in Kind if kind is not Kind.CONNECT)
"""Connections are wanted last, by a player who knows the places: they would double the deck."""
DEFAULT_COLOURS = ("altered",)
STANDARD_GUITAR = Instrument(TUNINGS["standard"])


@dataclass(frozen=True, slots=True)
class Outline:
    """What a syllabus holds.

    Args:
        keys: names of keys, in the order of study.
        regions: region numbers.
        region_count: how many regions the neck is divided into.
        levels: level numbers.
        colours: the colours in which the levels alter a dominant, one set of cards for each.
        forms: changes of one's own, each studied after the levels.
        kinds: ways to ask.
        order: order of new cards.
        labels: what marks on the neck say.
        instrument: the tuned neck.
        left_handed: whether pictures are mirrored.
        a4: Hz of A4.
        tempo: quarter notes a minute of runs and held chords.
        loop_tempo: quarter notes a minute of backing loops.
        chord_on: whether the chord sounds before a run.
        direction: how a run is played, one of `DIRECTIONS`.
        count_in: whether a loop begins with two bars of clicks.
        seed: what example lines follow from, besides their place: another number gives other lines.
    """

    keys: tuple[str, ...] = DEFAULT_KEYS
    regions: tuple[int, ...] = tuple(range(1, DEFAULT_REGIONS + 1))
    region_count: int = DEFAULT_REGIONS
    levels: tuple[int, ...] = (1, 2, 3)
    colours: tuple[str, ...] = DEFAULT_COLOURS
    forms: tuple[Form, ...] = ()
    kinds: tuple[Kind, ...] = DEFAULT_KINDS
    order: Order = Order.KEY_FIRST
    labels: Labels = Labels.DEGREES
    instrument: Instrument = STANDARD_GUITAR
    left_handed: bool = False
    a4: float = 440.0
    tempo: float = DEFAULT_TEMPO
    loop_tempo: float = LOOP_TEMPO
    chord_on: bool = True
    direction: str = DIRECTIONS[0]
    count_in: bool = True
    seed: int = 1

    def region(self, key: Key, number: int) -> Region:
        """Return one of a key's regions; a minor key has those of its relative major, whose tones it shares.

        Args:
            key: the key.
            number: the region's number.
        """
        return self.instrument.regions(key.relative_major.tonic.pitch_class, self.region_count)[number - 1]
