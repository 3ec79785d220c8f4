"""Week plan: what a student's sheet for the week asks for — spots, places, a tune and a tempo."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice
from pathlib import Path

from deckbuilder.cards.changes import Changes, changes_in
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.tunes import Tune
from deckbuilder.progress.analysis import Analysis
from deckbuilder.progress.cells import Cell
from deckbuilder.progress.figures import Verdict
from deckbuilder.progress.records import DAY, History
from deckbuilder.progress.sheet import Entry, entries
from deckbuilder.progress.work import Place, places, work
from deckbuilder.progress.work_words import why
from deckbuilder.recipe import read_recipe
from deckbuilder.speech import _, plural
from deckbuilder.teaching.ladder import STEPS
from deckbuilder.theory.keys import key_label

SPOTS = 5
PLACES = 2
_FORMS = ("blues", "minor", "rhythm")
"""Included recipes, each with a generic form, for students without changes of their own."""
_BARS_A_LINE = 4


@dataclass(frozen=True, eq=False, slots=True)
class WeekPlan:
    """What a sheet shows.

    Args:
        spots: the weakest spots, each with a neck.
        why: why these, where something is weak wherever it is asked.
        places: the next places, in words.
        tune: name of the tune with its key.
        bars: its changes, four bars a line, each section once: its name before the first of its lines, and the bars.
        tempo: in quarter notes a minute.
        next_tempo: the one after it.
    """

    spots: tuple[Entry, ...]
    why: tuple[str, ...]
    places: tuple[str, ...]
    tune: str
    bars: tuple[tuple[str, tuple[str, ...]], ...]
    tempo: int
    next_tempo: int


def week_plan(analysis: Analysis, recipe: Recipe, notes: Sequence[Note], tempo: int) -> WeekPlan:
    """Make a student's plan for a week.

    Args:
        analysis: what was measured.
        recipe: what the student studies.
        notes: its notes, in the order of study.
        tempo: of the week.
    """
    by_id = {note.id: note for note in notes}
    spots = weakest(analysis, SPOTS)
    ahead = list(islice(_unseen_places(analysis.history, notes), PLACES))
    key = spots[0].cell.key if spots else ahead[0].identity.key if ahead else recipe.keys[0]
    week = int(analysis.history.now // (7 * DAY))
    tune = (recipe.changes or _generic())[week % len(recipe.changes or _FORMS)]
    changes = changes_in(tune.form, key if key in recipe.keys else recipe.keys[0])
    return WeekPlan(
        spots=tuple(
            replace(entry, line=_stands(analysis, place, entry.line))
            for entry, place in zip(entries(analysis, spots, by_id), spots, strict=True)
        ),
        why=tuple(why(part) for part in work(analysis, SPOTS) if part.weakness is not None),
        places=tuple(f"{note.words.key} · {note.words.where}" for note in ahead),
        tune=_("{tune} in {key}", tune=changes.form.name, key=key_label(changes.form.home.name)) + _order(changes),
        bars=tuple(_lines(changes)),
        tempo=tempo,
        next_tempo=next((step for step in STEPS if step > tempo), tempo),
    )


def weakest(analysis: Analysis, count: int) -> tuple[Place, ...]:
    """Return the weakest places, at most so many.

    First those in which to work on what is surely weak, then those that fall farthest short, then the least seen.

    Args:
        analysis: what was measured.
        count: how many at most.
    """
    sure = places(work(analysis, count))

    def rank(cell: Cell) -> tuple[bool, float]:
        figures = analysis.cells[cell]
        if figures.verdict is Verdict.NOT_YET:
            return True, figures.recalled / figures.recalls if figures.recalls else 1.0
        return False, -figures.deviate

    chosen = {place.cell for place in sure}
    others = (cell for cell, figures in analysis.cells.items() if figures.seen and cell not in chosen)
    return (*sure, *map(Place, sorted(others, key=rank)))[:count]


def _stands(analysis: Analysis, place: Place, line: str) -> str:
    """Say how a place stands, and whether that is sure.

    Args:
        analysis: what was measured.
        place: the place.
        line: what a practice sheet says of it.
    """
    if place.weakness is not None:
        return _("level {level} · weak: {cards}", level=place.cell.level, cards=place.weakness.words)
    figures = analysis.cells[place.cell]
    if figures.verdict is Verdict.NOT_YET:
        return plural(
            "level {level} · {count} recall: too few to tell",
            "level {level} · {count} recalls: too few to tell",
            figures.recalls,
            level=place.cell.level,
        )
    return line if figures.verdict is Verdict.WEAK else _("{line} · perhaps by chance", line=line)


def _unseen_places(history: History, notes: Sequence[Note]) -> Iterator[Note]:
    """Yield the first note of each key and region of which nothing was seen yet, in the order of study."""
    seen = {card.note for card in history.cards if card.answers}
    met = {(note.identity.key, note.identity.region) for note in notes if note.id in seen}
    for note in notes:
        place = note.identity.key, note.identity.region
        if note.identity.region is not None and place not in met:
            met.add(place)
            yield note


def _generic() -> tuple[Tune, ...]:
    return tuple(read_recipe(Path(name)).changes[0] for name in _FORMS)


def _order(changes: Changes) -> str:
    """Return the order of a form's sections, where they are not played just as they stand: ` · A A B A`."""
    names = [name for name, _ in changes.sections]
    return f" · {' '.join(names)}" if len(names) > 1 and all(names) else ""


def _lines(changes: Changes) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield a form's changes, a section that comes again once."""
    seen: set[tuple[str, ...]] = set()
    for name, bars in changes.sections:
        written = tuple(" ".join(chord.label for chord, _ in bar) for bar in bars)
        if written not in seen:
            seen.add(written)
            for first in range(0, len(written), _BARS_A_LINE):
                yield "" if first else name, written[first : first + _BARS_A_LINE]
