"""Media: pictures, clips and scores as files of the store, rendered when they are asked for and not there."""

from collections.abc import Mapping
from mimetypes import guess_type
from pathlib import Path
from threading import Lock

from starlette.responses import FileResponse, Response

from deckbuilder.deck.store import Store
from deckbuilder.medium import Medium

_TYPES = {".png": "image/png", ".svg": "image/svg+xml", ".mp3": "audio/mpeg"}
"""Those of this program, so that they do not hang on the machine's own table."""
_OTHER = "application/octet-stream"

DRAWING = Lock()
"""Held while this process draws: libraries that do are not made for several threads at once."""


class MediaFiles:
    """Some media in a store.

    Args:
        store: where they are kept.
        media: every medium by its name.
    """

    def __init__(self, store: Store, media: Mapping[str, Medium]) -> None:
        self._store = store
        self._media = media
        self._files = store.names()

    def file(self, name: str) -> Path:
        """Return the file of a medium.

        Args:
            name: the medium's name.

        Raises:
            KeyError: there is no such medium here.
            StoreError: it cannot be kept.
        """
        medium = self._media[name]
        if name not in self._files or self._store.read(self._files[name]) is None:
            with DRAWING:
                data = medium.description.render()
            self._files[name] = self._store.put(name, data)
        return self._store.folder / self._files[name]


def media_answer(found: Path | bytes, name: str) -> Response:
    """Return a medium as an answer; of a file a part where a player asks for that.

    Args:
        found: its file, or its bytes.
        name: its name.
    """
    kind = _TYPES.get(Path(name).suffix) or guess_type(name)[0] or _OTHER
    return Response(found, media_type=kind) if isinstance(found, bytes) else FileResponse(found, media_type=kind)
