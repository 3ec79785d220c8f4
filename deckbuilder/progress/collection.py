"""Collection: what an SQLite collection says of note types, notes, cards and answers, as plain rows.

Follows the open format in its old layout (note types as JSON in `col`) and its new one (tables `fields` and
`templates`, collated by `unicase`); from memory. The database is untrusted: it is opened in memory, only plain tables
of stored values are read, no value may grow large, and a query that does not come to an end is stopped.

Units: `created` and learning cards' `due` in s since 1970, other `due` and `interval` in days, answers in ms.
"""

import json
import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from deckbuilder.progress.archive import HistoryError

_WAL = b"\x02\x02"
_ROLLBACK = b"\x01\x01"
_JOURNAL = slice(18, 20)
"""Where an SQLite file says how it is journalled; one in memory cannot have a write-ahead log."""

_LONGEST_VALUE = 16 << 20
_PATIENCE = 60.0
"""s after which reading is given up."""
_STEPS = 100_000
"""SQLite instructions between two looks at the clock."""

_READING = frozenset({sqlite3.SQLITE_SELECT, sqlite3.SQLITE_READ})
_NEEDED = ("col", "notes", "cards", "revlog")
_SEPARATOR = "\x1f"


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

    def __init__(self, connection: sqlite3.Connection, tables: frozenset[str]) -> None:
        self._connection = connection
        self._tables = tables

    def created(self) -> int:
        """Return when the collection was made: the start of a study day, s since 1970."""
        for (created,) in self._rows("select crt from col"):
            return _whole(created)
        raise ValueError("it has no creation date")

    def note_types(self) -> dict[int, NoteType]:
        """Return every note type by its number."""
        if {"fields", "templates"} <= self._tables:
            return self._tabled_note_types()
        found: dict[int, NoteType] = {}
        for (text,) in self._rows("select models from col"):
            for number, model in json.loads(text or "{}").items():
                fields = {_whole(item["ord"]): str(item["name"]) for item in model["flds"]}
                templates = {_whole(item["ord"]): str(item["name"]) for item in model["tmpls"]}
                found[int(number)] = NoteType(fields, templates)
        return found

    def notes(self, note_type: int) -> Iterator[NoteRow]:
        """Yield the notes of a note type."""
        query = "select id, guid, tags, flds from notes where mid = ?"
        for number, guid, tags, fields in self._rows(query, note_type):
            yield NoteRow(_whole(number), str(guid), tuple(str(tags).split()), tuple(str(fields).split(_SEPARATOR)))

    def cards(self) -> Iterator[CardRow]:
        """Yield every card."""
        query = "select id, nid, ord, type, queue, due, odue, odid, ivl, lapses, data from cards"
        for *numbers, data in self._rows(query):
            yield CardRow._make([*map(_whole, numbers), data if isinstance(data, str) else ""])

    def answers(self) -> Iterator[AnswerRow]:
        """Yield every answer, in the order of time."""
        for row in self._rows("select id, cid, ease, factor, time, type from revlog order by id"):
            yield AnswerRow(*map(_whole, row))

    def _tabled_note_types(self) -> dict[int, NoteType]:
        found: dict[int, NoteType] = {}
        for number, ordinal, name in self._rows("select ntid, ord, name from fields"):
            found.setdefault(_whole(number), NoteType()).fields[_whole(ordinal)] = str(name)
        for number, ordinal, name in self._rows("select ntid, ord, name from templates"):
            found.setdefault(_whole(number), NoteType()).templates[_whole(ordinal)] = str(name)
        return found

    def _rows(self, query: str, *values: int) -> Iterator[tuple[Any, ...]]:
        return iter(self._connection.execute(query, values))


@contextmanager
def opened(data: bytearray, name: str) -> Iterator[Collection]:
    """Open a collection for reading.

    Args:
        data: bytes of an SQLite database; their journal mark is changed in place.
        name: what errors call the file.

    Raises:
        HistoryError: the database is damaged, is no collection, or holds what no app writes.
    """
    if data[_JOURNAL] == _WAL:
        data[_JOURNAL] = _ROLLBACK
    connection = sqlite3.connect(":memory:")
    try:
        connection.deserialize(data)
        yield Collection(connection, _prepared(connection))
    except (sqlite3.Error, ValueError, KeyError, TypeError, AttributeError, OverflowError, RecursionError) as error:
        if isinstance(error, HistoryError):
            raise
        raise HistoryError(f"{name}: not a readable collection ({error}); export it again") from None
    finally:
        connection.close()


def _prepared(connection: sqlite3.Connection) -> frozenset[str]:
    """Bar a database from doing anything but being read; return its plain tables."""
    connection.text_factory = lambda raw: raw.decode("utf-8", "replace")
    connection.create_collation("unicase", _unicase)
    connection.setlimit(sqlite3.SQLITE_LIMIT_LENGTH, _LONGEST_VALUE)
    connection.execute("pragma trusted_schema = off")
    connection.execute("pragma query_only = on")
    until = time.monotonic() + _PATIENCE
    connection.set_progress_handler(lambda: time.monotonic() > until, _STEPS)
    plain = frozenset(
        str(name)
        for name, sql in connection.execute("select name, sql from sqlite_master where type = 'table'").fetchall()
        if str(sql).lower().startswith("create table") and not _computes(connection, name)
    )
    lacking = [name for name in _NEEDED if name not in plain]
    if lacking:
        raise ValueError(f"it has no table {', '.join(lacking)}")
    for (verdict,) in connection.execute("pragma quick_check(1)"):
        if verdict != "ok":
            raise ValueError("it is damaged or cut off")
    connection.set_authorizer(lambda action, *_about: sqlite3.SQLITE_OK if action in _READING else sqlite3.SQLITE_DENY)
    return plain


def _computes(connection: sqlite3.Connection, table: str) -> bool:
    """Tell whether a table has columns that are computed when they are read; no app's tables have."""
    return any(hidden for (hidden,) in connection.execute("select hidden from pragma_table_xinfo(?)", (table,)))


def _unicase(one: str, other: str) -> int:
    """Compare without regard to case, as the format's own collation does."""
    a, b = one.casefold(), other.casefold()
    return (a > b) - (a < b)


def _whole(value: object) -> int:
    """Take a whole number, also where a column holds it as text or as a fraction."""
    if isinstance(value, int):
        return value
    if isinstance(value, float | str):
        return int(value)
    raise ValueError(f"{type(value).__name__} where a whole number belongs")
