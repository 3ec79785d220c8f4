"""Inputs: files that a user names, opened only where they are plain files.

A pipe or a device in a file's place would be waited for without end, or never end.
"""

import stat
from pathlib import Path
from typing import BinaryIO

from deckbuilder.errors import UserError


class InputError(UserError, OSError):
    """A file that is not there, is no plain file, is too large or may not be read."""


def opened_input(path: Path, remedy: str) -> BinaryIO:
    """Open a plain file for reading.

    Args:
        path: the file; a link to one is followed.
        remedy: what to do where it is none, to end the message: `name a deck that was built`.

    Returns:
        The open file; its reads may still raise an `OSError`.

    Raises:
        InputError: it cannot be opened, or is no plain file; the message names the path, the reason and the remedy.
    """
    try:
        kind = path.stat().st_mode
        if stat.S_ISREG(kind):
            return path.open("rb")
    except FileNotFoundError:
        raise InputError(f"{path}: there is no such file; {remedy}") from None
    except OSError as error:
        raise InputError(f"{path}: cannot be read ({error.strerror}); {remedy}") from None
    except ValueError as error:
        raise InputError(f"{path}: no file can have this name ({error}); {remedy}") from None
    what = "a folder" if stat.S_ISDIR(kind) else "a pipe or a device"
    raise InputError(f"{path}: this is {what}, not a plain file; {remedy}")


def read_input(path: Path, most: int, remedy: str) -> bytes:
    """Return what a plain file holds.

    Args:
        path: the file.
        most: bytes that it may have; no more are ever read.
        remedy: what to do where it cannot be read, see `opened_input`.

    Raises:
        InputError: it cannot be read, or is larger.
    """
    with opened_input(path, remedy) as file:
        try:
            data = file.read(most + 1)
        except OSError as error:
            raise InputError(f"{path}: cannot be read ({error.strerror}); {remedy}") from None
    if len(data) > most:
        raise InputError(f"{path}: larger than {most:,} bytes; {remedy}")
    return data
