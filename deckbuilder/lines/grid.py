"""Grid: two bars after two bars in eighths, and how what was dealt to them is mended so that it can be played.

A grid is a list of signs, one an eighth: `ONSET` strikes a note, `HELD` holds it, `REST` rests. A phrase ends on 1, 2&
or 4& (common practice, no source).
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from deckbuilder.lines.dealing import Dealer

ONSET, HELD, REST = "x", "-", "."
BAR, UNIT = 8, 16
"""Eighths of a bar, and of the two bars that are dealt together."""
_ENDINGS = (0, 3, 7)  # eighths of a bar: 1, 2&, 4&
_BREATH = 3  # eighths without an onset that part phrases: a rest longer than a beat


class Coming(StrEnum):
    """How a line has to come to each chord."""

    FREE = "free"
    ON_TIME = "on time"
    """Its first note is on the chord's first beat."""
    ENCLOSED = "enclosed"
    """So too, after two eighths that enclose it."""
    EARLY = "early"
    """It is an eighth early, and held over the chord's beginning."""


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


def mend(grid: list[str], windows: Sequence[Window], struck: set[int], tied: bool) -> None:
    """Strike the notes that have to be, and begin what is cut off or held over from nothing.

    Args:
        grid: changed in place.
        windows: where the line plays.
        struck: eighths that have to be struck, if they lie in a window.
        tied: whether a note may be held over a chord's beginning.
    """
    for window in windows:
        begin, end = 2 * window.begin, 2 * window.end
        for at in range(begin, end):
            if at in struck or (window.at_once and at == begin):
                grid[at] = ONSET
            elif grid[at] == HELD and (at == begin or grid[at - 1] == REST):
                grid[at] = REST
            elif grid[at] == HELD and at % 4 == 0 and not tied:
                grid[at] = ONSET
            elif grid[at] == REST and at % UNIT == 0 and at > begin and grid[at - 1] == ONSET:
                grid[at] = ONSET  # a pickup leads somewhere


def come(grid: list[str], windows: Sequence[Window], struck: set[int], coming: Coming) -> Iterator[int]:
    """Come to each chord as asked; yield the eighths that are spoken for.

    Args:
        grid: changed in place.
        windows: where the line plays.
        struck: eighths at which chords are come to.
        coming: how.
    """
    for window in windows:
        begin, end = 2 * window.begin, 2 * window.end
        for at in sorted(struck & set(range(begin, end))):
            if coming is Coming.EARLY and at > begin:
                grid[at - 1 : at + 1] = [ONSET, HELD]
                yield at - 1
            elif coming is Coming.ENCLOSED and at - 2 >= begin:
                grid[at - 2 : at + 1] = [ONSET] * 3
                yield from (at - 2, at - 1)
            else:
                grid[at] = ONSET


def run_on(grid: list[str], window: Window) -> None:
    """Make one phrase of a window: fill the rests of its first bar, and end it with the first rest after that.

    Args:
        grid: changed in place.
        window: the window.
    """
    begin, end = 2 * window.begin, 2 * window.end
    onsets = [at for at in range(begin, end) if grid[at] == ONSET]
    for one, other in pairwise(onsets):
        rest = next((at for at in range(one + 1, other) if grid[at] == REST), other)
        if other - rest < _BREATH:
            continue
        if one - begin >= BAR:
            grid[rest:end] = [REST] * (end - rest)
            return
        for at in range(rest, other):
            if at % 2 == 0:
                grid[at] = ONSET


def close(grid: list[str], windows: Sequence[Window], dealer: Dealer) -> None:
    """Lead the last bar into the first, or let it rest.

    Args:
        grid: changed in place.
        windows: where the line plays.
        dealer: deals which of these it is.
    """
    last = windows[-1]
    end = 2 * last.end
    open_end = last.open_end and grid[0] == ONSET
    close = dealer.choice("close", tuple(Close)) if open_end else Close.REST
    breath = next((at for at in range(end - 1, end - 6, -1) if grid[at] == REST), end - 4)
    match close:
        case Close.PICKUP:
            grid[end - 2 : end] = [ONSET, ONSET]
        case Close.ANTICIPATION:
            grid[breath:end] = [ONSET] * (end - breath)
        case Close.REST:
            grid[breath:end] = [REST] * (end - breath)


def phrases(grid: Sequence[str]) -> Iterator[tuple[int, int]]:
    """Yield the first and the last onset of each phrase.

    Args:
        grid: the signs.
    """
    onsets = [at for at, sign in enumerate(grid) if sign == ONSET]
    first = 0
    for number, (one, other) in enumerate(pairwise(onsets), start=1):
        held = next((at for at in range(one + 1, other) if grid[at] == REST), other)
        if other - held >= _BREATH:
            yield onsets[first], one
            first = number
    if onsets:
        yield onsets[first], onsets[-1]


def end_well(grid: list[str], phrase: tuple[int, int], windows: Sequence[Window], struck: set[int]) -> None:
    """Let a phrase end on 1, 2& or 4&: go on to there, or stop before.

    Args:
        grid: changed in place.
        phrase: its first and its last onset.
        windows: where the line plays.
        struck: eighths that have to stay struck.
    """
    first, last = phrase
    window = next(window for window in windows if 2 * window.begin <= last < 2 * window.end)
    if last % BAR in _ENDINGS:
        return
    forward = next(at for at in range(last, last + BAR) if at % BAR in _ENDINGS)
    if forward < 2 * window.end:
        grid[last + 1 : forward + 1] = [ONSET] * (forward - last)
        if forward + 1 < len(grid) and grid[forward + 1] == HELD:
            grid[forward + 1] = REST
        return
    for at in range(last, first, -1):
        if at % BAR in _ENDINGS and grid[at] == ONSET:
            return
        if at in struck:
            return
        grid[at] = REST
