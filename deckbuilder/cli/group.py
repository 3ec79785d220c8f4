"""Command line: `deckbuilder build`, `list`, `tunings` and `check`; the other commands have modules of their own.

Exit status: 0 done, 1 a checked package is not whole, 2 bad input or an output that cannot be written, 130 interrupted,
141 the output's reader has ended.
Libraries that take long to load are imported inside the commands, so that help comes at once.
"""

import gc
import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from deckbuilder import load_extensions
from deckbuilder.cli.classroom import classroom
from deckbuilder.cli.desk import desk
from deckbuilder.cli.options import (
    filter_words,
    known_formats,
    named,
    names,
    read_selection,
    rendering,
    selection,
    timestamp,
)
from deckbuilder.cli.page import preview
from deckbuilder.cli.renderers import clustered, renderers
from deckbuilder.cli.shelf import shelf
from deckbuilder.cli.study import plan, progress
from deckbuilder.cli.telling import ErrorsTold, counted, say, shown_progress, tell, tell_table, written_to
from deckbuilder.speech import Names, Speech, number, plural, speaking

if TYPE_CHECKING:
    from deckbuilder.build import Summary


@click.group(cls=ErrorsTold, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="deckbuilder")
def main() -> None:
    """Flashcard decks that keep the whole neck, and the ear, fresh in every key.

    A RECIPE is a TOML file that says what to build, or the name of one that is included: blues, minor, quick, rhythm.
    Without one the default deck is meant. Options such as --keys, --levels or --tuning take the place of what it says.
    """
    for problem in load_extensions():
        say(problem)
    # A command makes a million small objects and hardly any cycles; looking for them takes a tenth of its time.
    if gc.isenabled():
        gc.disable()
        click.get_current_context().call_on_close(gc.enable)


@main.command()
@selection
@click.option(
    "--out", type=click.Path(path_type=Path), default=Path("decks"), show_default=True, help="Folder of the deck."
)
@rendering
@clustered
@click.option(
    "--format",
    "formats",
    metavar="NAMES",
    callback=names,
    show_default="apkg",
    help="Formats to write: apkg, csv, tsv, jsonl, musicxml, midi, tracks, page, and those of extensions.",
)
def build(
    out: Path, store: Path, workers: int | None, cluster: str | None, formats: Sequence[str] | None, **chosen: Any
) -> None:
    """Build a deck (.apkg) for a spaced-repetition app."""
    from deckbuilder.build import build as build_deck
    from deckbuilder.build import deck_name
    from deckbuilder.deck.store import Store
    from deckbuilder.deck.writers import DEFAULT_FORMATS, WRITERS

    recipe = read_selection(**chosen)
    target = out / deck_name(recipe, filter_words(chosen, recipe))
    formats = known_formats(formats or DEFAULT_FORMATS, WRITERS)
    with (
        written_to(out, store, target),
        recipe.in_force(),
        renderers(workers, cluster, store) as executor,
        shown_progress() as on_progress,
    ):
        summary = build_deck(
            recipe,
            target,
            store=Store(store),
            timestamp=timestamp(),
            formats=formats,
            executor=executor,
            on_progress=on_progress,
        )
    with recipe.in_force():
        _tell(summary)


@main.command(name="list")
@selection
@click.option("--json", "as_json", is_flag=True, help="JSON Lines, one note an object.")
def list_notes(as_json: bool, **chosen: Any) -> None:
    """List what a deck would hold."""
    from deckbuilder.build import notes_of
    from deckbuilder.deck.listing import COLUMNS, note_values, row

    recipe = read_selection(**chosen)
    notes = notes_of(recipe)
    if as_json:
        for note in notes:
            tell(json.dumps(note_values(note), ensure_ascii=False))
        return
    with recipe.in_force():
        tell_table([COLUMNS, *(row(note) for note in notes)])
        tell()
        tell(counted(len(notes), sum(len(note.kinds) for note in notes)))


@main.command()
@named
def tunings(names: Names | None) -> None:
    """List the tunings that have a name.

    How hard each is on the hand is counted over twelve keys, five regions and three scales: the key's own and the
    altered scales of V and VI.
    """
    from deckbuilder.neck.instrument import Instrument
    from deckbuilder.neck.survey import survey
    from deckbuilder.neck.tuning import TUNINGS

    rows: list[tuple[str, ...]] = [("name", "strings", "frets", "notes", "stretches", "shifts", "missing", "")]
    for tuning in TUNINGS.values():
        found = survey(Instrument(tuning, tuning.usual_frets))
        counts = (tuning.usual_frets, found.notes, found.stretches, found.shifts, found.missing)
        with speaking(Speech(names=names or Names.ENGLISH)):
            rows.append((tuning.name, " ".join(tuning.pitch_labels), *map(str, counts), tuning.description))
    tell_table(rows)


@main.command()
@click.argument("file", type=click.Path(path_type=Path))
def check(file: Path) -> None:
    """Verify that a deck FILE.apkg is whole."""
    from deckbuilder.deck.check import check_package

    findings = check_package(file)
    for problem in findings.problems:
        tell(problem, err=True)
    tell(
        f"{findings.notes} notes, {findings.cards} cards, {findings.pictures} pictures, {findings.clips} clips, "
        f"{findings.problem_count} problems"
    )
    sys.exit(1 if findings.problems else 0)


main.add_command(classroom)
main.add_command(preview)
main.add_command(progress)
main.add_command(plan)
main.add_command(shelf)
main.add_command(desk)


def _tell(summary: "Summary") -> None:
    figures = (
        counted(summary.notes, summary.cards),
        plural("{count} picture", "{count} pictures", summary.pictures),
        plural("{count} clip", "{count} clips", summary.clips),
        f"{number(summary.size / 1e6, 1)} MB",
        f"{number(summary.seconds, 1)} s",
    )
    tell(", ".join(figures))
    for output in summary.outputs:
        tell(str(output))
