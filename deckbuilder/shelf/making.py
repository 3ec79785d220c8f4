"""Making: the decks and the page of the shelf, each picture and clip rendered once for all of them."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from concurrent.futures import Executor, Future
from dataclasses import dataclass, replace
from pathlib import Path

from deckbuilder.build import media_of, notes_of
from deckbuilder.cards.choices import Hand
from deckbuilder.cards.facts import Slot
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.deck.package import write_package
from deckbuilder.deck.store import Store
from deckbuilder.progress.outputs import renewed
from deckbuilder.progress.simulation import days_to_see, planned_cards
from deckbuilder.rendering import Progress, render_all, render_missing
from deckbuilder.shelf.page import INDEX, Offer, page, sample_note
from deckbuilder.shelf.parts import Part, Shape, parts
from deckbuilder.speech import Speech, speaking

MINUTES = 15.0
"""A day, in what the page says of days."""
_FAMILY = rf"({'|'.join(Shape)})(-[a-z0-9]+)*-({'|'.join(Hand)})-hand\.apkg"
"""Names of decks that an earlier shelf may have left."""


@dataclass(frozen=True, slots=True)
class Shelf:
    """What was made.

    Args:
        index: the page.
        offers: its decks.
    """

    index: Path
    offers: tuple[Offer, ...]


@dataclass(frozen=True, slots=True)
class _Work:
    """A deck to be written; it travels to the process that writes it."""

    path: Path
    title: str
    notes: tuple[Note, ...]
    store: Path
    timestamp: float
    new_limit: int | None
    speech: Speech


def make_shelf(
    recipe: Recipe,
    folder: Path,
    *,
    store: Store,
    timestamp: float,
    executor: Executor | None = None,
    writers: Executor | None = None,
    on_progress: Progress = lambda _done, _total: None,
) -> Shelf:
    """Write the decks of the shelf and its page, for both hands.

    Args:
        recipe: of the whole deck.
        folder: where all of it goes; an earlier shelf of the same deck is replaced when the new one is whole.
        store: where rendered media are kept.
        timestamp: s since 1970, stamped on the notes.
        executor: where media are rendered; None for this process.
        writers: processes of this machine that write the decks; None for where media are rendered.
        on_progress: told as media come to hand.

    Raises:
        EmptySelectionError: the recipe asks for nothing.
        OccupiedError: something else lies where a file is to go.
        OutputError, PackageError: a file cannot be written; what was there is untouched.
        StoreError, RenderingError: a medium cannot be read, or not rendered.
    """
    cut = {hand: _parts(recipe, hand) for hand in Hand}
    names = {(part.file, hand): f"{part.file}-{hand}-hand.apkg" for hand, made in cut.items() for part in made}
    with recipe.in_force(), renewed(folder, [*names.values(), INDEX], family=_FAMILY, title=recipe.deck_title) as paths:
        render_all(store, media_of(_every_note(cut)), executor, on_progress)
        works = [
            _Work(
                paths[names[part.file, hand]].absolute(),
                recipe.deck_title,
                part.notes,
                store.folder.absolute(),
                timestamp,
                recipe.new_limit,
                recipe.speech,
            )
            for hand, made in cut.items()
            for part in made
        ]
        days = _done(writers or executor, works, cut[Hand.RIGHT])
        offers = tuple(
            Offer(part, seen, {hand: _sized(names[part.file, hand], paths) for hand in Hand})
            for part, seen in zip(cut[Hand.RIGHT], days, strict=True)
        )
        sample = sample_note(offers)
        picture = sample.media[Slot.PICTURE].description.render()
        paths[INDEX].write_text(page(recipe.deck_title, offers, MINUTES, sample, picture), encoding="utf-8")
    return Shelf(folder / INDEX, offers)


def _parts(recipe: Recipe, hand: Hand) -> tuple[Part, ...]:
    plucked = replace(recipe, instrument=replace(recipe.instrument, hand=hand))
    with plucked.in_force():
        return parts(plucked, notes_of(plucked))


def _every_note(cut: Mapping[Hand, Sequence[Part]]) -> Iterator[Note]:
    for made in cut.values():
        yield from max((part.notes for part in made), key=len)


def _sized(name: str, paths: Mapping[str, Path]) -> tuple[str, int]:
    return name, paths[name].stat().st_size


def _done(executor: Executor | None, works: Sequence[_Work], planned: Iterable[Part]) -> list[int | None]:
    """Write decks and count days, where there are processes on all of them; return the days."""
    if executor is None:
        for work in works:
            _write(work)
        return [days_to_see(planned_cards(part.notes), MINUTES) for part in planned]
    # The whole decks take longest: first in, so that no process waits for the last of them.
    written = [executor.submit(_write, work) for work in sorted(works, key=lambda work: -len(work.notes))]
    counted = [executor.submit(days_to_see, planned_cards(part.notes), MINUTES) for part in planned]
    waiting: list[Future[None] | Future[int | None]] = [*written, *counted]
    try:
        for future in written:
            future.result()
        return [future.result() for future in counted]
    finally:
        for each in waiting:
            each.cancel()


def _write(work: _Work) -> None:
    media = render_missing(Store(work.store), media_of(work.notes), None, lambda _count: None)
    with speaking(work.speech):
        write_package(work.path, work.title, work.notes, media, work.timestamp, work.new_limit)
