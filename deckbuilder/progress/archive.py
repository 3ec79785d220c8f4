"""Archive: the SQLite collection inside a file that an app exports, as bytes.

An export is an SQLite file or a ZIP archive around one. The archive's member tells the container's age: `.anki2`, then
`.anki21`, then `.anki21b`, which is compressed with Zstandard. A newer container carries an old one beside it,
empty but for a word to old readers, so the newest is read. (The open format, from memory.)

The file is only read and nothing is unpacked to disk. Names that climb out of an archive, sizes that explode and what
is no SQLite database are refused before they are held in memory.
"""

import zipfile
from contextlib import suppress
from pathlib import Path
from typing import IO, Protocol

from deckbuilder.deck.check import DAMAGED_ARCHIVE
from deckbuilder.deck.database import LARGEST, MAGIC
from deckbuilder.deck.package import COLLECTION
from deckbuilder.errors import UserError
from deckbuilder.inputs import InputError, opened_input
from deckbuilder.printable import printable

_NEWEST_FIRST = ("collection.anki21b", "collection.anki21", COLLECTION)
_COMPRESSED = ".anki21b"
_ZIP = b"PK"
_CHUNK = 1 << 20
_SHOWN = 100
"""Characters of a name or a reason that is told."""
_WINDOW = 128 << 20
"""Bytes of a Zstandard window that are accepted; the strongest usual level asks for this many."""


class HistoryError(UserError, ValueError):
    """A file that no study history can be read from; the message says what to do."""


class _Readable(Protocol):
    def read(self, size: int, /) -> bytes: ...


def collection_bytes(path: Path, largest: int = LARGEST) -> bytearray:
    """Return the bytes of the newest collection in a file.

    Args:
        path: an exported package, a collection archive or a bare SQLite collection.
        largest: bytes that it may unpack to.

    Raises:
        HistoryError: the file is missing, damaged, hostile or of another kind.
    """
    try:
        with opened_input(path, "name what your app exported") as file:
            start = file.read(len(MAGIC))
            file.seek(0)
            if start == MAGIC:
                _refuse_open_collection(path)
                return _limited(file, path, largest)
            if start.startswith(_ZIP):
                return _from_archive(file, path, largest)
    except InputError as error:
        raise HistoryError(str(error)) from None
    except OSError as error:
        raise HistoryError(f"{path}: cannot be read ({error.strerror}); export it again") from None
    raise HistoryError(
        f"{path}: neither an exported package nor a collection; export the deck from your app with its study history"
    )


def _refuse_open_collection(path: Path) -> None:
    """Refuse a collection whose latest answers still lie in the journal beside it."""
    # Beside a name that is nearly too long there can be no journal, nor can it be asked for.
    with suppress(OSError):
        if path.with_name(f"{path.name}-wal").stat().st_size:
            raise HistoryError(f"{path}: an app has this collection open; close the app, or export the deck from it")


def _from_archive(file: IO[bytes], path: Path, largest: int) -> bytearray:
    import zstandard

    try:
        with zipfile.ZipFile(file) as archive:
            member = _collection_member(archive, path)
            if member.file_size > largest:
                raise HistoryError(f"{path}: {member.filename} unpacks to more than {largest >> 20} MiB; refused")
            with archive.open(member) as stream:
                if not member.filename.endswith(_COMPRESSED):
                    return _limited(stream, path, largest)
                plain = zstandard.ZstdDecompressor(max_window_size=_WINDOW).stream_reader(stream)
                return _limited(plain, path, largest)
    except HistoryError:
        raise
    except (zstandard.ZstdError, *DAMAGED_ARCHIVE) as error:
        raise HistoryError(
            f"{path}: the archive is damaged ({printable(str(error), _SHOWN)}); export it again"
        ) from None


def _collection_member(archive: zipfile.ZipFile, path: Path) -> zipfile.ZipInfo:
    members = {info.filename: info for info in archive.infolist()}
    climbing = next((name for name in members if _climbs(name)), None)
    if climbing is not None:
        raise HistoryError(
            f"{path}: the member {printable(climbing, _SHOWN)!r} would climb out of the archive; refused"
        )
    for name in _NEWEST_FIRST:
        if name in members:
            return members[name]
    raise HistoryError(f"{path}: the archive holds no collection; export the deck from your app with its history")


def _climbs(name: str) -> bool:
    parts = name.replace("\\", "/").split("/")
    return name.startswith(("/", "\\")) or ".." in parts or ":" in parts[0]


def _limited(stream: _Readable, path: Path, largest: int) -> bytearray:
    """Read a stream to its end, but no SQLite database and no more than is allowed."""
    data = bytearray()
    while chunk := stream.read(_CHUNK):
        data += chunk
        if not data.startswith(MAGIC[: len(data)]):
            raise HistoryError(f"{path}: the collection is not an SQLite database; export it again")
        if len(data) > largest:
            raise HistoryError(f"{path}: the collection unpacks to more than {largest >> 20} MiB; refused")
    if len(data) < len(MAGIC):
        raise HistoryError(f"{path}: the collection is empty or cut off; export it again")
    return data
