"""Outputs: files written beside their place and put there when they are whole."""

from pathlib import Path

from deckbuilder.deck.unfinished import finished, sweep
from deckbuilder.errors import ToldError


class OutputError(ToldError, OSError):
    """A named output that cannot be written."""


def write(path: Path, data: bytes) -> Path:
    """Write a file; an earlier one is replaced, or untouched where writing fails.

    Args:
        path: the file; its folder is made.
        data: what it holds.

    Returns:
        The file.

    Raises:
        OutputError: it cannot be written.
    """
    try:
        sweep(path.parent)
        with finished(path) as unfinished:
            unfinished.write_bytes(data)
    except OSError as error:
        raise OutputError(f"{path}: cannot be written ({error.strerror}); name another folder with --out") from error
    return path
