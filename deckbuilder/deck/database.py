"""Database: an SQLite database that anybody may have written, opened so that it can do nothing but be read.

An SQLite file is a program as much as a table: views, triggers, virtual tables and computed columns run when they are
read, and need not come to an end. So only plain tables of stored values are let in, no value may grow large, the clock
is looked at, and the file lies in memory, where nothing can be written.
"""

import sqlite3
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager

from deckbuilder.printable import printable

LARGEST = 512 << 20
"""Bytes that a database may have."""
MAGIC = b"SQLite format 3\0"
"""How every SQLite file begins."""

_WAL = b"\x02\x02"
_ROLLBACK = b"\x01\x01"
_JOURNAL = slice(18, 20)
"""Where an SQLite file says how it is journalled; one in memory cannot have a write-ahead log."""

_LIMITS = {
    sqlite3.SQLITE_LIMIT_LENGTH: 16 << 20,
    sqlite3.SQLITE_LIMIT_SQL_LENGTH: 100_000,
    sqlite3.SQLITE_LIMIT_COLUMN: 100,
    sqlite3.SQLITE_LIMIT_EXPR_DEPTH: 20,
    sqlite3.SQLITE_LIMIT_ATTACHED: 0,
    sqlite3.SQLITE_LIMIT_WORKER_THREADS: 0,
}
"""How large a value, a statement or a table may be; a collection’s own are far smaller."""
_PATIENCE = 60.0
"""s after which reading is given up."""
_STEPS = 100_000
"""SQLite instructions between two looks at the clock."""
_READING = frozenset({sqlite3.SQLITE_SELECT, sqlite3.SQLITE_READ})
_SHOWN = 60
"""Characters of a name that a message repeats."""


class DatabaseError(ValueError):
    """A database that is damaged or holds what no app writes; the message says what, to follow the file's name."""


@contextmanager
def opened_database(
    data: bytes | bytearray, needed: Sequence[str], *, every_index: bool = False, patience: float = _PATIENCE
) -> Iterator[tuple[sqlite3.Connection, frozenset[str]]]:
    """Open a database for reading.

    Args:
        data: its bytes.
        needed: tables that it has to have.
        every_index: compare every index with its table too, as is right where all were written by one program.
        patience: s after which it is given up, reading in the block included.

    Yields:
        A connection that takes only queries, and the names of the tables. Text that is no UTF-8 comes as bytes.

    Raises:
        DatabaseError: the database is damaged or hostile, also where the block's queries are the first to find out.
    """
    if not data.startswith(MAGIC):
        raise DatabaseError("no SQLite database")
    if len(data) > LARGEST:
        raise DatabaseError(f"larger than {LARGEST >> 20} MiB")
    if data[_JOURNAL] == _WAL:
        data = bytearray(data)
        data[_JOURNAL] = _ROLLBACK
    connection = sqlite3.connect(":memory:")
    try:
        until = time.monotonic() + patience
        connection.deserialize(data)
        yield connection, _prepared(connection, needed, every_index, until)
    except sqlite3.OperationalError as error:
        if str(error) == "interrupted":
            raise DatabaseError(f"reading it had not come to an end after {patience:.0f} s") from None
        raise DatabaseError(printable(str(error), _SHOWN)) from None
    except (sqlite3.Error, OverflowError) as error:
        raise DatabaseError(printable(str(error), _SHOWN)) from None
    finally:
        connection.close()


def _prepared(connection: sqlite3.Connection, needed: Sequence[str], every_index: bool, until: float) -> frozenset[str]:
    """Bar a database from doing anything but being read, see that it is whole, and return its tables."""
    connection.text_factory = _text
    connection.create_collation("unicase", _unicase)
    for limit, most in _LIMITS.items():
        connection.setlimit(limit, most)
    for setting in ("trusted_schema = off", "query_only = on", "cell_size_check = on"):
        connection.execute(f"pragma {setting}")
    connection.set_progress_handler(lambda: time.monotonic() > until, _STEPS)
    tables = frozenset(_plain_tables(connection))
    lacking = [name for name in needed if name not in tables]
    if lacking:
        raise DatabaseError(f"it has no table {', '.join(lacking)}")
    pragma = "integrity_check" if every_index else "quick_check"
    for (verdict,) in connection.execute(f"pragma {pragma}(1)"):
        if verdict != "ok":
            told = " ".join(str(verdict).removeprefix("*** in database main ***").split())
            raise DatabaseError(f"it is damaged or cut off: {printable(told, _SHOWN)}")
    connection.set_authorizer(lambda action, *_about: sqlite3.SQLITE_OK if action in _READING else sqlite3.SQLITE_DENY)
    return tables


def _plain_tables(connection: sqlite3.Connection) -> Iterator[str]:
    """Yield the names of tables; whatever computes is refused."""
    for kind, name, sql in connection.execute("select type, name, sql from sqlite_master").fetchall():
        if not isinstance(name, str):
            raise DatabaseError("it has a name that is no text")
        if kind in ("view", "trigger"):
            raise _refused(f"the {kind} {printable(name, _SHOWN)!r}")
        if kind == "table":
            if not str(sql).lower().startswith("create table"):
                raise _refused(f"the virtual table {printable(name, _SHOWN)!r}")
            if any(hidden for (hidden,) in connection.execute("select hidden from pragma_table_xinfo(?)", (name,))):
                raise _refused(f"a column of {printable(name, _SHOWN)!r} that is computed")
            yield name


def _refused(what: str) -> DatabaseError:
    return DatabaseError(f"it has {what}; a collection has plain tables only")


def _text(raw: bytes) -> str | bytes:
    try:
        return raw.decode()
    except UnicodeDecodeError:
        return raw


def _unicase(one: str, other: str) -> int:
    """Compare without regard to case, as the format's own collation does."""
    a, b = one.casefold(), other.casefold()
    return (a > b) - (a < b)
