"""Gallery: media that cards on the page show, each made when it is first looked at and kept in the store."""

from collections import OrderedDict
from collections.abc import Iterable
from pathlib import Path
from threading import Lock

from deckbuilder.deck.store import Store, StoreError
from deckbuilder.desk.media import DRAWING, MediaFiles
from deckbuilder.medium import Description, Medium, medium

_NAMED = 4096
"""Media whose names are known; a page shows some ten at a time."""


class Gallery:
    """Media by name. Only those that were shown can be asked for.

    Args:
        store: where they are kept.
    """

    def __init__(self, store: Store) -> None:
        self._store = store
        self._media: OrderedDict[str, Medium] = OrderedDict()
        self._files: MediaFiles | None = None
        self._lock = Lock()

    def show(self, descriptions: Iterable[Description]) -> list[str]:
        """Have media be asked for.

        Args:
            descriptions: what they show or play.

        Returns:
            Their names.
        """
        shown = [medium(description) for description in descriptions]
        with self._lock:
            for made in shown:
                self._media[made.name] = made
                self._media.move_to_end(made.name)
            while len(self._media) > _NAMED:
                self._media.popitem(last=False)
        return [made.name for made in shown]

    def get(self, name: str) -> Path | bytes | None:
        """Return a medium: its file, its bytes where the store takes none, or None for one that was not shown.

        Args:
            name: the medium's name.
        """
        with self._lock:
            asked = self._media.get(name)
        if asked is None:
            return None
        try:
            if self._files is None:
                self._files = MediaFiles(self._store, self._media)
            return self._files.file(name)
        except StoreError:
            with DRAWING:
                return asked.description.render()
