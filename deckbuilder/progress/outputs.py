"""Outputs: files written beside their place and put there when they are whole."""

import os
from contextlib import suppress
from pathlib import Path


class OutputError(OSError):
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
    unfinished = path.with_name(f".{path.name}.unfinished-{os.getpid()}")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        unfinished.write_bytes(data)
        unfinished.replace(path)
    except OSError as error:
        with suppress(OSError):
            unfinished.unlink()
        raise OutputError(f"{path}: cannot be written ({error.strerror}); name another folder with --out") from error
    return path
