"""Words of the check-up, the same in the terminal and in the report."""

from collections.abc import Iterator
from typing import NamedTuple

from deckbuilder.progress.advice import NextRound, next_round, round_search, search
from deckbuilder.progress.checkup import ENOUGH_ANSWERS, CheckUp, Finding, Standing
from deckbuilder.progress.records import History
from deckbuilder.progress.words import percent, span

COLUMNS = ("answers", "known", "estimate", "interval", "the rest", "chance lower", "weak")
"""Columns of a check-up's tables."""

EXPLANATIONS = (
    (
        "answers",
        "The latest answer of each card that tells what you know by yourself: its first answer of the last day on "
        "which it was asked. A first look counts too: it tells what you knew before any study.",
    ),
    ("known", "Share of them not graded “again”."),
    (
        "estimate",
        "What that share would be if all had been asked the same things, in the same ways, at the same levels and "
        "after the same waits. Key, region, level and source are estimated together, each drawn a little "
        "toward your mean: a few answers move it little.",
    ),
    ("chance lower", "Chance that it truly lies below the rest. Among two dozen lines one reaches 95% by mere chance."),
    (
        "weak",
        "At least 5 points below the rest, and so surely that a player without a weak spot is told of one in at most "
        "one check-up of twenty.",
    ),
)
"""What its figures mean."""


class Step(NamedTuple):
    """Something to study next: what it is, and the search that finds it."""

    words: str
    search: str


def name(standing: Standing) -> str:
    """Name a group: `G♭`, `region 3`, `from the third`."""
    return standing.axis.name(standing.group)


def verdict(checkup: CheckUp) -> str:
    """Say in a sentence or two what the check-up found."""
    if not checkup.standings:
        few = f"{checkup.answers} of the {ENOUGH_ANSWERS} answers that it takes"
        return f"No check-up yet: there are {few}. One round is enough to begin."
    looks = f", {checkup.first_looks:,} of them at first sight" if checkup.first_looks else ""
    words = f"Of {checkup.answers:,} cards you knew {percent(checkup.known / checkup.answers)}{looks}."
    if not checkup.weak:
        return f"{words} No key, region, level or source lies clearly below the rest."
    return f"{words} Clearly below the rest: {', '.join(map(name, checkup.weak))}."


def line(standing: Standing) -> str:
    """Say how a weak group stands: `about 52% known (38–66%), the rest 89%; chance that it is lower: 99.9%`."""
    return (
        f"about {percent(standing.estimate)} known ({span(standing.low, standing.high)}), "
        f"the rest {percent(standing.rest)}; chance that it is lower: {_sure(standing.lower)}"
    )


def row(standing: Standing) -> tuple[str, ...]:
    """Return a group as a row of `COLUMNS`."""
    return (
        f"{standing.answers:,}",
        percent(standing.known / standing.answers),
        percent(standing.estimate),
        span(standing.low, standing.high),
        percent(standing.rest),
        _sure(standing.lower),
        "weak" if standing.finding is Finding.WEAK else "",
    )


def _sure(chance: float) -> str:
    """Write a chance; none is certain."""
    return "over 99.9%" if chance > 0.999 else f"{chance:.1%}" if chance > 0.99 else f"{chance:.0%}"


def steps(history: History, checkup: CheckUp) -> Iterator[Step]:
    """Yield what to study next, the surest gain first, and the next round.

    Args:
        history: what was studied.
        checkup: what it says.
    """
    for standing in checkup.weak:
        yield Step(f"Work on {name(standing)}", search(history, standing))
    found = next_round(history)
    if found is None:
        yield Step("Build the deck again and import it: cards then have rounds to check up on", "tag:round::1")
    else:
        yield Step(_round(found), round_search(history, found.number))


def _round(found: NextRound) -> str:
    if found.unanswered == found.cards:
        asked = "none answered yet"
    elif found.unanswered:
        asked = f"{found.unanswered} not answered yet"
    else:
        asked = "answered longest ago"
    return f"Next check-up, round {found.number} ({found.cards} cards, {asked})"
