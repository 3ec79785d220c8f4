"""Command line: `deckbuilder build`, `list` and `check`.

Exit status: 0 done, 1 a checked package is not whole, 2 bad input or an output that cannot be written, 130 interrupted.
Libraries that take long to load are imported inside the commands, so that help comes at once.
"""

import json
import os
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from deckbuilder.cli_progress import plan, progress

if TYPE_CHECKING:
    from deckbuilder.build import Progress, Summary
    from deckbuilder.deck.tables import Table
    from deckbuilder.recipe import Recipe

_PLAIN_STEPS = 10
"""Lines of progress where no terminal shows a bar."""


def _numbers(ctx: click.Context, param: click.Parameter, value: str | None) -> tuple[int, ...] | None:
    """Read whole numbers: `5`, `1,2` or `1-3`."""
    if value is None:
        return None
    numbers: list[int] = []
    for part in value.split(","):
        first, dash, last = part.strip().partition("-")
        if not first.isdecimal() or (dash and not last.isdecimal()):
            raise click.BadParameter(f"{value!r} is no choice of numbers; write 5, or 1,2, or 1-3", ctx, param)
        numbers += range(int(first), int(last or first) + 1)
    return tuple(numbers)


def _names(_ctx: click.Context, _param: click.Parameter, value: str | None) -> tuple[str, ...] | None:
    """Read names divided by commas: `F,Bb`."""
    return None if value is None else tuple(part.strip() for part in value.split(",") if part.strip())


def _selection(command: Any) -> Any:
    """Add the recipe and the filters that `build` and `list` share."""
    for option in (
        click.option("--hand", metavar="HAND", help="The plucking hand, right or left; left mirrors the pictures."),
        click.option("--capo", type=int, help="Fret the capo sits behind, 0 for none."),
        click.option("--tuning", metavar="TUNING", help="A tuning's name, or pitches from the lowest string up."),
        click.option("--kinds", metavar="NAMES", callback=_names, help="Ways to ask, such as locate,identify."),
        click.option("--levels", metavar="NUMBERS", callback=_numbers, help="Levels, such as 1,2."),
        click.option("--regions", metavar="NUMBERS", callback=_numbers, help="Regions of the neck, such as 5 or 1-3."),
        click.option("--keys", metavar="NAMES", callback=_names, help="Keys, such as F,Bb."),
        click.argument("recipe", required=False, type=click.Path(path_type=Path)),
    ):
        command = option(command)
    return command


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="deckbuilder")
def main() -> None:
    """Flashcard decks that keep the whole neck, and the ear, fresh in every key.

    A RECIPE is a TOML file that says what to build; without one the default deck is meant. Options such as --keys,
    --levels or --tuning take the place of what the recipe says.
    """


@main.command()
@_selection
@click.option(
    "--out", type=click.Path(path_type=Path), default=Path("decks"), show_default=True, help="Folder of the deck."
)
@click.option(
    "--store",
    type=click.Path(path_type=Path),
    default=Path("media/store"),
    show_default=True,
    help="Folder where rendered pictures and clips are kept for the next build.",
)
@click.option(
    "--workers", type=click.IntRange(1, 256), default=None, help="Processes that render; all cores if not given."
)
@click.option(
    "--format",
    "tables",
    metavar="NAMES",
    callback=_names,
    help="Open tables to write beside the deck: csv, tsv, jsonl.",
)
def build(out: Path, store: Path, workers: int | None, tables: Sequence[str] | None, **selection: Any) -> None:
    """Build a deck (.apkg) for a spaced-repetition app."""
    with _errors_told():
        from deckbuilder.build import build as build_deck
        from deckbuilder.build import deck_name, tables_folder
        from deckbuilder.deck.store import Store
        from deckbuilder.workers import processes

        recipe = _recipe(**selection)
        target = out / deck_name(recipe, _filter_words(selection))
        formats = _tables(tables or ())
        _refuse_unwritable(out)
        with processes(workers) as executor, _progress() as on_progress:
            summary = build_deck(
                recipe,
                target,
                store=Store(store),
                timestamp=_timestamp(),
                tables=formats,
                executor=executor,
                on_progress=on_progress,
            )
        _tell(summary)
        if formats:
            click.echo(tables_folder(target))


@main.command(name="list")
@_selection
@click.option("--json", "as_json", is_flag=True, help="JSON Lines, one note an object.")
def list_notes(as_json: bool, **selection: Any) -> None:
    """Print the facts that a recipe makes."""
    with _errors_told():
        from deckbuilder.build import notes_of
        from deckbuilder.deck.listing import COLUMNS, listed, row

        notes = notes_of(_recipe(**selection))
        if as_json:
            for note in notes:
                click.echo(json.dumps(listed(note), ensure_ascii=False))
            return
        _tell_table([COLUMNS, *(row(note) for note in notes)])
        click.echo(f"\n{len(notes)} notes, {sum(len(note.kinds) for note in notes)} cards")


@main.command()
def tunings() -> None:
    """List the tunings that have a name, and what they cost the hand.

    Counted over twelve keys, five regions and three scales: the key's own and the altered scales of V and VI.
    """
    from deckbuilder.neck.instrument import Instrument
    from deckbuilder.neck.survey import survey
    from deckbuilder.neck.tuning import TUNINGS

    rows: list[tuple[str, ...]] = [("name", "strings", "frets", "notes", "stretches", "shifts", "missing", "")]
    for tuning in TUNINGS.values():
        found = survey(Instrument(tuning, tuning.usual_frets))
        counts = (tuning.usual_frets, found.notes, found.stretches, found.shifts, found.missing)
        rows.append((tuning.name, " ".join(tuning.pitch_labels), *map(str, counts), tuning.description))
    _tell_table(rows)


@main.command()
@click.argument("file", type=click.Path(path_type=Path))
def check(file: Path) -> None:
    """Verify that a deck FILE.apkg is whole."""
    from deckbuilder.deck.check import check_package

    findings = check_package(file)
    for problem in findings.problems:
        click.echo(problem, err=True)
    click.echo(
        f"{findings.notes} notes, {findings.cards} cards, {findings.pictures} pictures, {findings.clips} clips, "
        f"{len(findings.problems)} problems"
    )
    sys.exit(1 if findings.problems else 0)


main.add_command(progress)
main.add_command(plan)


def _recipe(
    recipe: Path | None,
    tuning: str | None,
    capo: int | None,
    hand: str | None,
    **filters: Sequence[object] | None,
) -> "Recipe":
    from deckbuilder.recipe import read_recipe

    overrides: dict[str, Any] = {name: list(values) for name, values in filters.items() if values is not None}
    asked = {"tuning": tuning, "capo": capo, "hand": hand}
    instrument = {name: value for name, value in asked.items() if value is not None}
    return read_recipe(recipe, {**overrides, "instrument": instrument} if instrument else overrides)


def _tables(names: Sequence[str]) -> "list[Table]":
    from deckbuilder.deck.tables import Table

    known = [table.value for table in Table]
    unknown = [name for name in names if name not in known]
    if unknown:
        raise click.UsageError(f"--format {unknown[0]}: there is no such table; choose from {', '.join(known)}")
    return [Table(name) for name in dict.fromkeys(names)]


def _filter_words(selection: dict[str, Any]) -> list[str]:
    """Return what tells a part of a deck from the whole in its file name."""
    words = []
    for name in ("keys", "regions", "levels", "kinds"):
        if selection[name] is not None:
            words.append(f"{name} {' '.join(map(str, selection[name]))}")
    return words


def _timestamp() -> float:
    """Return the build's time, s since 1970; SOURCE_DATE_EPOCH fixes it, as reproducible builds do."""
    fixed = os.environ.get("SOURCE_DATE_EPOCH")
    if fixed is None:
        return time.time()
    if not fixed.isdecimal():
        raise click.UsageError(f"SOURCE_DATE_EPOCH={fixed!r} is not a number of seconds since 1970")
    return float(fixed)


def _refuse_unwritable(folder: Path) -> None:
    """Refuse an output folder before anything is rendered for it."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise click.UsageError(f"--out {folder}: this folder cannot be made ({error.strerror}); name another") from None
    if not os.access(folder, os.W_OK):
        raise click.UsageError(f"--out {folder}: this folder cannot be written; name another or change its rights")


@contextmanager
def _errors_told() -> Iterator[None]:
    """Turn the program's own errors into one clear message and exit status 2."""
    from deckbuilder.build import EmptySelectionError
    from deckbuilder.deck.package import PackageError
    from deckbuilder.deck.store import StoreError
    from deckbuilder.neck.tuning import NeckError
    from deckbuilder.recipe import RecipeError
    from deckbuilder.rendering import RenderingError
    from deckbuilder.theory.tones import TheoryError

    told = (RecipeError, EmptySelectionError, PackageError, StoreError, RenderingError, NeckError, TheoryError)
    try:
        yield
    except told as error:
        click.echo(f"deckbuilder: {error}", err=True)
        sys.exit(2)
    except KeyboardInterrupt:
        click.echo("deckbuilder: interrupted; what is rendered is kept, the next build goes on from there", err=True)
        sys.exit(130)


@contextmanager
def _progress() -> Iterator["Progress"]:
    """Show a bar on a terminal, a few plain lines elsewhere."""
    if not sys.stderr.isatty():
        told = 0

        def tell(done: int, total: int) -> None:
            nonlocal told
            if done * _PLAIN_STEPS // total > told or done == total:
                told = done * _PLAIN_STEPS // total
                click.echo(f"pictures and clips: {done} of {total}", err=True)

        yield tell
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, console=Console(stderr=True)) as bar:
        task = bar.add_task("pictures and clips", total=None)
        yield lambda done, total: bar.update(task, completed=done, total=total)


def _tell_table(rows: Sequence[Sequence[str]]) -> None:
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    for cells in rows:
        click.echo("  ".join(cell.ljust(width) for cell, width in zip(cells, widths, strict=True)).rstrip())


def _tell(summary: "Summary") -> None:
    click.echo(
        f"{summary.notes} notes, {summary.cards} cards, {summary.pictures} pictures, {summary.clips} clips, "
        f"{summary.size / 1e6:.1f} MB, {summary.seconds:.1f} s\n{summary.path}"
    )
