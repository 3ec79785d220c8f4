"""Report: a history as one HTML file that needs nothing else, for phone and desktop, light and dark."""

from base64 import b64encode
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from deckbuilder.pages import environment
from deckbuilder.progress import checkup_words, words
from deckbuilder.progress.analysis import TOLD, Analysis
from deckbuilder.progress.cells import level_name
from deckbuilder.progress.checkup import by_axis
from deckbuilder.progress.figures import Figures
from deckbuilder.progress.focus import in_tuning
from deckbuilder.progress.today import today
from deckbuilder.speech import _, plural, translate

PACKAGE = "deckbuilder.progress"
"""Whose templates are those of reports; class pages share their style."""
_TEMPLATE = "report.html"
_AT_ONCE = 3
"""Weak cells that are shown unfolded."""


@dataclass(frozen=True, slots=True)
class _Picture:
    """A picture in the page: its bytes as a `data:` address and its words."""

    source: str
    alt: str


def report_html(
    analysis: Analysis, heat_maps: Mapping[int, bytes], trend: bytes, beside: Mapping[str, str] | None = None
) -> str:
    """Return the report.

    Args:
        analysis: what was measured.
        heat_maps: a PNG by level.
        trend: a PNG.
        beside: files beside it, by what they are called.
    """
    return environment(PACKAGE).get_template(_TEMPLATE).render(_context(analysis, heat_maps, trend, beside or {}))


def _context(
    analysis: Analysis, heat_maps: Mapping[int, bytes], trend: bytes, beside: Mapping[str, str]
) -> dict[str, Any]:
    history, all_cards = analysis.history, analysis.overall
    told = analysis.weak[:TOLD]
    return {
        "title": history.title,
        "day": words.day(history.now),
        "tuning": history.tuning,
        "verdict": words.verdict(analysis),
        "today": today(analysis),
        "links": list(beside.items()),
        "told_at_once": _AT_ONCE,
        "strip": _strip(all_cards),
        "patterns": [
            (pattern.words, words.pattern_line(pattern), in_tuning(history, pattern.search))
            for pattern in analysis.patterns
        ],
        "weak": [
            _weak_cell(name, analysis.cells[cell]) for name, cell in zip(words.named(analysis, told), told, strict=True)
        ],
        "levels": [_level(analysis, level, heat_maps[level]) for level in analysis.levels],
        "trend": _picture(trend, _trend_alt(analysis)),
        "columns": words.columns(),
        "axes": [
            (translate(axis.title), [(axis.name(group), words.row(figures)) for group, figures in table.items()])
            for axis, table in analysis.axes
        ],
        "relearned": words.relearned(analysis),
        "explanations": words.explanations(),
        "checkup": _check_up(analysis),
    }


def _check_up(analysis: Analysis) -> dict[str, Any]:
    checkup = analysis.checkup
    return {
        "verdict": checkup_words.verdict(checkup),
        "weak": [(checkup_words.name(standing), checkup_words.line(standing)) for standing in checkup.weak],
        "steps": list(checkup_words.steps(analysis.history, checkup)),
        "columns": words.columns(checkup_words.COLUMNS),
        "axes": [
            (
                translate(axis.title),
                [(axis.name(standing.group), checkup_words.row(standing)) for standing in standings],
            )
            for axis, standings in by_axis(checkup.standings)
        ],
        "explanations": checkup_words.explanations(),
    }


def _strip(figures: Figures) -> list[tuple[str, str, str]]:
    """Return the few figures at the top: name, value, what goes with it."""
    recalls = words.number(figures.recalls)
    if figures.share is None:
        beside = _("{recalls} recalls so far", recalls=recalls)
    else:
        beside = _("{interval} of {recalls} recalls", interval=words.span(figures.low, figures.high), recalls=recalls)
    return [
        (_("recalled"), words.percent(figures.share), beside),
        (_("today"), words.percent(figures.recall), _("estimated, after the latest repeats")),
        (_("seen"), words.number(figures.seen), _("of {cards} cards", cards=words.number(figures.cards))),
        (_("due"), words.percent(figures.due), _("of seen cards")),
        (_("per answer"), _("{number} s", number=words.number(figures.seconds, 1)), _("median")),
        (_("between turns"), _("{number} d", number=words.number(figures.interval)), _("median")),
    ]


def _weak_cell(name: str, figures: Figures) -> dict[str, Any]:
    place, _dot, level = name.rpartition(" · ")
    return {
        "place": place,
        "level": level,
        "line": words.cell_line(figures),
        "low": figures.low * 100,
        "width": (figures.high - figures.low) * 100,
        "share": (figures.share or 0) * 100,
        "rest": (figures.rest or 0) * 100,
        "more": " · ".join(
            (
                plural("{count} lapse", "{count} lapses", figures.lapses),
                _("{number} s an answer", number=words.number(figures.seconds, 1)),
                _("{number} d between turns", number=words.number(figures.interval)),
                _("{share} due", share=words.percent(figures.due)),
            )
        ),
    }


def _level(analysis: Analysis, level: int, heat_map: bytes) -> dict[str, Any]:
    cells = [cell for cell in analysis.cells if cell.level == level]
    title = level_name(level)
    weak = [cell for cell in analysis.weak if cell.level == level]
    places = [_place(name) for name in words.named(analysis, weak)]
    if places:
        told = _("Clearly weaker than the rest: {names}.", names=", ".join(places))
    else:
        told = _("No spot is clearly weaker than the rest.")
    alt = _("Heat map of {level}: recall by key and region. {told} Numbers in the table.", level=title, told=told)
    return {
        "title": title[:1].upper() + title[1:],
        "picture": _picture(heat_map, alt),
        "rows": [
            (_place(name), words.row(analysis.cells[cell]))
            for name, cell in zip(words.named(analysis, cells), cells, strict=True)
        ],
    }


def _place(name: str) -> str:
    """Return a cell's name without its level."""
    return name.rpartition(" · ")[0]


def _trend_alt(analysis: Analysis) -> str:
    weeks = analysis.study.weeks
    if not len(weeks):
        return _("No recall yet.")
    return plural(
        "Recall over {count} week; in the last week {recalled} of {recalls} recalls succeeded.",
        "Recall over {count} weeks; in the last week {recalled} of {recalls} recalls succeeded.",
        len(weeks),
        recalled=f"{weeks[-1][1]:.0f}",
        recalls=f"{weeks[-1][0]:.0f}",
    )


def _picture(png: bytes, alt: str) -> _Picture:
    return _Picture(f"data:image/png;base64,{b64encode(png).decode('ascii')}", alt)
