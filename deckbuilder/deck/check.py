"""Check: whether a package is whole.

Reads a package with nothing but the open format's parts — a ZIP archive, an SQLite collection, a JSON list of media —
and says what is wrong with it. Whoever made the file may have meant it to do harm: nothing is unpacked to disk, and
nothing in it may grow large.
"""

import json
import lzma
import struct
import zipfile
import zlib
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

from deckbuilder.deck.contents import contents_of
from deckbuilder.deck.database import LARGEST, DatabaseError
from deckbuilder.deck.package import COLLECTION
from deckbuilder.deck.problems import Problems
from deckbuilder.deck.wholeness import png_problem
from deckbuilder.inputs import opened_input
from deckbuilder.medium import MediaType, counted, described_by
from deckbuilder.notation.wholeness import svg_problem
from deckbuilder.sound.wholeness import mp3_problem

DAMAGED_ARCHIVE = (
    *(zipfile.BadZipFile, zlib.error, lzma.LZMAError, struct.error),
    *(EOFError, OSError, RuntimeError, ValueError),
)
"""What reading a damaged ZIP archive raises; an encrypted or unknown member raises a `RuntimeError`."""

_MEDIA = "media"
_LARGEST_MEDIUM = 64 << 20
"""Bytes that a picture, a clip or the list of them may unpack to."""
_LARGEST_SUM = 4 << 30
"""Bytes that all members may unpack to."""


class _DamageError(Exception):
    """A part of the package cannot be read; its arguments are the part, what is wrong and why."""


@dataclass(frozen=True, slots=True)
class Findings:
    """What a check found.

    Args:
        notes: number of notes.
        cards: number of cards.
        pictures: number of PNG and SVG files.
        clips: number of MP3 files.
        problems: what is wrong, one line each, of every kind a few by name; empty for a whole package.
        problem_count: how many problems there are.
    """

    notes: int = 0
    cards: int = 0
    pictures: int = 0
    clips: int = 0
    problems: tuple[str, ...] = ()
    problem_count: int = 0


def check_package(path: Path) -> Findings:
    """Verify a package.

    Args:
        path: the `.apkg` file.

    Returns:
        Counts, and problems where there are any.

    Raises:
        InputError: there is no file to read.
    """
    problems = Problems()
    with opened_input(path, "name the .apkg file of a deck that was built") as file:
        try:
            with zipfile.ZipFile(file) as archive:
                return _check_archive(archive, problems)
        except _DamageError as error:
            problems.add(*error.args)
        except DAMAGED_ARCHIVE as error:
            problems.add(str(path), "not a readable package; build it again", str(error))
    return Findings(problems=problems.lines, problem_count=problems.count)


def _check_archive(archive: zipfile.ZipFile, problems: Problems) -> Findings:
    members = {info.filename: info for info in archive.infolist()}
    _check_members(archive, problems)
    if problems.count:
        return Findings(problems=problems.lines, problem_count=problems.count)
    listed = _media_list(_member(archive, _MEDIA))
    try:
        contents = contents_of(_member(archive, COLLECTION), problems)
    except DatabaseError as error:
        raise _DamageError(COLLECTION, "not a readable collection", str(error)) from None
    for name, times in Counter(listed.values()).items():
        if times > 1:
            problems.add(name, "listed twice among the media")
    for name in sorted(contents.media - {*listed.values()}):
        problems.add(name, "a note names it, but it is not in the package")
    for name in sorted({*listed.values()} - contents.media):
        problems.add(name, "no note names it")
    for number, name in listed.items():
        if number not in members:
            problems.add(name, "listed among the media, but its file is missing")
            continue
        try:
            problem = _medium_problem(name, _member(archive, number))
        except _DamageError as error:
            problems.add(name, *error.args[1:])
        else:
            if problem:
                problems.add(name, problem)
    for name in sorted({*members} - {COLLECTION, _MEDIA, *listed}):
        problems.add(name, "left over in the archive")
    types = counted(name for number, name in listed.items() if number in members)
    pictures, clips = types[MediaType.IMAGE], types[MediaType.SOUND]
    return Findings(contents.notes, contents.cards, pictures, clips, problems.lines, problems.count)


def _check_members(archive: zipfile.ZipFile, problems: Problems) -> None:
    """Look at what the archive says that it holds."""
    infos = archive.infolist()
    for info in infos:
        if info.file_size > (LARGEST if info.filename == COLLECTION else _LARGEST_MEDIUM):
            problems.add(info.filename, "the member is too large for what it is")
    if sum(info.file_size for info in infos) > _LARGEST_SUM:
        problems.add("all members together", f"they unpack to more than {_LARGEST_SUM >> 30} GiB")
    times = Counter(info.filename for info in infos)
    for name in (COLLECTION, _MEDIA):
        if name not in times:
            problems.add(name, "the archive holds no such member")
    for name, number in times.items():
        if number > 1:
            problems.add(name, "there twice in the archive")


def _member(archive: zipfile.ZipFile, name: str) -> bytes:
    try:
        return archive.read(name)
    except DAMAGED_ARCHIVE as error:
        raise _DamageError(name, "the member cannot be read", str(error)) from None


def _media_list(data: bytes) -> dict[str, str]:
    try:
        listed = json.loads(data)
    except (ValueError, RecursionError) as error:
        raise _DamageError(_MEDIA, "not a list of file names", str(error)) from None
    if not isinstance(listed, dict) or not all(isinstance(name, str) for name in listed.values()):
        raise _DamageError(_MEDIA, "not a list of file names")
    return listed


def _medium_problem(name: str, data: bytes) -> str:
    if name.endswith(".png"):
        return png_problem(data)
    if name.endswith(".mp3"):
        return mp3_problem(data)
    if name.endswith(".svg"):
        return svg_problem(data)
    # An extension's medium may have any form; nothing here can look into it.
    return "" if described_by(name) and data else "neither a PNG or SVG picture nor an MP3 clip"
