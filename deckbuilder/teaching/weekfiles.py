"""Week files: a class's week as files in a folder, put there together or not at all."""

import os
from collections.abc import Iterator
from pathlib import Path

from deckbuilder.build import deck_name
from deckbuilder.deck.marks import refuse_foreign_files
from deckbuilder.deck.unfinished import OccupiedError
from deckbuilder.inputs import InputError, read_input
from deckbuilder.progress.analysis import analyse
from deckbuilder.progress.drawing import Paper
from deckbuilder.progress.outputs import renewed
from deckbuilder.progress.written import heat_maps, report_page
from deckbuilder.rendering import Progress
from deckbuilder.speech import _, current
from deckbuilder.teaching.classpage import class_csv, class_html
from deckbuilder.teaching.diary import Diary, DiaryError, class_of, diary_bytes, read_diary, with_entry
from deckbuilder.teaching.matching import matched
from deckbuilder.teaching.roster import ClassError, Roster
from deckbuilder.teaching.sharednotes import SharedNotes
from deckbuilder.teaching.week import Standing, Week, entry_of, week_of
from deckbuilder.teaching.weekplan import week_plan
from deckbuilder.teaching.weeksheet import week_sheet

PAGE, TABLE, DIARY = "class.html", "class.csv", "diary.json"
_REPORT, _SHEET = "{}-report.html", "{}-week-{}.pdf"
_FAMILY = r".+-report\.html|.+-week-(a4|letter)\.pdf"
"""Files that an earlier week may have left of students who are gone."""
_LARGEST_DIARY = 16 << 20


def read_week(roster: Roster, histories: Path, now: float, folder: Path) -> tuple[Week, Diary]:
    """Read the exports of a class, and what was said of it earlier.

    Args:
        roster: the class.
        histories: folder of the exports.
        now: s since 1970; later answers are not looked at.
        folder: where earlier weeks were written, and the diary lies.

    Raises:
        ClassError: the exports cannot be looked at, or the diary cannot be read.
        OccupiedError: something else, or another class's week, lies where the page, the table or the diary is to go.
    """
    diary = _diary(folder / DIARY, roster.title)
    refuse_foreign_files([folder / name for name in (PAGE, TABLE, DIARY)], folder)
    found = matched(roster.students, histories, now)
    return week_of(roster.title, roster.students, found.sources, found.unused, now, diary), diary


def _diary(path: Path, title: str) -> Diary:
    if not os.path.lexists(path):
        return {}
    try:
        data = read_input(path, _LARGEST_DIARY, "move it away to begin anew")
        diary, held = read_diary(data), class_of(data)
    except InputError as error:
        raise ClassError(*error.lines) from None
    except DiaryError as error:
        remedy = "move it away to begin anew, or name another --out"
        raise ClassError(f"{path}: what earlier weeks said cannot be read ({error}); {remedy}") from None
    if held not in ("", title):
        taken = f"this is the week of the class “{held}”, and that of “{title}” would take its place"
        raise OccupiedError(f"{path.parent}: {taken}; move it away or name another --out")
    return diary


def write_week(
    week: Week, diary: Diary, folder: Path, on_progress: Progress = lambda _done, _total: None
) -> tuple[Path, ...]:
    """Write a week: the page and the table of the class, a report and sheets for each student, and the diary.

    Args:
        week: how the class stands.
        diary: what was said earlier.
        folder: where it goes; an earlier week's files give way when all of the new ones are whole.
        on_progress: told of how many students the report and the sheets are made.

    Returns:
        The files.

    Raises:
        OccupiedError: something else lies where a file is to go.
        OutputError: the folder cannot be written; what was there is untouched.
    """
    notes = SharedNotes()
    links: dict[str, dict[str, str]] = {}
    files: dict[str, bytes] = {}
    for number, one in enumerate(week.studied, start=1):
        own = dict(_files(one, week.now, notes))
        files |= dict(own.values())
        links[one.student.recipe.deck_title] = {called: name for called, (name, _) in own.items()}
        on_progress(number, len(week.studied))
    files |= {
        PAGE: class_html(week, links).encode(),
        TABLE: class_csv(week),
        DIARY: diary_bytes(_continued(diary, week), week.title),
    }
    with renewed(folder, list(files), family=_FAMILY) as paths:
        for name, data in files.items():
            paths[name].write_bytes(data)
    return tuple(folder / name for name in files)


def _files(one: Standing, now: float, notes: SharedNotes) -> Iterator[tuple[str, tuple[str, bytes]]]:
    """Yield what a student gets: what the class's page calls it, its file's name and its bytes."""
    analysis, recipe = one.analysis, one.student.recipe
    if analysis is None:
        return
    stem = Path(deck_name(recipe)).stem
    files = {paper: _SHEET.format(stem, paper.name.lower()) for paper in Paper}
    report, sheets, of_class = _("Report"), _sheets(), current()
    with recipe.in_force():
        if current() != of_class:
            analysis = analyse(analysis.history)  # what is found in common is said when it is measured
        beside = {called: files[paper] for paper, called in _sheets().items()}
        page = report_page(analysis, heat_maps(analysis), beside).encode()
        plan = week_plan(analysis, recipe, notes.on_the_neck(recipe), one.tempo)
        drawn = {paper: week_sheet(recipe.deck_title, now, plan, paper) for paper in Paper}
    yield report, (_REPORT.format(stem), page)
    for paper, called in sheets.items():
        yield called, (files[paper], drawn[paper])


def _sheets() -> dict[Paper, str]:
    """Say what the sheets are called, each for its paper."""
    return {paper: _("Sheet for the week ({paper})", paper=paper.name.capitalize()) for paper in Paper}


def _continued(diary: Diary, week: Week) -> Diary:
    new = {one.student.recipe.deck_title: entry for one in week.studied if (entry := entry_of(one)) is not None}
    return {**diary, **{title: with_entry(diary.get(title, ()), entry) for title, entry in new.items()}}
