"""Tables: the cards of a deck as CSV, TSV or JSON Lines, for apps that import tables and for other programs.

A folder holds the tables and, beside them, `media/` with every picture and clip. CSV and TSV have a header and one row
a card; JSON Lines one note an object, with everything. Ids and tags are those of the package.
Source of the CSV: RFC 4180 (comma, CRLF, fields with commas or quotes in double quotes), in UTF-8.
"""

import csv
import json
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from deckbuilder.cards.cardtypes import ask_of, front_text, shown
from deckbuilder.cards.facts import Slot
from deckbuilder.cards.note import Note
from deckbuilder.deck.guids import guid_of
from deckbuilder.deck.listing import note_values
from deckbuilder.deck.package import subdeck_name
from deckbuilder.deck.writers import MEDIA, Deck
from deckbuilder.medium import MediaType, medium

COLUMNS = (
    *("id", "guid", "card", "deck", "position", "tags"),
    *("front", "front_picture", "front_clip", "back", "back_picture", "back_clip"),
    *("level", "key", "region", "index_fret", "fact", "function", "colour", "source", "chord", "symbol"),
    *("tones", "degrees", "why"),
)
"""Columns of a table, in their order."""


_SUFFIX = "-tables"


@dataclass(frozen=True, slots=True)
class Table:
    """A table that a deck can be written as; all of them share a folder.

    Args:
        file: name of its file.
        write_file: writes it.
    """

    file: str
    write_file: Callable[[Path, Deck], None]
    suffix: str = _SUFFIX
    with_media: bool = True

    def owns(self, name: str) -> bool:
        """Tell whether a file is this table."""
        return name == self.file

    def write(self, folder: Path, deck: Deck) -> None:
        """Write the table into a folder."""
        self.write_file(folder / self.file, deck)


def rows(title: str, notes: Sequence[Note]) -> Iterator[dict[str, str]]:
    """Yield a row of `COLUMNS` for every card.

    Args:
        title: name of the deck.
        notes: the notes, in the order of study.
    """
    for position, note in enumerate(notes, start=1):
        values = note_values(note)
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


def _write_csv(path: Path, deck: Deck) -> None:
    _write_rows(path, csv.excel, deck)


def _write_tsv(path: Path, deck: Deck) -> None:
    _write_rows(path, csv.excel_tab, deck)


def _write_rows(path: Path, dialect: type[csv.Dialect], deck: Deck) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, COLUMNS, dialect=dialect)
        writer.writeheader()
        writer.writerows(rows(deck.title, deck.notes))


def _write_jsonl(path: Path, deck: Deck) -> None:
    with path.open("w", encoding="utf-8", newline="\n") as file:
        for position, note in enumerate(deck.notes, start=1):
            file.write(json.dumps(everything(deck.title, position, note), ensure_ascii=False) + "\n")


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
        **note_values(note),
        "deck": subdeck_name(title, note),
        "position": position,
        "tags": list(note.tags),
        "fronts": {kind.value: front_text(note, kind) for kind in note.kinds},
        "back": back_text(note),
        **media,
        "over": note.words.over,
        "strings_and_frets": list(note.words.places),
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


CSV = Table("cards.csv", _write_csv)
TSV = Table("cards.tsv", _write_tsv)
JSONL = Table("notes.jsonl", _write_jsonl)
