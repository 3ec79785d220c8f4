"""Store: rendered media kept between builds.

A file in the store is called by its medium's name and a check sum of its bytes, `neck-….png.3f…`. So a file is found by
what it shows, and a damaged one is known by its sum, dropped and rendered again. A killed build leaves whole files or
none, and builds may share a store.
"""

import os
import re
from contextlib import suppress
from pathlib import Path

from zlib_ng import zlib_ng

from deckbuilder.deck import unfinished
from deckbuilder.errors import UserError

_DIGITS = 8
"""Of a CRC-32, which tells damage as well as a digest would and takes a tenth of the time."""
_FILE = re.compile(rf"(?!{re.escape(unfinished.PREFIX)})(.+)\.[0-9a-f]{{{_DIGITS}}}")
"""What every file is called."""
_REMEDY = "free the disk, change its rights, or keep media in another folder"
"""Not every command that fills a store lets its folder be named."""


class StoreError(UserError, OSError):
    """The store cannot be read or written."""


class Store:
    """A folder of rendered media.

    Args:
        folder: where it lies; it is made when it is first written to.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def names(self) -> dict[str, str]:
        """Return the file in the store of every medium that is there, by the medium's name."""
        try:
            files = sorted(entry.name for entry in os.scandir(self.folder))
        except FileNotFoundError:
            return {}
        except OSError as error:
            raise StoreError(f"{self.folder}: the media store cannot be read ({error.strerror}); {_REMEDY}") from error
        return {found[1]: found[0] for found in map(_FILE.fullmatch, files) if found}

    def put(self, name: str, data: bytes) -> str:
        """Keep a medium.

        Args:
            name: the medium's name.
            data: its bytes.

        Returns:
            The file's name in the store.

        Raises:
            StoreError: the folder cannot be written.
        """
        file = f"{name}.{_sum(data)}"
        try:
            with unfinished.finished(self.folder / file) as path:
                path.write_bytes(data)
        except OSError as error:
            raise StoreError(
                f"{self.folder}: the media store cannot be written ({error.strerror}); {_REMEDY}"
            ) from error
        return file

    def read(self, file: str) -> bytes | None:
        """Return a kept medium's bytes, or None after dropping a file that is damaged or gone.

        Args:
            file: the file's name in the store.
        """
        path = f"{self.folder}{os.sep}{file}"
        try:
            # A deck takes thousands of small files, each at once: a buffer and `Path` would take half the time.
            with open(path, "rb", buffering=0) as kept:  # noqa: PTH123
                data = kept.read()
        except OSError:
            return None
        if _sum(data) != file.rpartition(".")[2]:
            Path(path).unlink(missing_ok=True)
            return None
        return data

    def sweep(self) -> None:
        """Remove unfinished files of builds that no longer run."""
        # A folder that cannot be looked at is told by what reads it.
        with suppress(OSError):
            unfinished.sweep(self.folder)


def _sum(data: bytes) -> str:
    return f"{zlib_ng.crc32(data):0{_DIGITS}x}"
