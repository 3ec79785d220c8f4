"""Check: whether a package is whole.

Reads a package with nothing but the open format's parts — a ZIP archive, an SQLite collection, a JSON list of media —
and says what is wrong with it.
"""

import io
import json
import lzma
import re
import sqlite3
import struct
import warnings
import zipfile
import zlib
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

from deckbuilder.errors import ToldError
from deckbuilder.sound.frames import is_mp3

DAMAGED_ARCHIVE = (
    *(zipfile.BadZipFile, zlib.error, lzma.LZMAError, struct.error),
    *(EOFError, OSError, RuntimeError, ValueError),
)
"""What reading a damaged ZIP archive raises; an encrypted or unknown member raises a `RuntimeError`."""

_COLLECTION = "collection.anki2"
_SQLITE = b"SQLite format 3\0"
_REFERENCE = re.compile(r'\[sound:([^\]]+)\]|<img[^>]*\ssrc="([^"]+)"')
_LARGEST = 1 << 30
"""Bytes that a member may unpack to."""


class NoPackageError(ToldError, OSError):
    """What is to be checked is not there, is no file or may not be read."""


class _DamageError(Exception):
    """A part of the package cannot be read; the message names it."""


@dataclass(frozen=True, slots=True)
class Findings:
    """What a check found.

    Args:
        notes: number of notes.
        cards: number of cards.
        pictures: number of PNG files.
        clips: number of MP3 files.
        problems: what is wrong, one line each; empty for a whole package.
    """

    notes: int = 0
    cards: int = 0
    pictures: int = 0
    clips: int = 0
    problems: tuple[str, ...] = ()


def check_package(path: Path) -> Findings:
    """Verify a package.

    Args:
        path: the `.apkg` file.

    Returns:
        Counts, and problems where there are any.

    Raises:
        NoPackageError: there is no file to read.
    """
    if path.is_dir():
        raise NoPackageError(f"{path}: this is a folder; name the .apkg file in it")
    try:
        file = path.open("rb")
    except FileNotFoundError:
        raise NoPackageError(f"{path}: there is no such file; name a deck that was built") from None
    except OSError as error:
        raise NoPackageError(f"{path}: cannot be read ({error.strerror}); name a file that you may read") from None
    with file:
        try:
            with zipfile.ZipFile(file) as archive:
                return _check_archive(archive)
        except _DamageError as error:
            return Findings(problems=(str(error),))
        except DAMAGED_ARCHIVE as error:
            return Findings(problems=(f"{path}: not a readable package ({error}); build it again",))


def _check_archive(archive: zipfile.ZipFile) -> Findings:
    members = {info.filename: info for info in archive.infolist()}
    problems = [
        f"{name}: the member is larger than {_LARGEST} bytes"
        for name, info in members.items()
        if info.file_size > _LARGEST
    ]
    problems += [f"{name}: the archive holds no such member" for name in (_COLLECTION, "media") if name not in members]
    if problems:
        return Findings(problems=tuple(problems))
    listed = _media_list(_member(archive, "media"))
    fields, notes, cards, wrong = _read_collection(_member(archive, _COLLECTION))
    problems += wrong
    problems += [
        f"{name}: listed twice among the media" for name, times in Counter(listed.values()).items() if times > 1
    ]
    asked = {first or second for text in fields for first, second in _REFERENCE.findall(text)}
    problems += [
        f"{name}: a note names it, but it is not in the package" for name in sorted(asked - {*listed.values()})
    ]
    problems += [f"{name}: no note names it" for name in sorted({*listed.values()} - asked)]
    pictures = clips = 0
    for number, name in listed.items():
        if number not in members:
            problems.append(f"{name}: listed among the media, but its file {number} is missing")
            continue
        try:
            problem = _medium_problem(name, _member(archive, number))
        except _DamageError as error:
            problem = str(error)
        problems += [f"{name}: {problem}"] if problem else []
        pictures += name.endswith(".png")
        clips += name.endswith(".mp3")
    spare = sorted({*members} - {_COLLECTION, "media", *listed})
    problems += [f"{name}: left over in the archive" for name in spare]
    return Findings(notes, cards, pictures, clips, tuple(problems))


def _member(archive: zipfile.ZipFile, name: str) -> bytes:
    try:
        return archive.read(name)
    except DAMAGED_ARCHIVE as error:
        raise _DamageError(f"{name}: the member cannot be read ({error})") from None


def _media_list(data: bytes) -> dict[str, str]:
    try:
        listed = json.loads(data)
    except (ValueError, RecursionError) as error:
        raise _DamageError(f"media: {error}") from None
    if not isinstance(listed, dict) or not all(isinstance(name, str) for name in listed.values()):
        raise _DamageError("media: not a list of file names")
    return listed


def _read_collection(data: bytes) -> tuple[list[str], int, int, list[str]]:
    """Return the notes' fields, the counts of notes and cards, and what is wrong with them."""
    if not data.startswith(_SQLITE):
        raise _DamageError(f"{_COLLECTION}: not a readable collection (no SQLite database)")
    connection = sqlite3.connect(":memory:")
    try:
        connection.deserialize(data)
        notes = list(connection.execute("select id, guid, flds from notes"))
        cards = list(connection.execute("select id, nid, ord from cards"))
    except sqlite3.Error as error:
        raise _DamageError(f"{_COLLECTION}: not a readable collection ({error})") from None
    finally:
        connection.close()
    fields = [text for _, _, text in notes if isinstance(text, str)]
    guids = Counter(guid for _, guid, _ in notes)
    problems = [f"note {number}: its fields are no text" for number, _, text in notes if not isinstance(text, str)]
    problems += [f"note {guid}: its id is there twice" for guid, times in guids.items() if times > 1]
    twice = Counter((note, ordinal) for _, note, ordinal in cards)
    problems += [f"card {key}: it is there twice" for key, times in twice.items() if times > 1]
    known, asked = {number for number, _, _ in notes}, {note for _, note, _ in cards}
    problems += [f"card of note {note}: there is no such note" for note in sorted(asked - known, key=str)]
    problems += [f"note {note}: it has no card" for note in sorted(known - asked, key=str)]
    return fields, len(notes), len(cards), problems


def _medium_problem(name: str, data: bytes) -> str:
    if name.endswith(".png"):
        return "" if _is_png(data) else "not a whole PNG picture"
    if name.endswith(".mp3"):
        return "" if is_mp3(data) else "not a whole MP3 clip"
    return "neither a PNG picture nor an MP3 clip"


_NO_PICTURE = (OSError, SyntaxError, ValueError, EOFError, IndexError, OverflowError, struct.error, zlib.error)
"""What reading a damaged picture raises."""


def _is_png(data: bytes) -> bool:
    from PIL import Image

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(data), formats=("PNG",)) as image:
                image.load()
    except (*_NO_PICTURE, Image.DecompressionBombError, Image.DecompressionBombWarning):
        return False
    return True
