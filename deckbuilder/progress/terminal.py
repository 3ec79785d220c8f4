"""Terminal: a history as text, the weakest first."""

from collections.abc import Iterable, Iterator, Sequence

from deckbuilder.progress import checkup_words, words
from deckbuilder.progress.analysis import TOLD, Analysis
from deckbuilder.progress.checkup import by_axis
from deckbuilder.progress.history import few
from deckbuilder.speech import _, translate


def lines(analysis: Analysis) -> Iterator[str]:
    """Yield the report, line by line.

    Args:
        analysis: what was measured.
    """
    history, all_cards = analysis.history, analysis.overall
    about = {"day": words.day(history.now), "tuning": history.tuning, "deck": history.title}
    if history.title:
        yield _("As of {day}, tuning {tuning}, deck “{deck}”", **about)
    else:
        yield _("As of {day}, tuning {tuning}", **about)
    yield words.verdict(analysis)
    told = analysis.weak[:TOLD]
    if told:
        yield ""
        names = words.named(analysis, told)
        yield from _table(
            _("Weakest first"), zip(names, (words.row(analysis.cells[cell]) for cell in told), strict=True)
        )
        if relearned := words.relearned(analysis):
            yield relearned
    if analysis.patterns:
        yield ""
        yield _("In common: {patterns}", patterns=words.in_common(analysis))
        for pattern in analysis.patterns:
            yield f"  {pattern.words}: {words.pattern_line(pattern)}"
    yield ""
    yield from _check_up(analysis)
    yield ""
    yield from _table(_("All"), [(_("all cards"), words.row(all_cards))])
    for axis, table in analysis.axes:
        yield ""
        yield from _table(
            translate(axis.title), ((axis.name(group), words.row(figures)) for group, figures in table.items())
        )
    if history.other_tunings:
        yield ""
        yield _("Other tunings in this file: {tunings} (choose with --tuning)", tunings=few(history.other_tunings))


def _check_up(analysis: Analysis) -> Iterator[str]:
    checkup = analysis.checkup
    yield _("Check-up: {verdict}", verdict=checkup_words.verdict(checkup))
    for standing in checkup.weak:
        yield f"  {checkup_words.name(standing)}: {checkup_words.line(standing)}"
    for axis, standings in by_axis(checkup.standings):
        rows = [(axis.name(standing.group), checkup_words.row(standing)) for standing in standings]
        yield from _table(_("{axis}, checked", axis=translate(axis.title)), rows, checkup_words.COLUMNS)
    for step in checkup_words.steps(analysis.history, checkup):
        yield f"{step.words}:"
        yield f"  {step.search}"


def _table(
    title: str, rows: Iterable[tuple[str, Sequence[str]]], columns: Sequence[str] = words.COLUMNS
) -> Iterator[str]:
    """Set a table: names to the left, figures to the right."""
    cells = [(title, *words.columns(columns)), *((name, *figures) for name, figures in rows)]
    widths = [max(map(len, column)) for column in zip(*cells, strict=True)]
    for name, *figures in cells:
        set_figures = (figure.rjust(width) for figure, width in zip(figures, widths[1:], strict=True))
        yield "  ".join((name.ljust(widths[0]), *set_figures)).rstrip()
