"""Rendering: descriptions made into media in the store, on one or many processes or machines.

Work goes out in batches of media that share pieces (the same window of the neck), so that each worker draws a piece
once. A worker keeps what it has made in the store and answers with its name there; the bytes do not travel between
processes, and no process holds more of them than it is working on.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import BrokenExecutor, Executor, as_completed
from itertools import islice, takewhile
from pathlib import Path

from deckbuilder.deck.store import Store
from deckbuilder.errors import UserError
from deckbuilder.interruption import is_to_stop
from deckbuilder.medium import Medium

BATCH = 24
"""Media a worker takes at a time."""

Kept = list[tuple[str, str]]
"""Names of media and of their files in the store."""


Progress = Callable[[int, int], None]
"""Told how many media are at hand, of how many."""


class RenderingError(UserError, RuntimeError):
    """Rendering came to an end from outside."""


class StoredMedia(Mapping[str, bytes]):
    """Media by their names, each read from the store when it is asked for.

    One that turns out to be damaged, or that was taken away, is rendered again on the spot.

    Args:
        store: where they are kept.
        media: every medium by its name.
        files: the file in the store of each of them.
    """

    def __init__(self, store: Store, media: Mapping[str, Medium], files: Mapping[str, str]) -> None:
        self._store = store
        self._media = media
        self._files = files

    def __getitem__(self, name: str) -> bytes:
        medium = self._media[name]
        data = self._store.read(self._files[name])
        if data is None:
            data = medium.description.render()
            self._store.put(name, data)
        return data

    def part(self, media: Iterable[Medium]) -> "StoredMedia":
        """Return some of them alone.

        Args:
            media: those that are wanted; all have to be among these.
        """
        wanted = {medium.name: medium for medium in media}
        return StoredMedia(self._store, wanted, {name: self._files[name] for name in wanted})

    def __iter__(self) -> Iterator[str]:
        return iter(self._media)

    def __len__(self) -> int:
        return len(self._media)


def render_all(store: Store, wanted: Sequence[Medium], executor: Executor | None, on_progress: Progress) -> StoredMedia:
    """Return media, rendering those that the store does not have, and telling how far it is.

    Args:
        store: where media are kept; what killed builds left unfinished there is swept.
        wanted: the media, each name once.
        executor: where to render; None for this process. Its workers have to see the store's folder.
        on_progress: told as media come to hand.

    Raises:
        StoreError: the store cannot be read or written.
        RenderingError: a worker was ended from outside.
    """
    done = 0

    def advance(count: int) -> None:
        nonlocal done
        done += count
        on_progress(done, len(wanted))

    store.sweep()
    return render_missing(store, wanted, executor, advance)


def render_missing(
    store: Store, wanted: Iterable[Medium], executor: Executor | None, on_rendered: Callable[[int], None]
) -> StoredMedia:
    """Return media, after rendering those that the store does not have.

    Args:
        store: where media are kept.
        wanted: the media, each name once.
        executor: where to render; None for this process. Its workers have to see the store's folder.
        on_rendered: told how many media more are at hand.

    Raises:
        StoreError: the store cannot be read or written.
        RenderingError: a worker was ended from outside.
    """
    media = {medium.name: medium for medium in wanted}
    kept = store.names()
    files = {name: kept[name] for name in media if name in kept}
    on_rendered(len(files))
    for rendered in _rendered(store, [media[name] for name in media if name not in files], executor):
        files.update(rendered)
        on_rendered(len(rendered))
    return StoredMedia(store, media, files)


def _rendered(store: Store, missing: Sequence[Medium], executor: Executor | None) -> Iterator[Kept]:
    batches = list(_batches(sorted(missing, key=affinity)))
    folder = store.folder.absolute()
    if executor is None:
        yield from (render_batch(folder, batch) for batch in batches)
        return
    futures = []
    try:
        futures += [executor.submit(render_batch, folder, batch) for batch in batches]
        for future in as_completed(futures):
            yield future.result()
    except BrokenExecutor as error:
        raise RenderingError(
            "a process that renders was ended from outside, perhaps for want of memory; what is rendered is kept: "
            "build again, with a smaller number of --workers"
        ) from error
    finally:
        for future in futures:
            future.cancel()


def render_batch(folder: Path, batch: Sequence[Medium]) -> Kept:
    """Render some media into a store; what a worker does, as far as it is wanted.

    Args:
        folder: the store's folder.
        batch: the media.
    """
    store = Store(folder)
    wanted = takewhile(lambda _medium: not is_to_stop(), batch)
    return [(medium.name, store.put(medium.name, medium.description.render())) for medium in wanted]


def affinity(medium: Medium) -> tuple[str, tuple[float, ...], str]:
    """Sort media that share pieces next to each other.

    Args:
        medium: what is to be rendered.

    Returns:
        A key to sort by.
    """
    return medium.description.prefix, medium.description.affinity, medium.name


def _batches(media: Sequence[Medium]) -> Iterator[list[Medium]]:
    rest = iter(media)
    while batch := list(islice(rest, BATCH)):
        yield batch
