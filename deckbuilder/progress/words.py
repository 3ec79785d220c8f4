"""Words: figures and findings as text for people, the same in the terminal and in the report."""

from collections.abc import Iterable
from datetime import UTC, date, datetime

from deckbuilder import speech
from deckbuilder.progress.analysis import TOLD, Analysis
from deckbuilder.progress.cells import Cell, cell_name
from deckbuilder.progress.figures import ENOUGH, Figures, Verdict
from deckbuilder.progress.patterns import Pattern
from deckbuilder.speech import _, marked, plural, translate

COLUMNS = (
    marked("seen"),
    marked("recalls"),
    marked("recalled"),
    marked("interval"),
    marked("the rest"),
    marked("lapses"),
    marked("s/answer"),
    marked("wait (d)"),
    marked("due"),
    marked("today"),
    marked("weak"),
)
"""Columns of every table of figures, messages that are said with `columns`."""
NOT_YET = marked("not yet")
"""Stands in tables where there are too few recalls to say."""
_APART = 0.15
"""Points of a share by which “recalled” and “today” seem to contradict each other."""
_HARD = 0.8
"""Share of recalls below which it is hard everywhere: schedulers aim at nine of ten (common practice, no source)."""
NOTHING = "–"
"""Stands where a figure does not exist."""


def columns(names: Iterable[str] = COLUMNS) -> tuple[str, ...]:
    """Say the columns of a table."""
    return tuple(map(translate, names))


def explanations() -> tuple[tuple[str, str], ...]:
    """Say what each figure means."""
    return (
        (_("seen"), _("Cards answered at least once, of all there are.")),
        (
            _("recalls"),
            _(
                "First answers of a day to cards answered on an earlier day, so that a night lies between. Repeats on "
                "the same day and first looks at a new card do not count."
            ),
        ),
        (
            _("recalled"),
            _(
                "Share of recalls not graded “again”. Under {enough} recalls nothing is said: “{not_yet}”.",
                enough=ENOUGH,
                not_yet=translate(NOT_YET),
            ),
        ),
        (
            _("interval"),
            _(
                "Where the true share lies in 19 cases of 20, given so many recalls (Wilson’s interval). Wide means: "
                "wait."
            ),
        ),
        (
            _("the rest"),
            _(
                "What all your other cards reach after the same waits and asked the same way. Apps ask a weak card "
                "sooner, which hides weakness in a bare percentage; this comparison brings it back."
            ),
        ),
        (_("lapses"), _("How often a card that was learned was forgotten, as your app counts it.")),
        (_("s/answer"), _("Median seconds per answer. Right but slow is not yet at your fingertips.")),
        (
            _("wait (d)"),
            _("Median days between a card’s turns, of cards past their first steps. Longer is stronger."),
        ),
        (_("due"), _("Share of seen cards whose turn is today or overdue.")),
        (
            _("today"),
            _(
                "What you would still know now, soon after your latest repeats; “recalled” is what happened all the "
                "while. Mean estimated chance to recall the seen cards right now: from the memory state that your app "
                "stored, else from an open model of memory with its published parameters. An estimate, not a "
                "measurement."
            ),
        ),
        (
            _("weak"),
            _(
                "At least 5 points below the rest, and so surely that, all spots compared at once, chance would name "
                "even one spot in at most one history of twenty (Mantel–Haenszel test, Holm’s correction)."
            ),
        ),
    )


def percent(share: float | None) -> str:
    """Write a share in whole per cent."""
    return NOTHING if share is None else speech.percent(share)


def number(value: float | None, digits: int = 0) -> str:
    """Write a number."""
    return NOTHING if value is None else speech.number(value, digits)


def span(low: float, high: float) -> str:
    """Write an interval in whole per cent: `45–66%`."""
    return f"{low * 100:.0f}–{speech.percent(high)}"


def row(figures: Figures) -> tuple[str, ...]:
    """Return figures as a row of `COLUMNS`."""
    told = figures.verdict is not Verdict.NOT_YET
    return (
        f"{number(figures.seen)}/{number(figures.cards)}",
        number(figures.recalls),
        percent(figures.share) if told else translate(NOT_YET),
        span(figures.low, figures.high) if told else NOTHING,
        percent(figures.rest) if told else NOTHING,
        number(figures.lapses),
        number(figures.seconds, 1),
        number(figures.interval),
        percent(figures.due),
        percent(figures.recall),
        _("weak") if figures.verdict is Verdict.WEAK else "",
    )


def day(now: float) -> str:
    """Write a date: `24 March 2024`."""
    when = datetime.fromtimestamp(now, UTC)
    return _("{day} {month} {year}", day=when.day, month=translate(_MONTHS[when.month - 1]), year=when.year)


_MONTHS = (
    marked("January"),
    marked("February"),
    marked("March"),
    marked("April"),
    marked("May"),
    marked("June"),
    marked("July"),
    marked("August"),
    marked("September"),
    marked("October"),
    marked("November"),
    marked("December"),
)


def moment(day_of_year: date) -> float:
    """Return noon (UTC) of a day, s since 1970."""
    return datetime(day_of_year.year, day_of_year.month, day_of_year.day, 12, tzinfo=UTC).timestamp()


def verdict(analysis: Analysis) -> str:
    """Say in a sentence or two how much stands out, and how much cannot be told yet."""
    judged, cells, found = analysis.judged, len(analysis.cells), len(analysis.weak)
    if not cells:
        return _no_cells(analysis)
    if not judged:
        return _nothing_judged(analysis)
    if found:
        said = [plural("{count} spot is clearly weaker.", "{count} spots are clearly weaker.", found)]
        if found > TOLD:
            said.append(_("The {count} surest are named.", count=TOLD))
    elif analysis.patterns:
        said = [_("No single spot is clearly weaker than the rest, but this is: {cards}.", cards=in_common(analysis))]
    elif analysis.overall.high < _HARD:
        said = [
            _(
                "No spot is clearly weaker than the rest: it is hard everywhere. You recall {share}; take fewer new "
                "cards a day until it is {enough} and more.",
                share=percent(analysis.overall.share),
                enough=percent(_HARD),
            )
        ]
    else:
        said = [_("No spot is clearly weaker than the rest: go on as you are.")]
    if cells > judged:
        said.append(
            _(
                "{open} of {spots} spots have fewer than {enough} recalls and are not judged.",
                open=cells - judged,
                spots=cells,
                enough=ENOUGH,
            )
        )
    return " ".join(said)


def _no_cells(analysis: Analysis) -> str:
    """Say that no card is of a level in a key and region, and what can be compared all the same."""
    if not any({"key", "region"} <= card.axes.keys() for card in analysis.history.cards):
        return _("No card of a key and region is in this history, so no places are compared.")
    said = _(
        "The cards of this history are of no level, as those of your own changes are: keys, regions, chords and kinds "
        "are compared as a whole."
    )
    if analysis.patterns:
        said += " " + _("Clearly weaker than the rest: {names}.", names=in_common(analysis))
    return said


def _nothing_judged(analysis: Analysis) -> str:
    """Say that no cell can be judged, and what can."""
    if analysis.patterns:
        return _(
            "No key and region has {enough} recalls of its own yet; taken together they show what they have in common.",
            enough=ENOUGH,
        )
    if analysis.checkup.standings:
        return _(
            "No key and region has {enough} recalls of its own yet; the check-up takes keys and regions as a whole.",
            enough=ENOUGH,
        )
    return _(
        "Not enough yet to tell: no key and region has {enough} recalls so far. Study on and look again.", enough=ENOUGH
    )


def relearned(analysis: Analysis) -> str:
    """Say what a low share of recalls beside a high chance today means; empty where that is nowhere the case."""
    for cell in analysis.weak[:TOLD]:
        figures = analysis.cells[cell]
        if figures.share is not None and figures.recall is not None and figures.recall - figures.share >= _APART:
            return _(
                "“Recalled {share}” is what happened whenever these cards came back; “today {estimate}” is an "
                "estimate of what you still know now, soon after their latest repeats. A low share with a high "
                "estimate means: relearned often, not yet kept.",
                share=percent(figures.share),
                estimate=percent(figures.recall),
            )
    return ""


def cell_line(figures: Figures) -> str:
    """Say how a cell stands to the rest: `recalled 56% of 86 (45–66%), the rest 84% after the same waits`."""
    return _line(figures)


def pattern_line(pattern: Pattern) -> str:
    """Say how a pattern stands to the rest."""
    return _line(pattern)


def _line(found: Figures | Pattern) -> str:
    return _(
        "recalled {share} of {recalls} ({interval}), the rest {rest} after the same waits",
        share=percent(found.share),
        recalls=number(found.recalls),
        interval=span(found.low, found.high),
        rest=percent(found.rest),
    )


def in_common(analysis: Analysis) -> str:
    """Say what weak answers have in common: `regions 3 and 4 in flat keys; altered from the third everywhere`."""
    return "; ".join(pattern.words for pattern in analysis.patterns)


def named(analysis: Analysis, cells: Iterable[Cell]) -> list[str]:
    """Name cells as a player does."""
    return [cell_name(analysis.history, cell) for cell in cells]
