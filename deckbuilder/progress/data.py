"""Data: everything that is said of a history, for other programs – as JSON, and as a table (CSV, RFC 4180).

Shares and chances are fractions of one, waits days, answers s; what there is too little to say of is null, or empty.
Names are those of tags: ASCII, in English.
"""

import csv
import json
from collections.abc import Callable, Iterator, Mapping
from io import StringIO
from typing import Any

from deckbuilder.progress.analysis import Analysis
from deckbuilder.progress.checkup import Standing
from deckbuilder.progress.figures import Figures, Verdict
from deckbuilder.progress.spots import spots
from deckbuilder.progress.today import today

VERSION = 1
MADE_BY = "deckbuilder"

_FIGURES = (
    "cards",
    "seen",
    "recalls",
    "recalled",
    "low",
    "high",
    "rest",
    "lapses",
    "seconds",
    "interval",
    "due",
    "today",
    "verdict",
    "chance",
)
COLUMNS = ("axis", "group", "level", "key", "region", *_FIGURES, "made_by")
"""Of the table: `axis` says what a row is a group of, and of a cell level, key and region."""


def progress_json(analysis: Analysis) -> bytes:
    """Return all of it as a JSON object.

    Args:
        analysis: what was measured.
    """
    history, now = analysis.history, today(analysis)
    said = {
        "generator": MADE_BY,
        "version": VERSION,
        "title": history.title,
        "tuning": history.tuning,
        "other_tunings": list(history.other_tunings),
        "at": history.now,
        "search": now.search,
        "due": now.due,
        "spots": [{"what": spot.words, "how": spot.line, "chance": spot.chance} for spot in spots(analysis)],
        "all": _figures(analysis.overall),
        "cells": [{**cell._asdict(), **_figures(figures)} for cell, figures in analysis.cells.items()],
        "axes": {
            axis.title.lower(): {group: _figures(figures) for group, figures in table.items()}
            for axis, table in analysis.axes
        },
        "check_up": {
            "answers": analysis.checkup.answers,
            "first_looks": analysis.checkup.first_looks,
            "known": analysis.checkup.known,
            "standings": [_standing(standing) for standing in analysis.checkup.standings],
        },
        "weeks": [{"recalls": int(recalls), "recalled": int(recalled)} for recalls, recalled in analysis.study.weeks],
    }
    return (json.dumps(said, indent=1, ensure_ascii=False, allow_nan=False) + "\n").encode()


def progress_csv(analysis: Analysis) -> bytes:
    """Return the figures of all groups as a table, a row a group.

    Args:
        analysis: what was measured.
    """
    stream = StringIO(newline="")
    writer = csv.DictWriter(stream, COLUMNS, restval="")
    writer.writeheader()
    writer.writerows({**row, "made_by": MADE_BY} for row in _rows(analysis))
    return stream.getvalue().encode()


FORMATS: Mapping[str, Callable[[Analysis], bytes]] = {"json": progress_json, "csv": progress_csv}
"""What the figures can be written as."""


def _rows(analysis: Analysis) -> Iterator[dict[str, object]]:
    yield {"axis": "all", **_figures(analysis.overall)}
    for cell, figures in analysis.cells.items():
        yield {"axis": "cell", **cell._asdict(), **_figures(figures)}
    for axis, table in analysis.axes:
        for group, figures in table.items():
            yield {"axis": axis.title.lower(), "group": group, **_figures(figures)}


def _figures(figures: Figures) -> dict[str, Any]:
    judged = figures.verdict is not Verdict.NOT_YET
    values = (
        figures.cards,
        figures.seen,
        figures.recalls,
        figures.recalled,
        figures.low if judged else None,
        figures.high if judged else None,
        figures.rest if judged else None,
        figures.lapses,
        figures.seconds,
        figures.interval,
        figures.due,
        figures.recall,
        figures.verdict.value,
        figures.chance if judged else None,
    )
    return dict(zip(_FIGURES, values, strict=True))


def _standing(standing: Standing) -> dict[str, Any]:
    return {
        "axis": standing.axis.title.lower(),
        "group": standing.group,
        "answers": standing.answers,
        "known": standing.known,
        "estimate": standing.estimate,
        "low": standing.low,
        "high": standing.high,
        "rest": standing.rest,
        "lower": standing.lower,
        "finding": standing.finding.value,
        "chance": standing.chance,
    }
