"""An outside yardstick: how transcribed jazz solos move, and the same measures for lines of our own.

Source of the figures: Weimar Jazz Database, version 1.2 (open research data; score data: pitch, onset, duration),
described in Pfleiderer, Frieler, Abesser, Zaddach, Burkhart (eds.), Inside the Jazzomat, 2017; computed from 174 of its
299 solos, those of an average tempo from 100 to 240 quarter notes a minute, 67,958 notes. A *phrase* is what stands
between rests longer than a beat; everything is measured within phrases.
"""

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from deckbuilder.lines.notes import LineNote

INTERVALS = (0.052, 0.258, 0.29, 0.177, 0.089, 0.068, 0.014, 0.023, 0.01, 0.007, 0.004, 0.002, 0.003, 0.002)
"""Share of absolute intervals by semitones; the last is more than an octave."""
CHROMATIC_RUNS = 0.058
"""Share of three consecutive notes that move by a semitone twice in one direction."""
ENCLOSING_FIGURES = 0.041
"""Share of three consecutive notes that leap two or three semitones past a tone and come back to it by one."""
TURNS = 0.403
"""Share of three consecutive notes that change direction."""
EIGHTH, QUARTER = Fraction(28, 100), Fraction(3, 4)
"""Beats from one onset to the next that count as an eighth, and as a quarter or longer."""

Line = Sequence[LineNote]


@dataclass(frozen=True)
class Figures:
    """Measures of many lines together, as the yardstick has them."""

    intervals: tuple[float, ...]
    chromatic_runs: float
    enclosing_figures: float
    turns: float
    eighths: float
    quarters: float


def phrases(line: Line) -> Iterator[list[LineNote]]:
    """Cut a line at rests longer than a beat."""
    phrase: list[LineNote] = []
    for note in line:
        if phrase and note.beat - (phrase[-1].beat + phrase[-1].beats) > 1:
            yield phrase
            phrase = []
        phrase.append(note)
    if phrase:
        yield phrase


def measured(lines: Iterable[Line]) -> Figures:
    """Measure lines."""
    every = [phrase for line in lines for phrase in phrases(line)]
    moves = [[after.midi - before.midi for before, after in pairwise(phrase)] for phrase in every]
    sizes = Counter(min(abs(move), 13) for row in moves for move in row)
    pairs = [pair for row in moves for pair in pairwise(row)]
    times = [after.beat - before.beat for phrase in every for before, after in pairwise(phrase)]
    return Figures(
        tuple(sizes[size] / sizes.total() for size in range(14)),
        _share(one == other and abs(one) == 1 for one, other in pairs),
        _share(one * other < 0 and abs(one) in (2, 3) and abs(other) == 1 for one, other in pairs),
        _share(one * other < 0 for one, other in pairs),
        _share(EIGHTH <= time < QUARTER for time in times),
        _share(time >= QUARTER for time in times),
    )


def divergence(one: Sequence[float], other: Sequence[float]) -> float:
    """Return the Jensen–Shannon divergence of two distributions, in bits."""
    middle = [(a + b) / 2 for a, b in zip(one, other, strict=True)]
    return (_relative_entropy(one, middle) + _relative_entropy(other, middle)) / 2


def _relative_entropy(one: Sequence[float], other: Sequence[float]) -> float:
    return sum(a * math.log2(a / b) for a, b in zip(one, other, strict=True) if a)


def _share(found: Iterable[bool]) -> float:
    values = list(found)
    return sum(values) / len(values)
