"""Words of the check-up, the same in the terminal and in the report."""

from collections.abc import Iterator
from typing import NamedTuple

from deckbuilder import speech
from deckbuilder.progress.advice import NextRound, next_round, round_search, search
from deckbuilder.progress.cells import SOURCE, arpeggios_name
from deckbuilder.progress.checkup import ENOUGH_ANSWERS, CheckUp, Finding, Standing
from deckbuilder.progress.records import History
from deckbuilder.progress.words import number, percent, span
from deckbuilder.speech import _, marked

COLUMNS = (
    marked("answers"),
    marked("known"),
    marked("estimate"),
    marked("interval"),
    marked("the rest"),
    marked("chance lower"),
    marked("weak"),
)
"""Columns of a check-up's tables, messages."""


def explanations() -> tuple[tuple[str, str], ...]:
    """Say what its figures mean."""
    return (
        (
            _("answers"),
            _(
                "The latest answer of each card that tells what you know by yourself: its first answer of the last day "
                "on which it was asked. A first look counts too: it tells what you knew before any study."
            ),
        ),
        (_("known"), _("Share of them not graded “again”.")),
        (
            _("estimate"),
            _(
                "What that share would be if all had been asked the same things, in the same ways, at the same levels "
                "and after the same waits. Key, region, level and source are estimated together, each drawn a little "
                "toward your mean: a few answers move it little."
            ),
        ),
        (
            _("chance lower"),
            _("Chance that it truly lies below the rest. Among two dozen lines one reaches 95% by mere chance."),
        ),
        (
            _("weak"),
            _(
                "At least 5 points below the rest, and so surely that a player without a weak spot is told of one in "
                "at most one check-up of twenty."
            ),
        ),
    )


class Step(NamedTuple):
    """Something to study next: what it is, and the search that finds it."""

    words: str
    search: str


def name(standing: Standing) -> str:
    """Name a group: `G♭`, `region 3`, `arpeggios from the third`."""
    if standing.axis.title == SOURCE.title:
        return arpeggios_name(standing.group)
    return standing.axis.name(standing.group)


def verdict(checkup: CheckUp) -> str:
    """Say in a sentence or two what the check-up found."""
    if not checkup.standings:
        return _(
            "No check-up yet: it takes {enough} answers, and there are {count}. One round is enough to begin.",
            enough=ENOUGH_ANSWERS,
            count=checkup.answers,
        )
    figures = {"cards": number(checkup.answers), "share": percent(checkup.known / checkup.answers)}
    if checkup.first_looks:
        looks = number(checkup.first_looks)
        words = _("Of {cards} cards you knew {share}, {looks} of them at first sight.", looks=looks, **figures)
    else:
        words = _("Of {cards} cards you knew {share}.", **figures)
    if not checkup.weak:
        even = _("By the latest answer to each alone, no key, region, level or source is clearly weaker.")
        return " ".join((words, even))
    return " ".join((words, _("Clearly weaker than the rest: {names}.", names=", ".join(map(name, checkup.weak)))))


def line(standing: Standing) -> str:
    """Say how a weak group stands: `about 52% known (38–66%), the rest 89%; chance that it is lower: 99.9%`."""
    return _(
        "about {share} known ({interval}), the rest {rest}; chance that it is lower: {chance}",
        share=percent(standing.estimate),
        interval=span(standing.low, standing.high),
        rest=percent(standing.rest),
        chance=sure(standing.lower),
    )


def row(standing: Standing) -> tuple[str, ...]:
    """Return a group as a row of `COLUMNS`."""
    return (
        number(standing.answers),
        percent(standing.known / standing.answers),
        percent(standing.estimate),
        span(standing.low, standing.high),
        percent(standing.rest),
        sure(standing.lower),
        _("weak") if standing.finding is Finding.WEAK else "",
    )


def sure(chance: float, digits: int = 0) -> str:
    """Write a chance; none is certain.

    Args:
        chance: 0 to 1.
        digits: how many stand behind the decimal sign, from 99% on one at least.
    """
    if chance > 0.999:
        return _("over {share}", share=speech.percent(0.999, 1))
    return speech.percent(chance, max(digits, int(chance > 0.99)))


def steps(history: History, checkup: CheckUp) -> Iterator[Step]:
    """Yield what to study next, the surest gain first, and the next round.

    Args:
        history: what was studied.
        checkup: what it says.
    """
    for standing in checkup.weak:
        yield Step(_("Work on {name}", name=name(standing)), search(history, standing))
    found = next_round(history)
    if found is None:
        yield Step(_("Build the deck again and import it: cards then have rounds to check up on"), "tag:round::1")
    else:
        yield Step(_round(found), round_search(history, found.number))


def _round(found: NextRound) -> str:
    figures = {"number": found.number, "cards": found.cards}
    if found.unanswered == found.cards:
        return _("Next check-up, round {number} ({cards} cards, none answered yet)", **figures)
    if found.unanswered:
        left = found.unanswered
        return _("Next check-up, round {number} ({cards} cards, {left} not answered yet)", left=left, **figures)
    return _("Next check-up, round {number} ({cards} cards, answered longest ago)", **figures)
