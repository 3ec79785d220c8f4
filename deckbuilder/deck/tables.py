"""Tables: the cards of a deck as CSV, TSV or JSON Lines, for apps that import tables and for other programs.

A folder holds the tables and, beside them, `media/` with every picture and clip. CSV and TSV have a header and one row
a card; JSON Lines one note an object, with everything. Ids and tags are those of the package.
Source of the CSV: RFC 4180 (comma, CRLF, fields with commas or quotes in double quotes), in UTF-8.
"""

import csv
import json
import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from enum import StrEnum
from pathlib import Path
from typing import Any

from deckbuilder.cards.facts import Kind
from deckbuilder.cards.note import Note
from deckbuilder.deck.listing import listed
from deckbuilder.deck.media import NAME, Description, medium
from deckbuilder.deck.notetypes import NOTE_TYPES
from deckbuilder.deck.package import PackageError, guid_of, subdeck_name
from deckbuilder.deck.store import StoreError
from deckbuilder.deck.unfinished import finished_folder, is_folder, refuse

MEDIA = "media"
"""Folder of the pictures and clips."""

COLUMNS = (
    *("id", "guid", "card", "deck", "position", "tags"),
    *("front", "front_picture", "front_clip", "back", "back_picture", "back_clip"),
    *("level", "key", "region", "index_fret", "fact", "function", "colour", "source", "chord", "symbol"),
    *("tones", "degrees", "why"),
)
"""Columns of a table, in their order."""


class Table(StrEnum):
    """Open tables a deck can be written as."""

    CSV = "csv"
    TSV = "tsv"
    JSONL = "jsonl"


FILES: Mapping[Table, str] = {Table.CSV: "cards.csv", Table.TSV: "cards.tsv", Table.JSONL: "notes.jsonl"}
"""Names of the tables' files."""


def refuse_foreign(folder: Path) -> None:
    """Refuse a place for tables where something lies that is not an earlier build's, since all there is replaced.

    Args:
        folder: the folder to write.

    Raises:
        OccupiedError: the place is no folder, or holds what was not written here, or that cannot be seen.
    """
    refuse(_foreign(folder), folder, "the tables take the place of their whole folder, and this is none of theirs")


def _foreign(folder: Path) -> Iterator[Path]:
    """Yield what lies in the place of tables but was not written here."""
    if not is_folder(folder):
        if os.path.lexists(folder):
            yield folder
        return
    for path in sorted(folder.iterdir()):
        if path.name == MEDIA and is_folder(path):
            yield from (kept for kept in sorted(path.iterdir()) if not (NAME.fullmatch(kept.name) and kept.is_file()))
        elif path.name not in FILES.values() or not path.is_file():
            yield path


def write_tables(
    folder: Path, tables: Sequence[Table], title: str, notes: Sequence[Note], media: Mapping[str, bytes]
) -> None:
    """Write tables and media beside their folder and put them in place when they are whole.

    Args:
        folder: the folder to write; an earlier one is replaced.
        tables: which tables.
        title: name of the deck.
        notes: the notes, in the order of study.
        media: bytes of every picture and clip by file name.

    Raises:
        OccupiedError: something else lies there.
        PackageError: the folder cannot be written; what was there before is untouched.
        StoreError: a medium cannot be read from a store.
    """
    try:
        refuse_foreign(folder)
        with finished_folder(folder) as unfinished:
            (unfinished / MEDIA).mkdir()
            for name in media:
                (unfinished / MEDIA / name).write_bytes(media[name])
            for table in tables:
                _WRITERS[table](unfinished / FILES[table], title, notes)
    except StoreError:
        raise
    except OSError as error:
        raise PackageError(
            f"{folder}: the tables cannot be written ({error.strerror}); free the disk or name another --out"
        ) from error


def rows(title: str, notes: Sequence[Note]) -> Iterator[dict[str, str]]:
    """Yield a row of `COLUMNS` for every card.

    Args:
        title: name of the deck.
        notes: the notes, in the order of study.
    """
    for position, note in enumerate(notes, start=1):
        values = listed(note)
        shared = {column: _cell(values.get(column)) for column in COLUMNS}
        shared |= {
            "guid": guid_of(note),
            "deck": subdeck_name(title, note),
            "position": str(position),
            "tags": " ".join(note.tags),
            "back": back_text(note),
            "back_picture": _path(note.picture),
            "back_clip": _path(note.example or note.clip),
        }
        for kind in note.kinds:
            picture = {
                Kind.LOCATE: note.window,
                Kind.IDENTIFY: note.bare_picture,
                Kind.CONNECT: note.bare_picture,
            }.get(kind)
            yield shared | {
                "card": kind.value,
                "front": front_text(note, kind),
                "front_picture": _path(picture),
                "front_clip": _path(note.clip) if kind in _SOUNDING else "",
            }


_SOUNDING = (Kind.HEAR, Kind.IMPROVISE)
"""Kinds whose question is a clip."""


def front_text(note: Note, kind: Kind) -> str:
    """Return a card's question as plain text.

    Args:
        note: the fact.
        kind: how it is asked.
    """
    match kind:
        case Kind.LOCATE:
            return f"{note.prompt}: where does it lie?"
        case Kind.IDENTIFY:
            where = f"{note.key_label} · region {note.subject.region} ({note.position})"
            return f"{where}: {NOTE_TYPES[note.subject.fact].identify}"
        case Kind.HEAR:
            return f"{note.key_label}: {note.question}"
        case _:
            return note.prompt


def back_text(note: Note) -> str:
    """Return a note's answer as plain text: symbol, tones with degrees, reason."""
    answer = note.answer
    tones = ", ".join(f"{tone} ({degree})" for tone, degree in zip(answer.tones, answer.degrees, strict=True))
    return " – ".join(part for part in (f"{answer.label} {answer.over}", tones, answer.missing, note.why) if part)


def _write_csv(path: Path, title: str, notes: Sequence[Note]) -> None:
    _write_rows(path, csv.excel, title, notes)


def _write_tsv(path: Path, title: str, notes: Sequence[Note]) -> None:
    _write_rows(path, csv.excel_tab, title, notes)


def _write_rows(path: Path, dialect: type[csv.Dialect], title: str, notes: Sequence[Note]) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, COLUMNS, dialect=dialect)
        writer.writeheader()
        writer.writerows(rows(title, notes))


def _write_jsonl(path: Path, title: str, notes: Sequence[Note]) -> None:
    with path.open("w", encoding="utf-8", newline="\n") as file:
        for position, note in enumerate(notes, start=1):
            file.write(json.dumps(everything(title, position, note), ensure_ascii=False) + "\n")


def everything(title: str, position: int, note: Note) -> dict[str, Any]:
    """Return a note as an object with all that its cards hold.

    Args:
        title: name of the deck.
        position: place in the order of study, from 1.
        note: the fact.
    """
    answer = note.answer
    return {
        **listed(note),
        "deck": subdeck_name(title, note),
        "position": position,
        "tags": list(note.tags),
        "fronts": {kind.value: front_text(note, kind) for kind in note.kinds},
        "back": back_text(note),
        "picture_alt": note.picture_alt,
        "bare_picture": medium(note.bare_picture).name if note.bare_picture else None,
        "bare_picture_alt": note.bare_picture_alt or None,
        "empty_neck": medium(note.window).name if note.window else None,
        "over": answer.over,
        "strings_and_frets": list(answer.places),
    }


_WRITERS: Mapping[Table, Callable[[Path, str, Sequence[Note]], None]] = {
    Table.CSV: _write_csv,
    Table.TSV: _write_tsv,
    Table.JSONL: _write_jsonl,
}


def _path(description: Description | None) -> str:
    return f"{MEDIA}/{medium(description).name}" if description is not None else ""


def _cell(value: object) -> str:
    if value is None:
        return ""
    return " ".join(map(str, value)) if isinstance(value, list) else str(value)
