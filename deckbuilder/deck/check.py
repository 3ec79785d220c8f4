"""Check: whether a package is whole.

Reads a package with nothing but the open format's parts — a ZIP archive, an SQLite collection, a JSON list of media —
and says what is wrong with it.
"""

import io
import json
import re
import sqlite3
import zipfile
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

from deckbuilder.sound.frames import is_mp3

_COLLECTION = "collection.anki2"
_REFERENCE = re.compile(r'\[sound:([^\]]+)\]|<img[^>]*\ssrc="([^"]+)"')
_LARGEST = 1 << 30
"""Bytes that a member may unpack to."""


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
    """
    try:
        with zipfile.ZipFile(path) as archive:
            return _check_archive(archive)
    except FileNotFoundError:
        return Findings(problems=(f"{path}: there is no such file",))
    except (zipfile.BadZipFile, EOFError, NotImplementedError, OSError) as error:
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
    try:
        listed = _media_list(archive.read("media"))
    except ValueError as error:
        return Findings(problems=(f"media: {error}",))
    try:
        fields, notes, cards, doubled = _read_collection(archive.read(_COLLECTION))
    except sqlite3.Error as error:
        return Findings(problems=(f"{_COLLECTION}: not a readable collection ({error})",))
    problems += doubled
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
        problem = _medium_problem(name, archive.read(number))
        problems += [f"{name}: {problem}"] if problem else []
        pictures += name.endswith(".png")
        clips += name.endswith(".mp3")
    spare = sorted({*members} - {_COLLECTION, "media", *listed})
    problems += [f"{name}: left over in the archive" for name in spare]
    return Findings(notes, cards, pictures, clips, tuple(problems))


def _media_list(data: bytes) -> dict[str, str]:
    listed = json.loads(data)
    if not isinstance(listed, dict) or not all(isinstance(name, str) for name in listed.values()):
        raise ValueError("not a list of file names")
    return listed


def _read_collection(data: bytes) -> tuple[list[str], int, int, list[str]]:
    """Return the notes' fields, the counts of notes and cards, and what is wrong with their ids."""
    connection = sqlite3.connect(":memory:")
    try:
        connection.deserialize(data)
        guids = [guid for (guid,) in connection.execute("select guid from notes")]
        fields = [text for (text,) in connection.execute("select flds from notes")]
        note_ids = [number for (number,) in connection.execute("select id from notes")]
        cards = list(connection.execute("select id, nid, ord from cards"))
    finally:
        connection.close()
    problems = [f"note {guid}: its id is there twice" for guid, times in Counter(guids).items() if times > 1]
    twice = Counter((note, ordinal) for _, note, ordinal in cards)
    problems += [f"card {key}: it is there twice" for key, times in twice.items() if times > 1]
    known, asked = set(note_ids), {note for _, note, _ in cards}
    problems += [f"card of note {note}: there is no such note" for note in sorted(asked - known)]
    problems += [f"note {note}: it has no card" for note in sorted(known - asked)]
    return fields, len(guids), len(cards), problems


def _medium_problem(name: str, data: bytes) -> str:
    if name.endswith(".png"):
        return "" if _is_png(data) else "not a whole PNG picture"
    if name.endswith(".mp3"):
        return "" if is_mp3(data) else "not a whole MP3 clip"
    return "neither a PNG picture nor an MP3 clip"


def _is_png(data: bytes) -> bool:
    from PIL import Image

    try:
        with Image.open(io.BytesIO(data)) as image:
            image.load()
            return image.format == "PNG"
    except (OSError, SyntaxError, ValueError):
        return False
