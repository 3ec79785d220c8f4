"""Rhythm: when a line plays, in phrases of two bars that ask and answer.

A rhythm of two bars is written as sixteen eighths: `x` strikes a note, `-` holds it, `.` rests. What is held over a
bar line is an anticipation. Notes after the phrase's rest are a pickup into the next two bars. A phrase ends on 1, 2&
or 4& (common practice, no source), and at most one beat of it is quicker: a triplet, or a turn of two sixteenths and an
eighth. The rhythms are this project's own.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from deckbuilder.lines.dealing import Dealer
from deckbuilder.lines.grid import (
    BAR,
    HELD,
    ONSET,
    REST,
    UNIT,
    Coming,
    Window,
    close,
    come,
    end_well,
    mend,
    phrases,
    run_on,
)
from deckbuilder.lines.notes import BEAT, EIGHTH

RHYTHMS: Final = (
    "x-xxxxxxxxxx....",
    ".xxxxxxxx-....xx",
    "..x-xxxxxxxx...x",
    "x-x-xxxxx-xxxxxx",
    "xxx-xxxx-xxx....",
    "x-x....xx-xxxxxx",
    "xxxxx-xxxxxxx-xx",
    "x-xxxx-xx-xxx-xx",
    "..xx-xxxx-x-xxxx",
    "x--xxxxxx-..xxxx",
    "xx.xx-xxxxx-x-xx",
    "...xxxxxx-xx..xx",
    "xxx-x-xx-x-xxxxx",
    ".x-xxxxxxx.x....",
    "x-x-x-xxxxxx...x",
    "..xx...xxxx-xxxx",
)  # fmt: skip
_FIGURE = 6  # eighths at the beginning of two bars that may come back, and so go evenly


class Speed(StrEnum):
    """How the beat goes that a note stands in."""

    EVEN = "eighths"
    TRIPLET = "triplet"
    TURN = "turn"


class Response(StrEnum):
    """What the rhythm of the second two bars takes from the first two."""

    ALL = "all"
    HEAD = "head"
    NOTHING = "nothing"


@dataclass(frozen=True, slots=True)
class Beatwise:
    """A note's time.

    Args:
        onset: when it begins, in ticks.
        length: how long it lasts, in ticks.
        unit: which two bars it belongs to.
        speed: how its beat goes.
    """

    onset: int
    length: int
    unit: int
    speed: Speed = Speed.EVEN

    @property
    def end(self) -> int:
        """When it ends, in ticks."""
        return self.onset + self.length


def rhythm(
    windows: Sequence[Window],
    beats: int,
    struck: frozenset[int],
    coming: Coming,
    dealer: Dealer,
    *,
    tied: bool,
    turns: bool,
) -> list[Beatwise]:
    """Deal the rhythm of a line.

    Args:
        windows: where it plays, in order.
        beats: how long the changes last.
        struck: beats to which a note has to come, if they lie in a window.
        coming: how it comes to them.
        dealer: deals rhythms, answers, endings and where the quicker beat stands.
        tied: whether a note may be held over a chord's beginning, and so anticipate it.
        turns: whether a turn may be played, which needs the tone a step above.
    """
    grid = [REST] * (2 * beats)
    units: list[int] = []
    asked = ""
    for window in windows:
        for begin in range(2 * window.begin // BAR * BAR, 2 * window.end, UNIT):
            asked = _written(len(units), asked, dealer)
            units.append(begin)
            for at, sign in enumerate(asked, start=begin):
                if 2 * window.begin <= at < 2 * window.end:
                    grid[at] = sign
    wanted = {2 * beat for beat in struck}
    mend(grid, windows, wanted, tied)
    close(grid, windows, dealer)
    kept = set(come(grid, windows, wanted, coming))
    for window in windows:
        if window.at_once:
            run_on(grid, window)
    for phrase in list(phrases(grid)):
        end_well(grid, phrase, windows, wanted)
    return _timed(grid, units, dealer, turns, kept)


def _written(number: int, asked: str, dealer: Dealer) -> str:
    """Return the rhythm of the next two bars: two bars ask, two bars answer."""
    own = dealer.choice("rhythm", RHYTHMS, number)
    if number % 2 == 0:
        return own
    match dealer.choice("answer", tuple(Response), number // 2):
        case Response.ALL:
            return asked
        case Response.HEAD:
            return asked[:BAR] + own[BAR:]
        case Response.NOTHING:
            return own


def _timed(grid: Sequence[str], units: Sequence[int], dealer: Dealer, turns: bool, kept: set[int]) -> list[Beatwise]:
    """Write a grid as notes, with the quicker beat of each phrase."""
    onsets = [at for at, sign in enumerate(grid) if sign == ONSET]
    quick = dict(_quick_beats(grid, dealer, turns, kept))
    notes: list[Beatwise] = []
    for at in onsets:
        until = next((other for other in range(at + 1, len(grid)) if grid[other] != HELD), len(grid))
        unit = max((number for number, begin in enumerate(units) if begin <= at), default=0)
        onset = at * EIGHTH
        match quick.get(at - at % 2):
            case Speed.TRIPLET:
                third = BEAT // 3
                parts = (
                    [(onset, third), (onset + third, third)] if at % 2 == 0 else [(onset + third - EIGHTH // 3, third)]
                )
                notes += [Beatwise(begin, length, unit, Speed.TRIPLET) for begin, length in parts]
            case Speed.TURN if at % 2 == 0:
                half = EIGHTH // 2
                notes += [Beatwise(onset + part * half, half, unit, Speed.TURN) for part in range(2)]
            case Speed.TURN:
                notes.append(Beatwise(onset, EIGHTH * (until - at), unit, Speed.TURN))
            case _:
                notes.append(Beatwise(onset, EIGHTH * (until - at), unit))
    return notes


def _quick_beats(grid: Sequence[str], dealer: Dealer, turns: bool, kept: set[int]) -> Iterator[tuple[int, Speed]]:
    """Deal each phrase a triplet, a turn or neither, on a beat that goes on in eighths."""
    speeds = (Speed.TURN, Speed.TRIPLET, Speed.TURN, Speed.EVEN) if turns else (Speed.TRIPLET, Speed.EVEN)
    for number, (first, last) in enumerate(phrases(grid)):
        running = [
            at
            for at in range(first + first % 2, last - 1)
            if not kept & {at, at + 1}
            and at % 2 == 0
            and at % UNIT >= _FIGURE
            and grid[at] == grid[at + 1] == ONSET
            and grid[at + 2] != HELD
        ]
        speed = dealer.choice("quick beat", speeds, number)
        if running and speed is not Speed.EVEN:
            yield dealer.choice("which beat", running, number), speed
