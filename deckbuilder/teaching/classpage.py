"""Class page: a week of a class on one page, as HTML that needs nothing else and as CSV (RFC 4180)."""

import csv
from collections.abc import Iterator, Mapping
from io import StringIO
from typing import Any

from deckbuilder.pages import environment
from deckbuilder.progress import words
from deckbuilder.progress.report import PACKAGE
from deckbuilder.recipe.checks import cut
from deckbuilder.speech import _, plural
from deckbuilder.teaching.week import TOLD, Standing, Week, day_name

_NAMED = 4
"""New places that are named."""
Links = Mapping[str, str]
"""Files of a student by what they are called."""


def class_html(week: Week, links: Mapping[str, Links]) -> str:
    """Return the page.

    Args:
        week: how the class stands.
        links: each student's files, by title of the deck.
    """
    context = {
        "title": week.title,
        "day": words.day(week.now),
        "verdict": _verdict(week),
        "strip": list(_strip(week)),
        "shared": [
            (spot, _("{count} of {all}", count=len(names), all=len(week.studied)), ", ".join(names))
            for spot, names in week.shared
        ],
        "students": [_student(one, links.get(one.student.recipe.deck_title, {})) for one in week.studied],
        "missing": [(one.called, _missing(one)) for one in week.standings if one.analysis is None],
        "unused": [(one.file, one.reason) for one in week.unused],
    }
    return environment("deckbuilder.teaching", PACKAGE).get_template("class.html").render(context)


def _verdict(week: Week) -> str:
    active = sum(one.answers > 0 for one in week.studied)
    return plural(
        "{active} of {students} students studied this week; {count} has a spot that is surely weak.",
        "{active} of {students} students studied this week; {count} have a spot that is surely weak.",
        sum(bool(one.spots) for one in week.studied),
        active=active,
        students=len(week.standings),
    )


def _strip(week: Week) -> Iterator[tuple[str, str, str]]:
    answers, minutes = sum(one.answers for one in week.studied), sum(one.minutes for one in week.studied)
    active = sum(one.answers > 0 for one in week.studied)
    each = words.number(minutes / active if active else 0)
    yield _("studied"), str(active), _("of {count} students", count=len(week.standings))
    yield _("answers"), words.number(answers), _("this week")
    yield _("minutes"), words.number(minutes), _("{minutes} a student who studied", minutes=each)
    yield _("new cards"), words.number(sum(one.new_cards for one in week.studied)), _("seen for the first time")


def _student(one: Standing, links: Links) -> dict[str, Any]:
    return {"name": one.called, "lines": list(_lines(one)), "spots": one.told, "links": list(links.items())}


def _lines(one: Standing) -> Iterator[str]:
    if one.analysis is None or one.last is None:
        return
    overall = one.analysis.overall
    yield _(
        "Last studied {day}. This week {answers}, {minutes}.",
        day=words.day(one.last),
        answers=plural("{count} answer", "{count} answers", one.answers),
        minutes=plural("{count} minute", "{count} minutes", round(one.minutes)),
    )
    yield _new(one) if one.new_cards else _("Nothing new this week.")
    yield _(
        "Seen {seen} of {cards} cards; recalled {share} of {recalls}.",
        seen=words.number(overall.seen),
        cards=words.number(overall.cards),
        share=words.percent(overall.share),
        recalls=words.number(overall.recalls),
    )
    if one.change is not None:
        yield _("Since {day}: {change}.", day=one.change.since, change=one.change.line)
    if not one.spots:
        yield _("No spot is surely weak.")
    elif len(one.spots) > TOLD:
        yield _("{count} weak spots; the {told} that come first:", count=len(one.spots), told=TOLD)


def _new(one: Standing) -> str:
    cards = plural("{count} card", "{count} cards", one.new_cards)
    if not one.new_places:
        return _("New: {cards}.", cards=cards)
    places, more = ", ".join(one.new_places[:_NAMED]), len(one.new_places) - _NAMED
    if more > 0:
        places = plural("{places} and {count} more place", "{places} and {count} more places", more, places=places)
    return _("New: {cards}; first met: {places}.", cards=cards, places=places)


def _missing(one: Standing) -> str:
    if one.files:
        return _("an export without an answer: nothing was studied yet, or the export is without its study history")
    return _("no export with a deck of this title")


_SPOTS = [field for number in range(1, TOLD + 1) for field in (f"weak_{number}", f"certainty_{number}")]
COLUMNS = (
    "student",
    "deck",
    "last_studied",
    "answers_week",
    "minutes_week",
    "new_cards_week",
    "new_places_week",
    "cards_seen",
    "cards",
    "recalls",
    "recalled",
    *_SPOTS,
    "changed_since",
    "change",
    "tempo",
    "remark",
    "made_by",
)
"""Of the table."""


def class_csv(week: Week) -> bytes:
    """Return the same as a table, one row a student; shares are fractions of one.

    Args:
        week: how the class stands.
    """
    stream = StringIO(newline="")
    writer = csv.DictWriter(stream, COLUMNS, restval="")
    writer.writeheader()
    writer.writerows(_row(one) for one in week.standings)
    return stream.getvalue().encode()


def _row(one: Standing) -> dict[str, object]:
    row: dict[str, object] = {
        "student": one.student.name,
        "deck": one.student.recipe.deck_title,
        "made_by": "deckbuilder",
    }
    if one.analysis is None or one.last is None:
        return {**row, "remark": _missing(one)}
    overall = one.analysis.overall
    row |= {
        "last_studied": day_name(one.last),
        "answers_week": one.answers,
        "minutes_week": f"{one.minutes:.1f}",
        "new_cards_week": one.new_cards,
        "new_places_week": ", ".join(one.new_places),
        "cards_seen": overall.seen,
        "cards": overall.cards,
        "recalls": overall.recalls,
        "recalled": "" if overall.share is None else f"{overall.share:.3f}",
        "tempo": one.tempo,
    }
    for number, spot in enumerate(one.told, start=1):
        row |= {f"weak_{number}": spot.words, f"certainty_{number}": f"{1 - spot.chance:.5f}"}
    if one.change is not None:
        row |= {"changed_since": one.change.since, "change": one.change.line}
    return row


def terminal_rows(week: Week) -> list[tuple[str, ...]]:
    """Return the class as rows of a table for a terminal, the first with what they are.

    Args:
        week: how the class stands.
    """
    head = (_("student"), _("last studied"), _("answers"), _("minutes"), _("new cards"), _("weak spots"))
    rows: list[tuple[str, ...]] = [head]
    for one in week.standings:
        if one.last is None:
            rows.append((cut(one.called), _missing(one), "", "", "", ""))
        else:
            counts = (words.number(one.answers), words.number(one.minutes), words.number(one.new_cards))
            weak = "; ".join(spot.words for spot in one.told)
            rows.append((cut(one.called), words.day(one.last), *counts, weak))
    return rows
