"""Build: from a recipe to a deck, the one place that joins the rooms."""

import time
from collections.abc import Iterable, Iterator, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass
from itertools import chain
from pathlib import Path

from deckbuilder.cards.cardtypes import CardType, shown
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.slug import digest, slug
from deckbuilder.cards.sounding import asked_kinds
from deckbuilder.cards.syllabus import syllabus
from deckbuilder.deck.store import Store
from deckbuilder.deck.writers import DEFAULT_FORMATS, Deck, refuse_foreign, write_all
from deckbuilder.errors import UserError, comma_separated
from deckbuilder.medium import MediaType, Medium, counted, medium
from deckbuilder.rendering import Progress, render_all


class EmptySelectionError(UserError, ValueError):
    """A recipe that asks for no card at all."""


@dataclass(frozen=True, slots=True)
class Summary:
    """What a build made.

    Args:
        outputs: the files and folders that were written.
        notes: number of notes.
        cards: number of cards.
        pictures: number of pictures.
        clips: number of clips.
        size: bytes of all that was written.
        seconds: how long it took.
    """

    outputs: tuple[Path, ...]
    notes: int
    cards: int
    pictures: int
    clips: int
    size: int
    seconds: float


def notes_of(recipe: Recipe, rows: Iterable[CardType] | None = None) -> tuple[Note, ...]:
    """Return a recipe's notes in the order of study.

    Args:
        recipe: what to build.
        rows: the card types, see `deckbuilder.cards.syllabus`.

    Raises:
        EmptySelectionError: no note has a kind that the recipe asks for.
    """
    notes = syllabus(recipe, rows)
    if not notes:
        raise EmptySelectionError(f"nothing is selected: {_why_nothing(recipe)}")
    return notes


def _why_nothing(recipe: Recipe) -> str:
    parts = recipe.parts
    kinds, regions, levels = (
        comma_separated(dict.fromkeys(chain.from_iterable(getattr(part, field) for part in parts)))
        for field in ("kinds", "regions", "levels")
    )
    if not any(map(asked_kinds, parts)):
        return (
            f"{kinds} need the ear, and sound.silent = true leaves the clips out; add a kind such as locate, or write "
            "sound.silent = false"
        )
    if recipe.tags:
        tags = comma_separated(recipe.tags)
        return f"no card of its keys, regions, levels and kinds bears the tags {tags}; leave one out"
    return f"no fact of levels {levels} and regions {regions} is asked by {kinds}; add a kind, a level or a region"


def media_of(notes: Iterable[Note]) -> tuple[Medium, ...]:
    """Return every medium that the cards of some notes show, each once."""
    found = (medium(attachment.description) for note in notes for attachment in shown(note).values())
    return tuple({made.name: made for made in found}.values())


def build(
    recipe: Recipe,
    target: Path,
    *,
    store: Store,
    timestamp: float,
    formats: Sequence[str] = DEFAULT_FORMATS,
    rows: Iterable[CardType] | None = None,
    executor: Executor | None = None,
    on_progress: Progress = lambda _done, _total: None,
    on_written: Progress = lambda _done, _total: None,
) -> Summary:
    """Build a deck.

    Args:
        recipe: what to build.
        target: the deck's file; folders lie beside it and are called after it.
        store: where rendered media are kept.
        timestamp: s since 1970, stamped on the notes.
        formats: names of formats, see `deckbuilder.deck.writers`.
        rows: the card types, see `notes_of`.
        executor: where media are rendered; None for this process.
        on_progress: told as media come to hand.
        on_written: told as media are written, by each format anew; what it raises undoes the writing.

    Raises:
        EmptySelectionError: the recipe asks for nothing.
        OccupiedError: where a format is to go lies something else.
        StoreError: the store cannot be read or written.
        RenderingError: a worker was ended from outside.
        PackageError: the deck cannot be written; an earlier one is untouched.
    """
    started = time.monotonic()
    with recipe.in_force():
        notes = notes_of(recipe, rows)
        wanted = media_of(notes)
        refuse_foreign(target, formats, recipe.deck_title)
    media = render_all(store, wanted, executor, on_progress)
    told = _Told(media, on_written)
    return write_deck(recipe, notes, told, target, timestamp=timestamp, formats=formats, started=started)


def write_deck(
    recipe: Recipe,
    notes: Sequence[Note],
    media: Mapping[str, bytes],
    target: Path,
    *,
    timestamp: float,
    formats: Sequence[str],
    started: float,
) -> Summary:
    """Write a deck whose media are at hand.

    Args:
        recipe: what it was built of.
        notes: its notes.
        media: bytes of every picture and clip by file name.
        target: the deck's file.
        timestamp: s since 1970, stamped on the notes.
        formats: names of formats.
        started: when its building began, by the monotonic clock.

    Raises:
        OccupiedError: where a format is to go lies something else.
        StoreError: a medium cannot be read from the store.
        PackageError: the deck cannot be written; an earlier one is untouched.
    """
    with recipe.in_force():
        outputs = write_all(target, formats, Deck(recipe.deck_title, notes, media, timestamp, recipe.new_limit))
    types = counted(media)
    return Summary(
        outputs=outputs,
        notes=len(notes),
        cards=sum(len(note.kinds) for note in notes),
        pictures=types[MediaType.IMAGE],
        clips=types[MediaType.SOUND],
        size=sum(file.stat().st_size for output in outputs for file in (output, *output.rglob("*")) if file.is_file()),
        seconds=time.monotonic() - started,
    )


class _Told(Mapping[str, bytes]):
    """Media that tell how many of them were asked for."""

    def __init__(self, media: Mapping[str, bytes], on_asked: Progress) -> None:
        self._media = media
        self._on_asked = on_asked
        self._asked = 0

    def __getitem__(self, name: str) -> bytes:
        self._on_asked(self._asked % len(self) + 1, len(self))
        self._asked += 1
        return self._media[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._media)

    def __len__(self) -> int:
        return len(self._media)


_LONGEST_TITLE = 100
"""Characters of a title in a file name."""
_LONGEST_NAME = 180
"""Characters of a file name without its ending; file systems take 255, and an unfinished file or a folder adds some."""


def deck_name(recipe: Recipe, filters: Sequence[str] = ()) -> str:
    """Return a deck's file name: its title in ASCII, and the filters that narrow it.

    A digest stands for what would tell titles apart but has no place in ASCII, or is too long.

    Args:
        recipe: what is built.
        filters: words that tell a part from the whole, such as `keys F Bb`.
    """
    title = recipe.deck_title
    words = slug(title)
    if not any(sign.isascii() and sign.isalnum() for sign in title):
        words = f"deck-{words or digest(title)}"
    parts = (_shortened(words, _LONGEST_TITLE), *map(slug, filters))
    return f"{_shortened('--'.join(filter(None, parts)), _LONGEST_NAME)}.apkg"


def _shortened(name: str, longest: int) -> str:
    return name if len(name) <= longest else f"{name[:longest].rstrip('-')}-{digest(name)}"
