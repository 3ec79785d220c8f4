"""Passages: changes that are played over in one go, a level's loop or a part of a form.

A passage of a form is one of its sections, or eight bars of it where it is longer than twelve; a rest of up to four
bars stays with the eight before it. So a passage, and what is known by its name, hangs on no tempo.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby

from deckbuilder.cards.comping import bars, change, loop_harmonies
from deckbuilder.cards.levels import Level
from deckbuilder.cards.words import BAR_LINE
from deckbuilder.sound.voice_leading import Change
from deckbuilder.theory.forms import BEATS
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.keys import Key

_SECTION = 8
"""Bars of which long forms are made."""
_TURN = 4
"""Bars that are too few for a passage of their own behind another."""
_LONGEST_CHORD = 2 * BEATS
"""Beats after which a rhythm section strikes a chord anew."""

Bar = tuple[tuple[Harmony, int], ...]
"""A bar's chords, each with its beats."""


@dataclass(frozen=True)
class Passage:
    """Changes to play over.

    Args:
        name: ASCII, part of the note's id: `turnaround`, `my-blues-bars-1-12`.
        title: what a player calls it; empty for a level's loop.
        number: a number of its own, by which what to keep to rotates.
        bars: its bars.
    """

    name: str
    title: str
    number: int
    bars: tuple[Bar, ...]

    @cached_property
    def spans(self) -> tuple[tuple[Harmony, int], ...]:
        """Its chords in order, each with the beats that it lasts over bar lines, up to two bars."""
        beats = ((chord, count) for bar in self.bars for chord, count in bar)
        spans: list[tuple[Harmony, int]] = []
        for chord, group in groupby(beats, key=lambda pair: pair[0]):
            total = sum(count for _, count in group)
            whole, rest = divmod(total, _LONGEST_CHORD)
            spans += [(chord, _LONGEST_CHORD)] * whole + ([(chord, rest)] if rest else [])
        return tuple(spans)

    @cached_property
    def chords(self) -> tuple[Harmony, ...]:
        """Its chords in order of appearance, each once."""
        return tuple(dict.fromkeys(chord for bar in self.bars for chord, _ in bar))

    @property
    def beats(self) -> int:
        """How many beats it lasts."""
        return sum(count for bar in self.bars for _, count in bar)

    @cached_property
    def changes(self) -> tuple[Change, ...]:
        """Its chords as a rhythm section plays them."""
        return tuple(change(chord, beats) for chord, beats in self.spans)

    @property
    def written(self) -> str:
        """The changes with bar lines, for people: `Gm7 | C7alt | Fmaj7 | D7alt`."""
        return BAR_LINE.join(" ".join(chord.label for chord, _ in bar) for bar in self.bars)


def level_passage(level: Level, key: Key) -> Passage:
    """Return a level's loop in a key."""
    chords = loop_harmonies(level, key)
    counted = zip(chords, bars(chords), strict=True)
    return Passage(
        level.loop, "", level.number, tuple(((chord, BEATS),) for chord, count in counted for _ in range(count))
    )


def cut(length: int) -> Iterator[range]:
    """Cut a section into passages of eight bars; up to four that are left stay with the last eight.

    >>> [len(part) for part in cut(16)], [len(part) for part in cut(12)], [len(part) for part in cut(14)]
    ([8, 8], [12], [8, 6])

    Args:
        length: its bars.

    Yields:
        The bars of each passage, counted from 0.
    """
    first = 0
    while length - first > _SECTION + _TURN:
        yield range(first, first + _SECTION)
        first += _SECTION
    yield range(first, length)
