"""Terminal: a history as text, the weakest first."""

from collections.abc import Iterable, Iterator, Sequence

from deckbuilder.progress import words
from deckbuilder.progress.analysis import TOLD, Analysis
from deckbuilder.progress.history import few


def lines(analysis: Analysis) -> Iterator[str]:
    """Yield the report, line by line.

    Args:
        analysis: what was measured.
    """
    history, all_cards = analysis.history, analysis.overall
    yield f"Standing on {words.day(history.now)}, tuning {history.tuning}"
    yield words.verdict(analysis)
    told = analysis.weak[:TOLD]
    if told:
        yield ""
        names = words.named(analysis, told)
        yield from _table("Weakest first", zip(names, (words.row(analysis.cells[cell]) for cell in told), strict=True))
    if analysis.patterns:
        yield ""
        yield f"In common: {words.in_common(analysis)}"
        for pattern in analysis.patterns:
            yield f"  {pattern.words}: {words.pattern_line(pattern)}"
    yield ""
    yield from _table("All", [("all cards", words.row(all_cards))])
    for axis, table in analysis.axes:
        yield ""
        yield from _table(axis.title, ((axis.name(group), words.row(figures)) for group, figures in table.items()))
    if history.other_tunings:
        yield ""
        yield f"Other tunings in this file: {few(history.other_tunings)} (choose with --tuning)"


def _table(title: str, rows: Iterable[tuple[str, Sequence[str]]]) -> Iterator[str]:
    """Set a table: names to the left, figures to the right."""
    cells = [(title, *words.COLUMNS), *((name, *figures) for name, figures in rows)]
    widths = [max(map(len, column)) for column in zip(*cells, strict=True)]
    for name, *figures in cells:
        set_figures = (figure.rjust(width) for figure, width in zip(figures, widths[1:], strict=True))
        yield "  ".join((name.ljust(widths[0]), *set_figures)).rstrip()
