"""Command line: `deckbuilder class`.

Exit status 2 where some students' decks could not be made; the others are there.
"""

import time
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from deckbuilder.cli.options import day, rendering, timestamp
from deckbuilder.cli.renderers import clustered, renderers
from deckbuilder.cli.telling import days_told, shown_progress, tell, tell_table, written_to
from deckbuilder.speech import _, marked, speaking

if TYPE_CHECKING:
    from deckbuilder.teaching.making import Planned
    from deckbuilder.teaching.roster import Refused, Roster


@click.command(name="class")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--only", multiple=True, metavar="NAME", help="This student alone; may be given several times.")
@click.option("--dry-run", is_flag=True, help="Tell what would be built, and write nothing.")
@click.option(
    "--histories",
    type=click.Path(path_type=Path, file_okay=False),
    metavar="FOLDER",
    help="Instead of building, tell the week of the class from the exports in this folder.",
)
@click.option(
    "--date", callback=day, metavar="YYYY-MM-DD", help="With --histories: as of this day; today if not given."
)
@click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    show_default="decks; with --histories week",
    help="Folder of the decks, or of the week.",
)
@rendering
@clustered
def classroom(
    file: Path,
    only: Sequence[str],
    dry_run: bool,
    histories: Path | None,
    date: date | None,
    out: Path | None,
    store: Path,
    workers: int | None,
    cluster: str | None,
) -> None:
    """Build a deck for each student of a class, or tell their week.

    FILE is a TOML file: [recipe] has what all of them study, and each [[students]] a name, or initials, and the fields
    of a recipe that are the student's own. What all need is rendered once.

    With --histories the study exports in a folder are matched to students by the titles of their decks. The folder
    --out gets a page and a table of the class, and of each student a report and a sheet for the week.

    Names and study histories of students stay on this computer: nothing here sends anything anywhere.
    """
    from deckbuilder.deck.store import Store
    from deckbuilder.progress.words import moment
    from deckbuilder.teaching.making import make, planned
    from deckbuilder.teaching.roster import Refused, read_class

    roster = read_class(file).only(only)
    if date is not None and histories is None:
        raise click.UsageError("--date: only a week has one; name the folder of exports with --histories")
    if histories is not None and only:
        raise click.UsageError("--only: a week tells of the whole class; leave out --only or --histories")
    if histories is not None:
        with speaking(roster.speech):
            as_of = moment(date) if date else time.time()
            unwritten = _tell_week(roster, histories, as_of, out or Path("week"), write=not dry_run)
        _end([*unwritten, *roster.refused])
        return
    out = out or Path("decks")
    decks, refused = planned(roster, out)
    if dry_run or not decks:
        _tell_plan(decks, store)
        _end(refused)
        return
    rows = []
    with written_to(out, store):
        with renderers(workers, cluster, store) as executor, shown_progress() as on_progress:
            for made in make(
                decks, store=Store(store), timestamp=timestamp(), executor=executor, on_progress=on_progress
            ):
                if isinstance(made, Refused):
                    refused.append(made)
                else:
                    size = f"{made.size / 1e6:.1f} MB"
                    rows.append((*_counts(made.planned), size, days_told(made.days), str(made.planned.target)))
        if rows:
            tell_table([("student", "notes", "cards", "size", "at 15 minutes a day", "deck"), *rows])
        _end(refused)


def _tell_week(roster: "Roster", histories: Path, now: float, out: Path, *, write: bool) -> "list[Refused]":
    """Tell of a class's week, and write it; return why it was not written."""
    from deckbuilder.teaching.classpage import terminal_rows
    from deckbuilder.teaching.roster import Refused
    from deckbuilder.teaching.weekfiles import read_week, write_week

    week, diary = read_week(roster, histories, now, out)
    tell_table(terminal_rows(week))
    for spot, names in week.shared:
        tell(_("{count} of {all}: {spot}", count=len(names), all=len(week.studied), spot=spot))
    for unused in week.unused:
        tell(f"{unused.file}: {unused.reason}")
    if write and not any(one.files for one in week.standings):
        reason = f"--histories {histories}: no export here is of a student of this class, so nothing was written"
        return [Refused("", (f"{reason}; export the decks with their study history, or name another folder",))]
    if write:
        with shown_progress(marked("reports and sheets")) as on_progress:
            written = write_week(week, diary, out, on_progress)
        for path in written:
            tell(str(path))
    return []


def _tell_plan(decks: "Sequence[Planned]", store: Path) -> None:
    """Tell what would be built, and how much of it is rendered already."""
    from deckbuilder.deck.store import Store
    from deckbuilder.teaching.making import days, media_of_all

    if decks:
        rows = [(*_counts(one), days_told(days(one)), str(one.target)) for one in decks]
        tell_table([("student", "notes", "cards", "at 15 minutes a day", "deck"), *rows])
    media = media_of_all(decks)
    kept = Store(store).names()
    there = sum(medium.name in kept for medium in media)
    tell()
    tell(f"{len(media)} pictures and clips for all of them, {len(media) - there} to be rendered. Nothing was written.")


def _counts(deck: "Planned") -> tuple[str, str, str]:
    from deckbuilder.recipe.checks import cut

    return cut(deck.student.name), str(len(deck.notes)), str(deck.cards)


def _end(refused: "Sequence[Refused]") -> None:
    """Tell of the students whose decks were not made.

    Raises:
        ClassError: there are some.
    """
    from deckbuilder.teaching.roster import ClassError

    if refused:
        raise ClassError(*(line for row in refused for line in row.lines))
