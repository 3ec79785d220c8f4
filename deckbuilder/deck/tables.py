"""Tables: the cards of a deck as CSV, TSV or JSON Lines, for apps that import tables and for other programs.

A folder holds the tables and, beside them, `media/` with every picture and clip. CSV and TSV have a header and one row
a card; JSON Lines one note an object, with everything. Ids and tags are those of the package.
Source of the CSV: RFC 4180 (comma, CRLF, fields with commas or quotes in double quotes), in UTF-8.
"""

import csv
import json
import os
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from enum import StrEnum
from pathlib import Path
from typing import Any

from deckbuilder.cards.cardtypes import ask_of, front_text, shown
from deckbuilder.cards.facts import Slot
from deckbuilder.cards.note import Note
from deckbuilder.deck.listing import listed
from deckbuilder.deck.package import PackageError, guid_of, subdeck_name
from deckbuilder.deck.store import StoreError
from deckbuilder.deck.unfinished import finished_folder, is_folder, refuse
from deckbuilder.medium import MediaType, described_by, medium

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
            yield from (kept for kept in sorted(path.iterdir()) if not (described_by(kept.name) and kept.is_file()))
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
        }
        for kind in note.kinds:
            ask = ask_of(note, kind)
            yield shared | {
                "card": kind.value,
                "front": front_text(note, kind),
                "front_picture": _path(note, ask.front, MediaType.IMAGE),
                "front_clip": _path(note, ask.front, MediaType.SOUND),
                "back_picture": _path(note, ask.back, MediaType.IMAGE),
                "back_clip": _path(note, ask.back, MediaType.SOUND),
            }


def back_text(note: Note) -> str:
    """Return a note's answer as plain text: symbol, tones with degrees, reason."""
    words = note.words
    tones = ", ".join(f"{tone.name} ({tone.degree})" for tone in words.tones)
    return " – ".join(part for part in (f"{words.label} {words.over}", tones, words.missing, words.why) if part)


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
    media: dict[str, str] = {}
    for slot, attachment in shown(note).items():
        name = slot.value.replace(" ", "_")
        media[name] = medium(attachment.description).name
        if attachment.alt:
            media[f"{name}_alt"] = attachment.alt
    return {
        **listed(note),
        "deck": subdeck_name(title, note),
        "position": position,
        "tags": list(note.tags),
        "fronts": {kind.value: front_text(note, kind) for kind in note.kinds},
        "back": back_text(note),
        **media,
        "over": note.words.over,
        "strings_and_frets": list(note.words.places),
    }


_WRITERS: Mapping[Table, Callable[[Path, str, Sequence[Note]], None]] = {
    Table.CSV: _write_csv,
    Table.TSV: _write_tsv,
    Table.JSONL: _write_jsonl,
}


def _path(note: Note, slots: Iterable[Slot], media_type: MediaType) -> str:
    """Return where the first medium of a type lies that some slots show; empty for none."""
    descriptions = (note.media[slot].description for slot in slots if slot in note.media)
    found = next((each for each in descriptions if each.media_type is media_type), None)
    return f"{MEDIA}/{medium(found).name}" if found else ""


def _cell(value: object) -> str:
    if value is None:
        return ""
    return " ".join(map(str, value)) if isinstance(value, list) else str(value)
