"""Unfinished files: what is written beside its place and then renamed, so that a file is whole or not there.

An unfinished file's name tells the machine and the process that write it. What a killed build leaves behind is known by
them, and swept by the next one.
"""

import errno
import hashlib
import os
import secrets
import shutil
import socket
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path

from deckbuilder.errors import ToldError

PREFIX = ".unfinished-"
"""What every unfinished file's name begins with."""

_ABANDONED = 24 * 3600
"""s after which an unfinished file is given up where it cannot be seen whether its process runs."""
_DIGITS = 10
"""Of a process's number, at most."""
_CLOCKS_DIFFER = 600.0
"""s by which a process may seem to have begun after what it wrote: a file server has a clock of its own."""


class OccupiedError(ToldError):
    """Where output is to go lies something else, which must not be lost."""


@contextmanager
def finished(target: Path) -> Iterator[Path]:
    """Give a path to write to, and put the file in place when the block ends without an error.

    Args:
        target: the file to be; an earlier one is replaced.

    Raises:
        OSError: the folder cannot be written; the target is as it was.
    """
    target.parent.mkdir(parents=True, exist_ok=True)
    unfinished = _beside(target)
    try:
        yield unfinished
        unfinished.replace(target)
    except BaseException:
        with suppress(OSError):
            unfinished.unlink()
        raise


@contextmanager
def finished_together(targets: Sequence[Path]) -> Iterator[list[Path]]:
    """Give paths to write to, and put the files in place, all or none, when the block ends without an error.

    Args:
        targets: the files to be, in a folder that is there; earlier ones are replaced.

    Raises:
        OSError: the folder cannot be written; the targets are as they were.
    """
    unfinished, former = [_beside(target) for target in targets], [_beside(target) for target in targets]
    placed: set[Path] = set()
    try:
        yield unfinished
        for path, target, kept in zip(unfinished, targets, former, strict=True):
            if target.is_dir():
                raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR), str(target))
            if os.path.lexists(target):
                target.rename(kept)
            path.rename(target)
            placed.add(target)
    except BaseException:
        for target, kept in zip(targets, former, strict=True):
            if os.path.lexists(kept):
                kept.replace(target)
            elif target in placed:
                target.unlink()
        raise
    else:
        _remove(former)
    finally:
        _remove(unfinished)


@contextmanager
def finished_folder(target: Path) -> Iterator[Path]:
    """Give an empty folder to write to, and put it in place when the block ends without an error.

    Args:
        target: the folder to be; an earlier one is replaced, anything else that lies there is left alone.

    Raises:
        OSError: the folder cannot be written, or the target is no folder; the target is as it was.
    """
    unfinished, former = _beside(target), _beside(target)
    try:
        unfinished.mkdir(parents=True)
        yield unfinished
        if os.path.lexists(target):
            if not is_folder(target):
                raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR), str(target))
            target.rename(former)
        unfinished.rename(target)
    except BaseException:
        if former.exists() and not target.exists():
            former.rename(target)
        raise
    finally:
        for left in (unfinished, former):
            shutil.rmtree(left, ignore_errors=True)


@contextmanager
def left_as_it_was(folder: Path) -> Iterator[None]:
    """Where the block fails, remove the folder and those around it that were not there before and are empty.

    Args:
        folder: what the block may make.
    """
    missing = [path for path in (folder, *folder.parents) if not path.exists()]
    try:
        yield
    except BaseException:
        with suppress(OSError):
            for path in missing:
                path.rmdir()
        raise


def refuse(foreign: Iterator[Path], folder: Path, reason: str) -> None:
    """Refuse a folder for an output if anything lies in the way, before anything is made for it.

    Args:
        foreign: what lies in the way; looked for only now.
        folder: where the output is to go.
        reason: what would become of it.

    Raises:
        OccupiedError: something is in the way, or it cannot be seen whether it is.
    """
    try:
        path = next(foreign, None)
    except OSError as error:
        raise OccupiedError(
            f"{folder}: it cannot be seen what lies here ({error.strerror}); change its rights or name another --out"
        ) from error
    if path is not None:
        raise OccupiedError(f"{path}: {reason}; move it away or name another --out")


def is_folder(path: Path) -> bool:
    """Tell whether a path is a folder of its own, not a link to one elsewhere."""
    return path.is_dir() and not path.is_symlink()


def sweep(folder: Path) -> None:
    """Remove the unfinished files of builds that no longer run.

    Args:
        folder: where to look; it need not be there.
    """
    for path in folder.glob(f"{PREFIX}*"):
        with suppress(OSError):
            if _is_abandoned(path):
                shutil.rmtree(path) if path.is_dir() else path.unlink()


def _remove(files: Sequence[Path]) -> None:
    for path in files:
        with suppress(OSError):
            path.unlink()


def _beside(target: Path) -> Path:
    return target.with_name(f"{PREFIX}{_machine()}-{os.getpid()}-{secrets.token_hex(4)}-{target.name}")


def _is_abandoned(path: Path) -> bool:
    machine, _, rest = path.name.removeprefix(PREFIX).partition("-")
    process = rest.partition("-")[0]
    written = path.stat().st_mtime
    if machine == _machine() and process.isdecimal() and len(process) <= _DIGITS:
        return not _was_running(int(process), written)
    return time.time() - written > _ABANDONED


def _machine() -> str:
    return hashlib.sha256(socket.gethostname().encode()).hexdigest()[:8]


def _was_running(process: int, when: float) -> bool:
    """Tell whether a process still runs that ran at some time, in seconds since 1970.

    One that has ended but that nobody has asked after (a zombie, as containers keep them) does not run; nor does one
    that took over the number later.
    """
    import psutil  # needed only where something was left behind

    if not psutil.pid_exists(process):
        return False
    try:
        found = psutil.Process(process)
        return bool(found.status() != psutil.STATUS_ZOMBIE and found.create_time() <= when + _CLOCKS_DIFFER)
    except psutil.NoSuchProcess:
        return False
    except psutil.AccessDenied:
        return True
