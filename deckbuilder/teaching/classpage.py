"""Class page: a week of a class on one page, as HTML that needs nothing else and as CSV (RFC 4180)."""

import csv
from collections.abc import Iterator, Mapping
from io import StringIO
from typing import Any

from deckbuilder.progress import words
from deckbuilder.progress.report import environment
from deckbuilder.teaching.week import TOLD, Standing, Week, day_name

_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
_NAMED = 4
"""New places that are named."""
NO_EXPORT, NOTHING_YET = "no export with a deck of this title", "an export, but nothing was studied yet"

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
            (spot, f"{_number(len(names))} of {_number(len(week.studied))}", ", ".join(names))
            for spot, names in week.shared
        ],
        "students": [_student(one, links.get(one.student.recipe.deck_title, {})) for one in week.studied],
        "missing": [(one.student.name, _missing(one)) for one in week.standings if one.analysis is None],
        "unused": [(one.file, one.reason) for one in week.unused],
    }
    return environment("deckbuilder.teaching").get_template("class.html").render(context)


def _number(count: int) -> str:
    return _NUMBERS[count] if count < len(_NUMBERS) else str(count)


def _verdict(week: Week) -> str:
    active = sum(one.answers > 0 for one in week.studied)
    told = f"{_number(active)} of {_number(len(week.standings))} students studied this week".capitalize()
    weak = sum(bool(one.spots) for one in week.studied)
    return f"{told}; {_number(weak)} {'has' if weak == 1 else 'have'} a spot that is surely weak."


def _strip(week: Week) -> Iterator[tuple[str, str, str]]:
    answers, minutes = sum(one.answers for one in week.studied), sum(one.minutes for one in week.studied)
    active = sum(one.answers > 0 for one in week.studied)
    yield "studied", str(active), f"of {len(week.standings)} students"
    yield "answers", words.number(answers), "this week"
    yield "minutes", words.number(minutes), f"{words.number(minutes / active if active else 0)} a student who studied"
    yield "new cards", words.number(sum(one.new_cards for one in week.studied)), "seen for the first time"


def _student(one: Standing, links: Links) -> dict[str, Any]:
    return {"name": one.student.name, "lines": list(_lines(one)), "spots": one.told, "links": list(links.items())}


def _lines(one: Standing) -> Iterator[str]:
    if one.analysis is None or one.last is None:
        return
    overall = one.analysis.overall
    yield (
        f"Last studied {words.day(one.last)}. This week {words.number(one.answers)} answers, "
        f"{words.number(one.minutes)} minutes."
    )
    yield f"New: {_new(one)}." if one.new_cards else "Nothing new this week."
    recalled = f"recalled {words.percent(overall.share)} of {overall.recalls:,}"
    yield f"Seen {overall.seen:,} of {overall.cards:,} cards; {recalled}."
    if one.change is not None:
        yield f"Since {one.change.since}: {one.change.line}."
    if not one.spots:
        yield "No spot is surely weak."
    elif len(one.spots) > TOLD:
        yield f"{_number(len(one.spots)).capitalize()} weak spots; the {_number(TOLD)} that come first:"


def _new(one: Standing) -> str:
    places = one.new_places[:_NAMED]
    more = f" and {len(one.new_places) - _NAMED} more places" if len(one.new_places) > _NAMED else ""
    first = f"; first met: {', '.join(places)}{more}" if places else ""
    return f"{one.new_cards} cards{first}"


def _missing(one: Standing) -> str:
    return NOTHING_YET if one.files else NO_EXPORT


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
    rows: list[tuple[str, ...]] = [("student", "last studied", "answers", "minutes", "new cards", "weak spots")]
    for one in week.standings:
        if one.last is None:
            rows.append((one.student.name, _missing(one), "", "", "", ""))
        else:
            counts = (words.number(one.answers), words.number(one.minutes), words.number(one.new_cards))
            rows.append((one.student.name, words.day(one.last), *counts, "; ".join(spot.words for spot in one.told)))
    return rows
