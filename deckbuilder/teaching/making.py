"""Making: the decks of a class, each picture and clip rendered once for all of them."""

import time
from collections.abc import Iterator, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass
from pathlib import Path

from deckbuilder.build import deck_name, media_of, write_deck
from deckbuilder.cards.note import Note
from deckbuilder.deck.store import Store, StoreError
from deckbuilder.deck.writers import DEFAULT_FORMATS, refuse_foreign
from deckbuilder.errors import UserError
from deckbuilder.medium import Medium
from deckbuilder.progress.simulation import days_to_see, planned_cards
from deckbuilder.rendering import Progress, render_all
from deckbuilder.teaching.roster import Refused, Roster, Student
from deckbuilder.teaching.sharednotes import SharedNotes

MINUTES = 15.0
"""A day, in what is told of days."""


@dataclass(frozen=True, slots=True)
class Planned:
    """A deck that is to be made.

    Args:
        student: whose it is.
        target: its file.
        notes: its notes.
    """

    student: Student
    target: Path
    notes: tuple[Note, ...]

    @property
    def cards(self) -> int:
        """Number of its cards."""
        return sum(len(note.kinds) for note in self.notes)


@dataclass(frozen=True, slots=True)
class Made:
    """A deck that was made.

    Args:
        planned: what was planned.
        outputs: the files and folders that were written.
        size: bytes of all of them.
        days: days of `MINUTES` after which nearly all cards were seen; None where that takes over three years.
    """

    planned: Planned
    outputs: tuple[Path, ...]
    size: int
    days: int | None


def planned(
    roster: Roster, folder: Path, formats: Sequence[str] = DEFAULT_FORMATS
) -> tuple[list[Planned], list[Refused]]:
    """Find out what the decks of a class hold.

    Args:
        roster: the class.
        folder: where the decks go.
        formats: names of formats that each is written in.

    Returns:
        The decks, and the students of whom none can be made.
    """
    notes = SharedNotes()
    found: list[Planned] = []
    refused = list(roster.refused)
    for student in roster.students:
        try:
            one = Planned(student, folder / deck_name(student.recipe), notes.of(student.recipe))
            refuse_foreign(one.target, formats, student.recipe.deck_title)
            found.append(one)
        except UserError as error:
            refused.append(_refused(student, error))
    return found, refused


def media_of_all(decks: Sequence[Planned]) -> tuple[Medium, ...]:
    """Return every medium that some decks show, each once."""
    return tuple({medium.name: medium for one in decks for medium in media_of(one.notes)}.values())


def make(
    decks: Sequence[Planned],
    *,
    store: Store,
    timestamp: float,
    formats: Sequence[str] = DEFAULT_FORMATS,
    executor: Executor | None = None,
    on_progress: Progress = lambda _done, _total: None,
) -> Iterator[Made | Refused]:
    """Render what some decks need, in one pass, then write each; one that cannot be written does not keep the others.

    Args:
        decks: what is planned.
        store: where rendered media are kept.
        timestamp: s since 1970, stamped on the notes.
        formats: names of formats.
        executor: where media are rendered; None for this process.
        on_progress: told as media come to hand.

    Raises:
        StoreError: the store cannot be read or written.
        RenderingError: a worker was ended from outside.
    """
    rendered = render_all(store, media_of_all(decks), executor, on_progress)
    for one in decks:
        started = time.monotonic()
        media = rendered.part(media_of(one.notes))
        recipe = one.student.recipe
        try:
            made = write_deck(
                recipe, one.notes, media, one.target, timestamp=timestamp, formats=formats, started=started
            )
        except StoreError:
            raise
        except UserError as error:
            yield _refused(one.student, error)
        else:
            yield Made(one, made.outputs, made.size, days(one))


def days(deck: Planned) -> int | None:
    """Return after how many days of `MINUTES` nearly all of a deck's cards were seen."""
    return days_to_see(planned_cards(deck.notes), MINUTES)


def _refused(student: Student, error: UserError) -> Refused:
    return Refused(student.name, tuple(f"{student.name}: {line}" for line in error.lines))
