"""Words: figures and findings as text for people, the same in the terminal and in the report."""

from collections.abc import Iterable
from datetime import UTC, date, datetime

from deckbuilder.progress.analysis import TOLD, Analysis
from deckbuilder.progress.cells import Cell, cell_name
from deckbuilder.progress.figures import ENOUGH, Figures, Verdict
from deckbuilder.progress.patterns import Pattern

COLUMNS = (
    "seen",
    "recalls",
    "recalled",
    "interval",
    "the rest",
    "lapses",
    "s/answer",
    "wait (d)",
    "due",
    "today",
    "weak",
)
"""Columns of every table of figures."""
NOT_YET = "not yet"
"""Stands in tables where there are too few recalls to say."""
_APART = 0.15
"""Points of a share by which “recalled” and “today” seem to contradict each other."""
NOTHING = "–"
"""Stands where a figure does not exist."""

EXPLANATIONS = (
    ("seen", "Cards answered at least once, of all there are."),
    (
        "recalls",
        "First answers of a day to cards answered on an earlier day, so that a night lies between. Repeats on the same "
        "day and first looks at a new card do not count.",
    ),
    ("recalled", f"Share of recalls not graded “again”. Under {ENOUGH} recalls nothing is said: “{NOT_YET}”."),
    (
        "interval",
        "Where the true share lies in 19 cases of 20, given so many recalls (Wilson’s interval). Wide means: wait.",
    ),
    (
        "the rest",
        "What all your other cards reach after the same waits and asked the same way. Apps ask a weak card sooner, "
        "which hides weakness in a bare percentage; this comparison brings it back.",
    ),
    ("lapses", "How often a card that was learned was forgotten, as your app counts it."),
    ("s/answer", "Median seconds per answer. Right but slow is not yet at your fingertips."),
    ("wait (d)", "Median days between a card’s turns, of cards past their first steps. Longer is stronger."),
    ("due", "Share of seen cards whose turn is today or overdue."),
    (
        "today",
        "What you would still know now, soon after your latest repeats; “recalled” is what happened all the while. "
        "Mean estimated chance to recall the seen cards right now: from the memory state that your app stored, else "
        "from an open model of memory with its published parameters. An estimate, not a measurement.",
    ),
    (
        "weak",
        "At least 5 points below the rest, and so surely that, all cells compared at once, chance would name even one "
        "cell in at most one history of twenty (Mantel–Haenszel test, Holm’s correction).",
    ),
)
"""What each figure means."""


def percent(share: float | None) -> str:
    """Write a share in whole per cent."""
    return NOTHING if share is None else f"{share:.0%}"


def number(value: float | None, digits: int = 0) -> str:
    """Write a number, thousands divided by commas."""
    return NOTHING if value is None else f"{value:,.{digits}f}"


def span(low: float, high: float) -> str:
    """Write an interval in whole per cent: `45–66%`."""
    return f"{low * 100:.0f}–{high:.0%}"


def row(figures: Figures) -> tuple[str, ...]:
    """Return figures as a row of `COLUMNS`."""
    told = figures.verdict is not Verdict.NOT_YET
    return (
        f"{figures.seen:,}/{figures.cards:,}",
        number(figures.recalls),
        percent(figures.share) if told else NOT_YET,
        span(figures.low, figures.high) if told else NOTHING,
        percent(figures.rest) if told else NOTHING,
        number(figures.lapses),
        number(figures.seconds, 1),
        number(figures.interval),
        percent(figures.due),
        percent(figures.recall),
        "weak" if figures.verdict is Verdict.WEAK else "",
    )


def day(now: float) -> str:
    """Write a date: `24 March 2024`."""
    when = datetime.fromtimestamp(now, UTC)
    return f"{when.day} {when:%B %Y}"


def moment(day_of_year: date) -> float:
    """Return noon (UTC) of a day, s since 1970."""
    return datetime(day_of_year.year, day_of_year.month, day_of_year.day, 12, tzinfo=UTC).timestamp()


def verdict(analysis: Analysis) -> str:
    """Say in a sentence or two how much stands out, and how much cannot be told yet."""
    judged, cells, found = analysis.judged, len(analysis.cells), len(analysis.weak)
    if not cells:
        return "No card of a key and region is in this history, so there is nothing to compare."
    if not judged:
        return _nothing_judged(analysis)
    if found:
        cell_word = "cell lies" if found == 1 else "cells lie"
        more = f" The {TOLD} surest are named." if found > TOLD else ""
        words = f"{found} {cell_word} clearly below the rest.{more}"
    else:
        words = "No cell lies clearly below the rest: go on as you are."
    open_cells = cells - judged
    if open_cells:
        words += f" {open_cells} of {cells} cells have fewer than {ENOUGH} recalls and are not judged."
    return words


def _nothing_judged(analysis: Analysis) -> str:
    """Say that no cell can be judged, and what can."""
    if analysis.patterns:
        return f"No key and region has {ENOUGH} recalls of its own yet; taken together they show what stands in common."
    if analysis.checkup.standings:
        return f"No key and region has {ENOUGH} recalls of its own yet; the check-up takes keys and regions as a whole."
    return f"Not enough yet to tell: no key and region has {ENOUGH} recalls so far. Study on and look again."


def relearned(analysis: Analysis) -> str:
    """Say what a low share of recalls beside a high chance today means; empty where that is nowhere the case."""
    for cell in analysis.weak[:TOLD]:
        figures = analysis.cells[cell]
        if figures.share is not None and figures.recall is not None and figures.recall - figures.share >= _APART:
            return (
                f"“Recalled {percent(figures.share)}” is what happened whenever these cards came back; “today "
                f"{percent(figures.recall)}” is an estimate of what you still know now, soon after their latest "
                "repeats. A low share with a high estimate means: relearned often, not yet kept."
            )
    return ""


def cell_line(figures: Figures) -> str:
    """Say how a cell stands to the rest: `recalled 56% of 86 (45–66%), the rest 84% after the same waits`."""
    return (
        f"recalled {percent(figures.share)} of {figures.recalls} ({span(figures.low, figures.high)}), "
        f"the rest {percent(figures.rest)} after the same waits"
    )


def pattern_line(pattern: Pattern) -> str:
    """Say how a pattern stands to the rest."""
    return (
        f"recalled {percent(pattern.share)} of {pattern.recalls:,} ({span(pattern.low, pattern.high)}), "
        f"the rest {percent(pattern.rest)} after the same waits"
    )


def in_common(analysis: Analysis) -> str:
    """Say what weak answers have in common: `regions 3 and 4 in flat keys; altered from the third everywhere`."""
    return "; ".join(pattern.words for pattern in analysis.patterns)


def named(analysis: Analysis, cells: Iterable[Cell]) -> list[str]:
    """Name cells as a player does."""
    return [cell_name(analysis.history, cell) for cell in cells]
