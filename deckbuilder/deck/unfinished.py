"""Unfinished files: what is written beside its place and then renamed, so that a file is whole or not there.

Its name, `.unfinished-MACHINE-PROCESS-GROUP-KIND-NAME`, tells the machine and the process that write it. What a killed
build leaves behind is known by them, and swept by the next one. While outputs take the place of earlier ones, these lie
beside them, of the same group: as long as one file of a group waits for its place, the group is not whole, and what was
there before is brought back.
"""

import errno
import os
import secrets
import shutil
import tempfile
import time
from collections import defaultdict
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from deckbuilder.deck.processes import machine, was_running
from deckbuilder.errors import UserError

PREFIX = ".unfinished-"
"""What every unfinished file's name begins with."""

_ABANDONED = 24 * 3600
"""s after which an unfinished file is given up where it cannot be seen whether its process runs."""
_DIGITS = 10
"""Of a process's number, at most."""


class _Kind(StrEnum):
    """What an unfinished file is."""

    NEW = "new"
    """To take its place."""
    FORMER = "old"
    """Moved out of the way of a new one."""
    DROPPED = "out"
    """To go without one that takes its place."""


class OccupiedError(UserError):
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
    unfinished = _beside(target, _group(), _Kind.NEW)
    try:
        yield unfinished
        unfinished.replace(target)
    except BaseException:
        with suppress(OSError):
            unfinished.unlink()
        raise


@contextmanager
def finished_together(targets: Sequence[Path], dropped: Sequence[Path] = ()) -> Iterator[list[Path]]:
    """Give paths to write to, and put the files in place, all or none, when the block ends without an error.

    Args:
        targets: the files to be, in a folder that is there; earlier ones are replaced.
        dropped: files beside them that go when these are in place.

    Raises:
        OSError: the folder cannot be written; the targets are as they were.
    """
    group = _group()
    unfinished = [_beside(target, group, _Kind.NEW) for target in targets]
    moves = [(target, _beside(target, group, _Kind.DROPPED)) for target in dropped]
    moves += [(target, _beside(target, group, _Kind.FORMER)) for target in targets]
    placed: set[Path] = set()
    try:
        yield unfinished
        waiting = dict(zip(targets, unfinished, strict=True))
        for target, kept in moves:
            if target.is_dir():
                raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR), str(target))
            if os.path.lexists(target):
                target.rename(kept)
            if target in waiting:
                placed.add(target)
                waiting[target].rename(target)
    except BaseException:
        for target, kept in moves:
            if os.path.lexists(kept):
                kept.replace(target)
            elif target in placed:
                target.unlink(missing_ok=True)
        raise
    else:
        _remove([kept for _, kept in moves])
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
    group = _group()
    unfinished, former = _beside(target, group, _Kind.NEW), _beside(target, group, _Kind.FORMER)
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
def left_as_it_was(folder: Path, *, always: bool = False) -> Iterator[None]:
    """Where the block fails, remove the folder and those around it that were not there before and are empty.

    Args:
        folder: what the block may make.
        always: whether they go too where the block does not fail.
    """
    missing = [path for path in (folder, *folder.parents) if not os.path.lexists(path)]
    done = False
    try:
        yield
        done = True
    finally:
        if always or not done:
            with suppress(OSError):
                for path in missing:
                    path.rmdir()


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


def meant(path: Path) -> Path:
    """Return the file that an unfinished one is to be, any other as it is: what errors call it.

    Args:
        path: the file.
    """
    name = _read(path).name if path.name.startswith(PREFIX) else ""
    return path.with_name(name) if name else path


def is_folder(path: Path) -> bool:
    """Tell whether a path is a folder of its own, not a link to one elsewhere."""
    return path.is_dir() and not path.is_symlink()


def sweep(folder: Path) -> None:
    """Remove the unfinished files of builds that no longer run, and bring back what they moved out of the way.

    Args:
        folder: where to look; it need not be there.
    """
    groups: defaultdict[str, list[_Unfinished]] = defaultdict(list)
    for path in folder.glob(f"{PREFIX}*"):
        with suppress(OSError):
            if _is_abandoned(path):
                found = _read(path)
                groups[found.group].append(found)
    for group in groups.values():
        _settle(group)


def owned(folder: Path) -> None:
    """Mark a folder for temporary files as this process's.

    Args:
        folder: which.

    Raises:
        OSError: it cannot be written.
    """
    _beside(folder / "owner", _group(), _Kind.NEW).touch()


def sweep_owned(pattern: str) -> None:
    """Remove folders that processes which no longer run have marked as theirs.

    Args:
        pattern: of their names in the folder for temporary files.
    """
    with suppress(OSError):
        for mark in Path(tempfile.gettempdir()).glob(f"{pattern}/{PREFIX}*"):
            if _is_abandoned(mark):
                shutil.rmtree(mark.parent, ignore_errors=True)


@dataclass(frozen=True, slots=True)
class _Unfinished:
    """What an unfinished file's name tells; empty where it is none of ours."""

    path: Path
    machine: str
    process: str
    group: str
    kind: str
    name: str


def _read(path: Path) -> _Unfinished:
    parts = path.name.removeprefix(PREFIX).split("-", 4)
    return _Unfinished(path, *parts, *[""] * (5 - len(parts)))


def _settle(group: Sequence[_Unfinished]) -> None:
    """End what a killed build began: all as it was, or, if every new file has its place, all as it is to be."""
    whole = all(left.kind != _Kind.NEW for left in group)
    for left in group:
        target = left.path.with_name(left.name) if left.name else left.path
        lost = left.kind == _Kind.FORMER and not os.path.lexists(target)
        if lost or (left.kind in (_Kind.FORMER, _Kind.DROPPED) and not whole):
            with suppress(OSError):  # a folder that came in its place since then stays
                left.path.replace(target)
    for left in group:
        if left.kind == _Kind.NEW or whole:
            _remove([left.path])


def _remove(paths: Sequence[Path]) -> None:
    for path in paths:
        with suppress(OSError):
            shutil.rmtree(path) if is_folder(path) else path.unlink()


def _group() -> str:
    return secrets.token_hex(4)


def _beside(target: Path, group: str, kind: _Kind) -> Path:
    return target.with_name(f"{PREFIX}{machine()}-{os.getpid()}-{group}-{kind}-{target.name}")


def _is_abandoned(path: Path) -> bool:
    found, status = _read(path), path.stat(follow_symlinks=False)
    # A file that was moved keeps the time it was written at.
    touched = max(status.st_mtime, status.st_ctime)
    if found.machine == machine() and found.process.isdecimal() and len(found.process) <= _DIGITS:
        return not was_running(int(found.process), touched)
    return time.time() - touched > _ABANDONED
