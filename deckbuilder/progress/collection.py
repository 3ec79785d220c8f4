"""Collection: what an SQLite collection says of note types, notes, cards and answers, as plain rows.

Follows the open format in its old layout (note types as JSON in `col`) and its new one (tables `fields` and
`templates`, collated by `unicase`); from memory. Apps keep numbers of 32 bits, and keys of 64; what is larger, or no
number, was written by none of them and is refused by table, row and column.

Units: `created` and learning cards' `due` in s since 1970, other `due` and `interval` in days, answers in ms.
"""

import json
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from sqlite3 import Connection
from typing import Any, NamedTuple

from deckbuilder.deck.database import opened_database
from deckbuilder.printable import printable
from deckbuilder.progress.archive import HistoryError

_NEEDED = ("col", "notes", "cards", "revlog")
_SEPARATOR = "\x1f"
_LARGEST, _LARGEST_KEY = 2**32, 2**63 - 1
"""Numbers, and keys, that an app may write."""
_LATEST = 7_258_118_400_000
"""The year 2200, ms since 1970: no answer is of a later one, whatever clock it went by."""
_CARD_COLUMNS: Mapping[str, int] = {
    **dict.fromkeys(("id", "nid"), _LARGEST_KEY),
    **dict.fromkeys(("ord", "type", "queue", "due", "odue"), _LARGEST),
    **dict.fromkeys(("odid", "did"), _LARGEST_KEY),
    **dict.fromkeys(("ivl", "lapses"), _LARGEST),
}
_ANSWER_COLUMNS: Mapping[str, int] = {
    "id": _LATEST,
    "cid": _LARGEST_KEY,
    **dict.fromkeys(("ease", "factor", "time", "type"), _LARGEST),
}
"""Columns that are read, in the order of `CardRow` and `AnswerRow`, with the largest number that an app may write."""
_SHOWN = 60
"""Characters of a row’s or a value’s text that are told."""


@dataclass(frozen=True, slots=True)
class NoteType:
    """A note type.

    Args:
        fields: names of fields by their number.
        templates: names of card templates by their number.
    """

    fields: dict[int, str] = field(default_factory=dict)
    templates: dict[int, str] = field(default_factory=dict)


class NoteRow(NamedTuple):
    """A note: its number, lasting id, tags and fields."""

    number: int
    guid: str
    tags: tuple[str, ...]
    fields: tuple[str, ...]


class CardRow(NamedTuple):
    """A card: its numbers, its place in the schedule and its own data, a JSON object or nothing."""

    number: int
    note: int
    template: int
    type: int
    queue: int
    due: int
    original_due: int
    original_deck: int
    deck: int
    interval: int
    lapses: int
    data: str


class AnswerRow(NamedTuple):
    """An answer: ms since 1970, the card, the grade, the ease factor, ms it took and the kind of study."""

    at: int
    card: int
    grade: int
    factor: int
    took: int
    study: int


class Collection:
    """An opened collection.

    Args:
        connection: the database, open for reading.
        tables: names of its plain tables.
    """

    def __init__(self, connection: Connection, tables: frozenset[str]) -> None:
        self._connection = connection
        self._tables = tables

    def created(self) -> int:
        """Return when the collection was made: the start of a study day, s since 1970."""
        for (created,) in self._rows("select crt from col"):
            return _whole(created, "crt", "table col")
        raise ValueError("it has no creation date")

    def note_types(self) -> dict[int, NoteType]:
        """Return every note type by its number."""
        if {"fields", "templates"} <= self._tables:
            return self._tabled_note_types()
        found: dict[int, NoteType] = {}
        for (text,) in self._rows("select models from col"):
            for number, model in json.loads(text or "{}").items():
                row = f"table col, note type {number}"
                fields = {_whole(item["ord"], "ord", row): _text(item["name"], "name", row) for item in model["flds"]}
                templates = {
                    _whole(item["ord"], "ord", row): _text(item["name"], "name", row) for item in model["tmpls"]
                }
                found[_whole(number, "id", row, _LARGEST_KEY)] = NoteType(fields, templates)
        return found

    def deck_names(self) -> dict[int, str]:
        """Return the name of every deck by its number, subdecks divided by `::`."""
        if "decks" in self._tables:
            named = dict(self._rows("select id, name from decks"))
        else:
            (text,) = next(self._rows("select decks from col"))
            named = {number: deck["name"] for number, deck in json.loads(text or "{}").items()}
        return {
            _whole(number, "id", "a deck", _LARGEST_KEY): _text(name, "name", "a deck").replace(_SEPARATOR, "::")
            for number, name in named.items()
        }

    def notes(self, note_type: int) -> Iterator[NoteRow]:
        """Yield the notes of a note type."""
        for number, guid, tags, fields in self._rows("select id, guid, tags, flds from notes where mid = ?", note_type):
            row = f"table notes, note {number}"
            yield NoteRow(
                _whole(number, "id", row, _LARGEST_KEY),
                str(guid),
                tuple(_text(tags, "tags", row).split()),
                tuple(_text(fields, "flds", row).split(_SEPARATOR)),
            )

    def cards(self) -> Iterator[CardRow]:
        """Yield every card."""
        for *numbers, data in self._rows(f"select {', '.join(_CARD_COLUMNS)}, data from cards"):
            whole = _numbers(numbers, _CARD_COLUMNS, f"table cards, card {numbers[0]}")
            yield CardRow._make((*whole, data if isinstance(data, str) else ""))

    def answers(self) -> Iterator[AnswerRow]:
        """Yield every answer, in the order of time."""
        for numbers in self._rows(f"select {', '.join(_ANSWER_COLUMNS)} from revlog order by id"):
            yield AnswerRow._make(_numbers(numbers, _ANSWER_COLUMNS, f"table revlog, card {numbers[1]}"))

    def _tabled_note_types(self) -> dict[int, NoteType]:
        found: dict[int, NoteType] = {}
        for table in ("fields", "templates"):
            for number, ordinal, name in self._rows(f"select ntid, ord, name from {table}"):
                row = f"table {table}, note type {number}"
                note_type = found.setdefault(_whole(number, "ntid", row, _LARGEST_KEY), NoteType())
                names = note_type.fields if table == "fields" else note_type.templates
                names[_whole(ordinal, "ord", row)] = _text(name, "name", row)
        return found

    def _rows(self, query: str, *values: int) -> Iterator[tuple[Any, ...]]:
        return iter(self._connection.execute(query, values))


@contextmanager
def opened(data: bytearray, name: str) -> Iterator[Collection]:
    """Open a collection for reading.

    Args:
        data: bytes of an SQLite database.
        name: what errors call the file.

    Raises:
        HistoryError: the database is damaged, is no collection, or holds what no app writes.
    """
    try:
        with opened_database(data, _NEEDED) as (connection, tables):
            yield Collection(connection, tables)
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        if isinstance(error, HistoryError):
            raise
        reason = str(error) if isinstance(error, ValueError) else "its note types cannot be read"
        raise HistoryError(f"{name}: not a readable collection ({reason}); export it again") from None


def _numbers(values: Sequence[object], columns: Mapping[str, int], row: str) -> Iterator[int]:
    for value, (column, most) in zip(values, columns.items(), strict=True):
        yield value if type(value) is int and -most <= value <= most else _whole(value, column, row, most)


def _whole(value: object, column: str, row: str, most: int = _LARGEST) -> int:
    """Take a whole number, also where a column holds it as text or as a fraction."""
    try:
        number = int(value) if isinstance(value, int | float | str) else None
    except (ValueError, OverflowError):
        number = None
    if number is None or not -most <= number <= most:
        told = printable(repr(value), _SHOWN)
        raise ValueError(f"{printable(row, _SHOWN)}: {column} = {told}, which no app writes")
    return number


def _text(value: object, column: str, row: str) -> str:
    if isinstance(value, str):
        return value
    raise ValueError(f"{printable(row, _SHOWN)}: {column} is no text, which no app writes")
