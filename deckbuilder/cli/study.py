"""Command line: `deckbuilder progress` and `deckbuilder plan`.

Exit status: 0 done, 1 a history in which there is nothing to say, 2 bad input or an output that cannot be written, 130
interrupted. Libraries that take long to load are imported inside the commands, so that help comes at once. Nothing is
written but what goes into the folder that --out names, and rendered media into the store.
"""

import json
import math
import time
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from deckbuilder.cli.options import day, known_formats, named, names, rendering, spoken
from deckbuilder.cli.telling import counted, say, shown_progress, tell
from deckbuilder.speech import Language, Names, Speech, _, number, speaking

if TYPE_CHECKING:
    from deckbuilder.progress.analysis import Analysis
    from deckbuilder.progress.work import Part
    from deckbuilder.recipe import Recipe

_FOLDER = click.Path(path_type=Path, file_okay=False)
_FILE = click.Path(path_type=Path)
_LARGEST_SEED = 10**9
"""Of a recipe's seed, too."""

_LOAD = "load.png"


def _a_number(ctx: click.Context, param: click.Parameter, value: float) -> float:
    """Refuse what no range refuses."""
    if math.isnan(value):
        raise click.BadParameter("nan is no number of minutes; write one from 1 to 600", ctx, param)
    return value


@click.command()
@click.argument("files", type=_FILE, nargs=-1, required=True)
@click.option("--out", type=_FOLDER, help="Folder for the report, the heat maps and what --focus makes.")
@click.option("--focus", type=click.IntRange(1, 20), metavar="N", help="Work in the N weakest places.")
@click.option(
    "--recipe", type=_FILE, help="Recipe of the deck that was studied, for --focus; the default if not given."
)
@click.option("--tuning", metavar="NAME", help="Whose history, where a file has several tunings; the most studied.")
@named
@spoken
@click.option("--date", callback=day, metavar="YYYY-MM-DD", help="Look back as of this day; today if not given.")
@click.option(
    "--format",
    "formats",
    metavar="NAMES",
    callback=names,
    help="The figures for other tools too: json, csv; without --out json is printed instead of the report.",
)
@rendering
def progress(
    files: tuple[Path, ...],
    out: Path | None,
    focus: int | None,
    recipe: Path | None,
    tuning: str | None,
    date: date | None,
    names: Names | None,
    language: Language | None,
    formats: Sequence[str] | None,
    store: Path,
    workers: int | None,
) -> None:
    """Say which keys and regions are weak.

    FILES are what your app exports with its study history (.apkg or a collection archive), or the collection itself;
    several, of one player's devices, count as one, no answer twice. They are only read. First looks count too, for a
    check-up: answer a round (search tag:round::1), then export. With --focus the N weakest places are told as a search;
    with --out too, a recipe, a small deck and a practice sheet are made of them. What is weak wherever it is asked, at
    no single place, is worked on in N places, too.
    """
    from deckbuilder.progress.analysis import analyse
    from deckbuilder.progress.data import FORMATS, progress_json
    from deckbuilder.progress.history import history_of, read_source
    from deckbuilder.progress.terminal import lines
    from deckbuilder.progress.words import moment
    from deckbuilder.progress.work import work

    formats = known_formats(formats or (), FORMATS)
    if out is None and not set(formats) <= {"json"}:
        raise click.UsageError("--format: only json can be printed; name a folder for the files with --out")
    base = _read(recipe) if recipe is not None else None
    speech = _speech(base, names, language)
    if base is not None:
        base = replace(base, names=speech.names, language=speech.language)
    now = moment(date) if date else time.time()
    with speaking(speech):
        analysis = analyse(history_of([read_source(file, now) for file in files], now, tuning))
        parts = work(analysis, focus) if focus else ()
        written = list(_written(analysis, parts, base, out, formats, store, workers)) if out else []
        if formats and out is None:
            for line in progress_json(analysis).decode().splitlines():
                tell(line)
            return
        for line in (*lines(analysis), ""):
            tell(line)
        if focus is not None:
            _tell_focus(analysis, parts)
    for line in written:
        tell(line)


@click.command()
@click.argument("recipe", required=False, type=_FILE)
@click.option(
    "--minutes",
    type=click.FloatRange(1, 600),
    callback=_a_number,
    default=15.0,
    show_default=True,
    help="Minutes a day.",
)
@click.option(
    "--seed",
    type=click.IntRange(-_LARGEST_SEED, _LARGEST_SEED),
    default=1,
    show_default=True,
    help="Seed of the simulated player’s chance.",
)
@click.option(
    "--known",
    type=click.FloatRange(0, 1),
    callback=_a_number,
    default=0.5,
    show_default=True,
    help="Share of the cards that you know at first sight.",
)
@click.option("--json", "as_json", is_flag=True, help="The figures alone, as a JSON object.")
@click.option("--out", type=_FOLDER, help="Folder for the picture of the load.")
@named
@spoken
def plan(
    recipe: Path | None,
    minutes: float,
    seed: int,
    known: float,
    as_json: bool,
    out: Path | None,
    names: Names | None,
    language: Language | None,
) -> None:
    """Say how long a deck takes at so many minutes a day.

    RECIPE is the recipe of the deck; without one the default deck is meant. The course is simulated with an open model
    of memory: when each level is first met, when each lap and the whole deck has been seen, reviews a day.
    """
    from deckbuilder.build import notes_of
    from deckbuilder.progress.load import figures, lines, load_picture
    from deckbuilder.progress.outputs import renewed
    from deckbuilder.progress.simulation import planned_cards, simulated
    from deckbuilder.recipe import read_recipe

    read = read_recipe(recipe)
    speech = _speech(read, names, language)
    with speaking(speech):
        deck = replace(read, names=speech.names, language=speech.language)
        course = simulated(planned_cards(notes_of(deck)), minutes, seed, known)
        for line in [json.dumps(figures(course))] if as_json else lines(course):
            tell(line)
        if out is not None:
            with renewed(out, [_LOAD]) as paths:
                paths[_LOAD].write_bytes(load_picture(course))
    if out is not None and not as_json:
        tell()
        tell(str(out / _LOAD))


def _written(
    analysis: "Analysis",
    parts: "Sequence[Part]",
    base: "Recipe | None",
    out: Path,
    formats: Sequence[str],
    store: Path,
    workers: int | None,
) -> Iterator[str]:
    """Write the report, and recipes, decks and a practice sheet of what is worked on; yield what is told of each."""
    from deckbuilder.build import Summary, build
    from deckbuilder.deck.store import Store
    from deckbuilder.progress.written import figures, focus, report, write
    from deckbuilder.workers import processes

    def build_deck(recipe: "Recipe", path: Path) -> Summary:
        with processes(workers, say) as executor, shown_progress() as on_progress:
            return build(
                recipe,
                path,
                store=Store(store),
                timestamp=analysis.history.now,
                executor=executor,
                on_progress=on_progress,
            )

    focused = focus(analysis, parts, base) if parts else None
    writing = report(analysis, base, focused)
    if focused:
        writing |= focused
    if formats:
        writing |= figures(analysis, formats)
    for path, made in write(out, writing, build_deck):
        if made is None:
            yield str(path)
        else:
            yield f"{path} ({counted(made.notes, made.cards)}, {number(made.size / 1e6, 1)} MB)"


def _tell_focus(analysis: "Analysis", parts: "Sequence[Part]") -> None:
    """Tell what is worked on, and a search for it."""
    from deckbuilder.progress.words import named
    from deckbuilder.progress.work import search
    from deckbuilder.progress.work_words import nothing_apart, set_aside, why

    if not parts:
        tell(nothing_apart(analysis))
        return
    tell(_("Focus"))
    for part in parts:
        tell(f"  {why(part)}:")
        for name in named(analysis, part.cells):
            tell(f"    {name}")
    tell(_("Search in your app that finds these cards, to study them apart:"))
    tell(f"  {search(analysis.history, parts)}")
    if told := set_aside(analysis, parts):
        tell(told)
    tell()


def _speech(recipe: "Recipe | None", names: Names | None, language: Language | None) -> Speech:
    """Return how everything is said: as the options ask, else as the recipe does."""
    usual = recipe.speech if recipe is not None else Speech()
    return Speech(language or usual.language, names or usual.names)


def _read(recipe: Path) -> "Recipe":
    from deckbuilder.recipe import read_recipe

    return read_recipe(recipe)
