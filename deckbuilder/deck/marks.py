"""Marks: how a file is known as one that was written here, so that nothing else is ever replaced.

Every kind of file carries its mark where its format has room for such a thing: an archive as its comment, which goes on
with the deck's title; a page and a paper as what made them; a picture as a text chunk (PNG, 11.3.3 tEXt, keyword
Software); a table in its last column, a JSON file as a field; a recipe as a comment in its first line, with a digest of
the rest, so that one that was changed by hand is its owner's.
"""

import hashlib
import os
from collections.abc import Iterable, Mapping
from pathlib import Path

from deckbuilder.deck.unfinished import refuse

MARKS: Mapping[str, bytes] = {
    ".apkg": b"deckbuilder: ",
    ".csv": b",deckbuilder\r\n",
    ".html": b'<meta name="generator" content="deckbuilder">',
    ".json": b'"generator": "deckbuilder"',
    ".pdf": b"/Creator (deckbuilder)",
    ".png": b"tEXtSoftware\0deckbuilder",
    ".toml": b"# Written by deckbuilder, ",
}
"""What a file of ours holds, by its ending."""

_END = b"PK\5\6"
"""Begins the last record of an archive, 22 bytes and the comment (APPNOTE.TXT, 4.3.16)."""
_RECORD = 22
_NEAR = 1 << 16
"""Bytes at a file's beginning and end among which its mark lies."""
_DIGITS = 16


def deck_comment(title: str) -> bytes:
    """Return the comment of a deck's archive.

    Args:
        title: of the deck.
    """
    return MARKS[".apkg"] + title.encode()


def marked_recipe(text: str) -> str:
    """Return a recipe with its mark.

    Args:
        text: of the recipe.
    """
    return f"{_first_line(text.encode()).decode()}\n{text}"


def is_ours(path: Path) -> bool:
    """Tell whether a file bears the mark of its kind.

    Args:
        path: the file; one that is not there bears none.

    Raises:
        OSError: it cannot be read.
    """
    match path.suffix:
        case ".apkg":
            return title_of(path) is not None
        case ".toml":
            first, _, rest = _near(path).partition(b"\n")
            return first == _first_line(rest)
        case suffix:
            return MARKS[suffix] in _near(path)


def title_of(path: Path) -> str | None:
    """Return the title of a deck that was built here, None for any other file.

    Args:
        path: the file.

    Raises:
        OSError: it cannot be read.
    """
    data = _near(path)
    comment = data[data.rfind(_END) + _RECORD :] if _END in data else b""
    mark = MARKS[".apkg"]
    return comment.removeprefix(mark).decode(errors="replace") if comment.startswith(mark) else None


def refuse_foreign_files(paths: Iterable[Path], folder: Path) -> None:
    """Refuse to write files if any would take the place of one that was not written here.

    Args:
        paths: the files to be, no decks.
        folder: where they are to go.

    Raises:
        OccupiedError: one is in the way, or that cannot be seen.
    """
    refuse(
        (path for path in paths if os.path.lexists(path) and not is_ours(path)),
        folder,
        "this was not written here, or was changed since, and would be lost",
    )


def refuse_foreign_deck(path: Path, title: str) -> None:
    """Refuse to write a deck in the place of another one, or of what was not built here.

    Args:
        path: the file to be.
        title: of the deck to be.

    Raises:
        OccupiedError: such a file is in the way, or that cannot be seen.
    """
    if not os.path.lexists(path):
        return
    refuse((one for one in [path] if title_of(one) is None), path.parent, "this was not built here, and would be lost")
    if (held := title_of(path)) != title:
        refuse(iter([path]), path.parent, f"this is the deck “{held}”, and “{title}” would take its place")


def _first_line(rest: bytes) -> bytes:
    return MARKS[".toml"] + hashlib.sha256(rest).hexdigest()[:_DIGITS].encode()


def _near(path: Path) -> bytes:
    """Return the bytes among which a file's mark lies, none where there is no file."""
    if not path.is_file():
        return b""
    with path.open("rb") as file:
        first = file.read(_NEAR)
        file.seek(0, os.SEEK_END)
        rest = file.tell() - len(first)
        file.seek(-min(rest, _NEAR), os.SEEK_END)
        return first + file.read()
