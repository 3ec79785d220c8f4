"""Rendering: descriptions made into media in the store, on one or many processes.

Work goes out in batches of media that share pieces (the same window of the neck), so that each worker draws a piece
once. A worker keeps what it has made in the store and answers with its name there; the bytes do not travel between
processes.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import Executor, as_completed
from itertools import islice
from pathlib import Path

from deckbuilder.deck.media import Medium
from deckbuilder.deck.store import Store
from deckbuilder.picture.description import NeckPicture

BATCH = 24
"""Media a worker takes at a time."""

Kept = list[tuple[str, str]]
"""Names of media and of their files in the store."""


def render_missing(
    store: Store, wanted: Iterable[Medium], executor: Executor | None, on_rendered: Callable[[int], None]
) -> dict[str, bytes]:
    """Return the bytes of media, rendering those that the store does not have whole.

    Args:
        store: where media are kept.
        wanted: the media, each name once.
        executor: where to render; None for this process.
        on_rendered: told how many media more are at hand.

    Raises:
        StoreError: the store cannot be read or written.
    """
    kept = store.names()
    at_hand: dict[str, bytes] = {}
    missing: list[Medium] = []
    for medium in wanted:
        data = store.read(kept[medium.name]) if medium.name in kept else None
        if data is None:
            missing.append(medium)
        else:
            at_hand[medium.name] = data
    on_rendered(len(at_hand))
    for rendered in _rendered(store, missing, executor):
        for name, file in rendered:
            data = store.read(file)
            if data is None:
                raise RuntimeError(f"{name}: its file in the store changed while it was read; build again")
            at_hand[name] = data
        on_rendered(len(rendered))
    return at_hand


def _rendered(store: Store, missing: Sequence[Medium], executor: Executor | None) -> Iterator[Kept]:
    batches = list(_batches(sorted(missing, key=_affinity)))
    if executor is None:
        yield from (render_batch(store.folder, batch) for batch in batches)
        return
    futures = [executor.submit(render_batch, store.folder, batch) for batch in batches]
    try:
        for future in as_completed(futures):
            yield future.result()
    finally:
        for future in futures:
            future.cancel()


def render_batch(folder: Path, batch: Sequence[Medium]) -> Kept:
    """Render some media into a store; what a worker does.

    Args:
        folder: the store's folder.
        batch: the media.
    """
    store = Store(folder)
    return [(medium.name, store.put(medium.name, render_medium(medium))) for medium in batch]


def render_medium(medium: Medium) -> bytes:
    """Return a medium's bytes.

    Args:
        medium: what to draw or play.
    """
    # The renderers load large libraries: only a process that renders needs them.
    if isinstance(medium.description, NeckPicture):
        from deckbuilder.picture.render import render as draw

        return draw(medium.description)
    from deckbuilder.sound.render import render as play

    return play(medium.description)


def _affinity(medium: Medium) -> tuple[str, int, int, str]:
    """Sort media that share pieces next to each other."""
    match medium.description:
        case NeckPicture(first_fret=first, last_fret=last):
            return "picture", first, last, medium.name
        case clip:
            return "clip", min((strike.midi for strike in clip.strikes), default=0), 0, medium.name


def _batches(media: Sequence[Medium]) -> Iterator[list[Medium]]:
    rest = iter(media)
    while batch := list(islice(rest, BATCH)):
        yield batch
