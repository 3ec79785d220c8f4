"""Errors that are told to whoever runs the program: bad input, or a file that cannot be read or written."""

from typing import ClassVar


class ToldError(Exception):
    """The base of every such error; its text says what is wrong and what would be right."""

    exit_status: ClassVar[int] = 2
    """What the command line ends with."""
