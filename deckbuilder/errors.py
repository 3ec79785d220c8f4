"""Errors that are told to whoever runs the program: bad input, or a file that cannot be read or written."""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
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


class ExtensionError(UserError, ValueError):
    """Something in an extension that cannot be used, or that fails while it is used."""


@contextmanager
def failure_told(module: str, what: str) -> Iterator[None]:
    """Have a failure in the code of an extension told; one in the program's own is its own affair.

    Args:
        module: name of the module whose code runs in the block.
        what: what it is, for people: `the format 'prompts'`.

    Raises:
        ExtensionError: the block fails, and the module is none of the program's.
    """
    try:
        yield
    except (UserError, OSError):
        raise
    except Exception as error:
        package = module.partition(".")[0]
        if package == __name__.partition(".")[0]:
            raise
        raise ExtensionError(
            f"{what} of the extension {package} fails ({type(error).__name__}: {error}); do without it, or repair that "
            "package"
        ) from error


def comma_separated(values: Iterable[object]) -> str:
    """List values in a sentence."""
    return ", ".join(str(value) for value in values)
