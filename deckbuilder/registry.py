"""Registries: tables that others add rows to.

A registry has the rows of this program, in their order, and after them those that extensions add. A recipe may bring
rows of its own, which count while it is read and its notes are made. Nobody's row takes the place of another one.
"""

from collections.abc import Hashable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Generic, TypeVar

Name = TypeVar("Name", bound=Hashable)
Row = TypeVar("Row")


class ClashError(ValueError):
    """A row with the name of another one."""


class Registry(Mapping[Name, Row], Generic[Name, Row]):
    """Rows by their names.

    Args:
        what: what a row is, for errors, such as `tuning`.
        rows: the rows of this program.
    """

    def __init__(self, what: str, rows: Mapping[Name, Row]) -> None:
        self._what = what
        self._rows = dict(rows)
        self.built_in: Mapping[Name, Row] = dict(rows)
        """The rows of this program alone, for what has to be the same whatever is installed."""
        self._own: ContextVar[dict[Name, Row] | None] = ContextVar(what, default=None)

    def __getitem__(self, name: Name) -> Row:
        own = self._own.get()
        return own[name] if own and name in own else self._rows[name]

    def __iter__(self) -> Iterator[Name]:
        yield from self._rows
        yield from self._own.get() or ()

    def __len__(self) -> int:
        return len(self._rows) + len(self._own.get() or ())

    def check(self, name: Name) -> None:
        """Refuse a name that is taken.

        Raises:
            ClashError: another row has it.
        """
        if name in self:
            raise ClashError(f"there is a {self._what} {str(name)!r} already; choose another name")

    def add(self, name: Name, row: Row) -> None:
        """Add a row for the rest of the process; the same row again is passed over.

        Raises:
            ClashError: another row has its name.
        """
        if self._rows.get(name) != row:
            self.check(name)
            self._rows[name] = row

    @contextmanager
    def own_rows(self, rows: Mapping[Name, Row] | None = None) -> Iterator[None]:
        """Have a recipe's own rows, and those that are added with `add_own`, for the time of a block."""
        token = self._own.set(dict(rows or {}))
        try:
            yield
        finally:
            self._own.reset(token)

    def add_own(self, name: Name, row: Row) -> None:
        """Add a row to those that count until the block of `own_rows` ends.

        Raises:
            ClashError: another row has its name.
            LookupError: there is no such block.
        """
        own = self._own.get()
        if own is None:
            raise LookupError(f"no block is open that a {self._what} could be added to")
        self.check(name)
        own[name] = row
