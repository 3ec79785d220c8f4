"""Errors that are told to whoever runs the program: bad input, or a file that cannot be read or written."""

from collections.abc import Iterable
from typing import ClassVar


class UserError(Exception):
    """The base of every such error; its text says what is wrong and what would be right.

    Each argument is a line of its own, and only these are: a line break within one came with somebody's input.
    """

    exit_status: ClassVar[int] = 2
    """What the command line ends with."""

    def __str__(self) -> str:
        return "\n".join(self.lines)

    @property
    def lines(self) -> tuple[str, ...]:
        """What is told, line by line."""
        return tuple(map(str, self.args))


def comma_separated(values: Iterable[object]) -> str:
    """List values in a sentence."""
    return ", ".join(str(value) for value in values)
