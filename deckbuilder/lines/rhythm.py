"""Rhythm: when a line plays, in phrases of two bars that ask and answer.

A rhythm of two bars is written as sixteen eighths: `x` strikes a note, `-` holds it, `.` rests. What is held over a
bar line is an anticipation. Notes after the phrase's rest are a pickup into the next two bars. A phrase ends on 1, 2&
or 4& (common practice, no source), and at most one beat of it is quicker: a triplet, or a turn of two sixteenths and an
eighth. The rhythms are this project's own.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from typing import Final

from deckbuilder.lines.dealing import Dealer
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

_ONSET, _HELD, _REST = "x", "-", "."
_BAR, _UNIT = 8, 16  # eighths
_ENDINGS = (0, 3, 7)  # eighths of a bar: 1, 2&, 4&
_FIGURE = 6  # eighths at the beginning of two bars that may come back, and so go evenly
_BREATH = 3  # eighths without an onset that part phrases: a rest longer than a beat


class Speed(StrEnum):
    """How the beat goes that a note stands in."""

    EVEN = "eighths"
    TRIPLET = "triplet"
    TURN = "turn"


class Coming(StrEnum):
    """How a line has to come to each chord."""

    FREE = "free"
    ON_TIME = "on time"
    """Its first note is on the chord's first beat."""
    ENCLOSED = "enclosed"
    """So too, after two eighths that enclose it."""
    EARLY = "early"
    """It is an eighth early, and held over the chord's beginning."""


class Response(StrEnum):
    """What the rhythm of the second two bars takes from the first two."""

    ALL = "all"
    HEAD = "head"
    NOTHING = "nothing"


class Close(StrEnum):
    """How the end of the changes meets their beginning."""

    PICKUP = "pickup"
    ANTICIPATION = "anticipation"
    REST = "rest"


@dataclass(frozen=True, slots=True)
class Window:
    """Where a task lets a line play.

    Args:
        begin: first beat, from 0.
        end: the beat after the last one.
        at_once: whether the first note is the first beat's, and begins the only phrase here.
        open_end: whether the line may go on over the window's end, into the first bar again.
    """

    begin: int
    end: int
    at_once: bool = False
    open_end: bool = False


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
    grid = [_REST] * (2 * beats)
    units: list[int] = []
    asked = ""
    for window in windows:
        for begin in range(2 * window.begin // _BAR * _BAR, 2 * window.end, _UNIT):
            asked = _written(len(units), asked, dealer)
            units.append(begin)
            for at, sign in enumerate(asked, start=begin):
                if 2 * window.begin <= at < 2 * window.end:
                    grid[at] = sign
    wanted = {2 * beat for beat in struck}
    _mend(grid, windows, wanted, tied)
    _close(grid, windows, dealer)
    kept = set(_come(grid, windows, wanted, coming))
    for window in windows:
        if window.at_once:
            _run_on(grid, window)
    for phrase in list(_phrases(grid)):
        _end_well(grid, phrase, windows, wanted)
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
            return asked[:_BAR] + own[_BAR:]
        case Response.NOTHING:
            return own


def _mend(grid: list[str], windows: Sequence[Window], struck: set[int], tied: bool) -> None:
    """Strike the notes that have to be, and begin what is cut off or held over from nothing."""
    for window in windows:
        begin, end = 2 * window.begin, 2 * window.end
        for at in range(begin, end):
            if at in struck or (window.at_once and at == begin):
                grid[at] = _ONSET
            elif grid[at] == _HELD and (at == begin or grid[at - 1] == _REST):
                grid[at] = _REST
            elif grid[at] == _HELD and at % 4 == 0 and not tied:
                grid[at] = _ONSET
            elif grid[at] == _REST and at % _UNIT == 0 and at > begin and grid[at - 1] == _ONSET:
                grid[at] = _ONSET  # a pickup leads somewhere


def _come(grid: list[str], windows: Sequence[Window], struck: set[int], coming: Coming) -> Iterator[int]:
    """Come to each chord as asked; yield the eighths that are spoken for."""
    for window in windows:
        begin, end = 2 * window.begin, 2 * window.end
        for at in sorted(struck & set(range(begin, end))):
            if coming is Coming.EARLY and at > begin:
                grid[at - 1 : at + 1] = [_ONSET, _HELD]
                yield at - 1
            elif coming is Coming.ENCLOSED and at - 2 >= begin:
                grid[at - 2 : at + 1] = [_ONSET] * 3
                yield from (at - 2, at - 1)
            else:
                grid[at] = _ONSET


def _run_on(grid: list[str], window: Window) -> None:
    """Make one phrase of a window: fill the rests of its first bar, and end it with the first rest after that."""
    begin, end = 2 * window.begin, 2 * window.end
    onsets = [at for at in range(begin, end) if grid[at] == _ONSET]
    for one, other in pairwise(onsets):
        rest = next((at for at in range(one + 1, other) if grid[at] == _REST), other)
        if other - rest < _BREATH:
            continue
        if one - begin >= _BAR:
            grid[rest:end] = [_REST] * (end - rest)
            return
        for at in range(rest, other):
            if at % 2 == 0:
                grid[at] = _ONSET


def _close(grid: list[str], windows: Sequence[Window], dealer: Dealer) -> None:
    """Lead the last bar into the first, or let it rest."""
    last = windows[-1]
    end = 2 * last.end
    open_end = last.open_end and grid[0] == _ONSET
    close = dealer.choice("close", tuple(Close)) if open_end else Close.REST
    breath = next((at for at in range(end - 1, end - 6, -1) if grid[at] == _REST), end - 4)
    match close:
        case Close.PICKUP:
            grid[end - 2 : end] = [_ONSET, _ONSET]
        case Close.ANTICIPATION:
            grid[breath:end] = [_ONSET] * (end - breath)
        case Close.REST:
            grid[breath:end] = [_REST] * (end - breath)


def _phrases(grid: Sequence[str]) -> Iterator[tuple[int, int]]:
    """Yield the first and the last onset of each phrase."""
    onsets = [at for at, sign in enumerate(grid) if sign == _ONSET]
    first = 0
    for number, (one, other) in enumerate(pairwise(onsets), start=1):
        held = next((at for at in range(one + 1, other) if grid[at] == _REST), other)
        if other - held >= _BREATH:
            yield onsets[first], one
            first = number
    if onsets:
        yield onsets[first], onsets[-1]


def _end_well(grid: list[str], phrase: tuple[int, int], windows: Sequence[Window], struck: set[int]) -> None:
    """Let a phrase end on 1, 2& or 4&: go on to there, or stop before."""
    first, last = phrase
    window = next(window for window in windows if 2 * window.begin <= last < 2 * window.end)
    if last % _BAR in _ENDINGS:
        return
    forward = next(at for at in range(last, last + _BAR) if at % _BAR in _ENDINGS)
    if forward < 2 * window.end:
        grid[last + 1 : forward + 1] = [_ONSET] * (forward - last)
        if forward + 1 < len(grid) and grid[forward + 1] == _HELD:
            grid[forward + 1] = _REST
        return
    for at in range(last, first, -1):
        if at % _BAR in _ENDINGS and grid[at] == _ONSET:
            return
        if at in struck:
            return
        grid[at] = _REST


def _timed(grid: Sequence[str], units: Sequence[int], dealer: Dealer, turns: bool, kept: set[int]) -> list[Beatwise]:
    """Write a grid as notes, with the quicker beat of each phrase."""
    onsets = [at for at, sign in enumerate(grid) if sign == _ONSET]
    quick = dict(_quick_beats(grid, dealer, turns, kept))
    notes: list[Beatwise] = []
    for at in onsets:
        until = next((other for other in range(at + 1, len(grid)) if grid[other] != _HELD), len(grid))
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
    for number, (first, last) in enumerate(_phrases(grid)):
        running = [
            at
            for at in range(first + first % 2, last - 1)
            if not kept & {at, at + 1}
            and at % 2 == 0
            and at % _UNIT >= _FIGURE
            and grid[at] == grid[at + 1] == _ONSET
            and grid[at + 2] != _HELD
        ]
        speed = dealer.choice("quick beat", speeds, number)
        if running and speed is not Speed.EVEN:
            yield dealer.choice("which beat", running, number), speed
