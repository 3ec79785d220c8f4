"""Command line: what is told while a command works and when it fails, the same for every command.

Whatever is told goes through `tell`, since there may be somebody else's text in any of it.
"""

import errno
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any, NoReturn

import click

from deckbuilder import interruption
from deckbuilder.errors import UserError
from deckbuilder.printable import printable
from deckbuilder.speech import _, marked, plural, translate

if TYPE_CHECKING:
    from deckbuilder.rendering import Progress

_PLAIN_STEPS = 10
"""Lines of progress where no terminal shows a bar."""
_MOST_LINES = 20
"""Of an error: who has made more mistakes will look again."""
_LONGEST_LINE = 1000
"""Characters of an error's line; what is longer repeats some long input."""
_BAD = 2
"""Exit status of bad input, and of an output that cannot be written."""
_READER_GONE = 141
"""Exit status where whoever reads the output has ended: 128 and the number of SIGPIPE, as shells count."""


def tell(line: str = "", *, err: bool = False) -> None:
    """Write a line; what a terminal would obey or not show is written out.

    Args:
        line: one line, whatever it holds.
        err: whether it goes to the standard error output.
    """
    click.echo(printable(line), err=err)


def days_told(days: int | None) -> str:
    """Tell how many days something takes; None is more than the three years that are looked ahead."""
    return f"{days} day{'' if days == 1 else 's'}" if days else "over 3 years"


def counted(notes: int, cards: int) -> str:
    """Say how many notes and cards there are: `1 note, 3 cards`."""
    return ", ".join((plural("{count} note", "{count} notes", notes), plural("{count} card", "{count} cards", cards)))


def tell_table(rows: Sequence[Sequence[str]]) -> None:
    """Write rows of cells, each column as wide as it has to be.

    Args:
        rows: one row or more, all of as many cells.
    """
    shown = [[printable(cell) for cell in cells] for cells in rows]
    widths = [max(map(len, column)) for column in zip(*shown, strict=True)]
    for cells in shown:
        tell("  ".join(cell.ljust(width) for cell, width in zip(cells, widths, strict=True)).rstrip())


def tell_error(lines: Sequence[str]) -> None:
    """Write an error to the standard error output, long lines and many of them cut.

    Args:
        lines: what is wrong, line by line.
    """
    with suppress(OSError):  # there is no other place to say it
        for number, line in enumerate(lines[:_MOST_LINES]):
            tell(printable(line if number else f"deckbuilder: {line}", _LONGEST_LINE), err=True)
        if len(lines) > _MOST_LINES:
            tell(f"and {len(lines) - _MOST_LINES} more", err=True)


def refuse_unwritable(folder: Path, file: Path | None = None, option: str = "--out") -> None:
    """Refuse an output folder before anything is rendered for it.

    Args:
        folder: where something is to be written; it is made if it is not there.
        file: the file to be in it; None where there are several.
        option: which names the folder.

    Raises:
        UsageError: the folder cannot be made or written, or a folder lies where the file is to be.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        reason = error.strerror
        raise click.UsageError(f"{option} {folder}: this folder cannot be made ({reason}); name another") from None
    if not os.access(folder, os.W_OK | os.X_OK):
        raise click.UsageError(f"{option} {folder}: this folder cannot be written; name another or change its rights")
    try:
        in_the_way = file is not None and file.is_dir()
    except OSError as error:
        raise click.UsageError(f"{file}: this cannot be written ({error.strerror}); name another {option}") from None
    if in_the_way:
        raise click.UsageError(f"{file}: a folder of that name is in the way; move it, or name another {option}")


@contextmanager
def written_to(folder: Path, store: Path, file: Path | None = None) -> Iterator[None]:
    """Write into an output folder, with media kept in a store, in a block; where it fails, no empty folder is left.

    Args:
        folder: where something is to be written; it is made if it is not there.
        store: the folder of rendered media.
        file: the file to be in it; None where there are several.

    Raises:
        UsageError: the output folder cannot be made or written, or a folder lies where the file is to be.
    """
    from deckbuilder.deck.unfinished import left_as_it_was

    with left_as_it_was(folder), left_as_it_was(store):
        refuse_unwritable(folder, file)
        yield


class ErrorsTold(click.Group):
    """Commands of which every one tells the program's own errors, and an interruption, in one message."""

    def main(self, *args: Any, **extra: Any) -> NoReturn:
        """Run a command and end with its exit status; what it raises decides."""
        try:
            status = _status(lambda: super(ErrorsTold, self).main(*args, **{**extra, "standalone_mode": False}))
        finally:
            unwritten = _flushed(sys.stdout) or _flushed(sys.stderr)
        sys.exit(status or (_output_lost(unwritten) if unwritten else 0))

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find a command; for one that is not there the nearest is suggested."""
        if not args[0].startswith("-") and self.get_command(ctx, args[0]) is None:
            from deckbuilder.cli.unknown import no_such_command

            raise click.UsageError(no_such_command(args[0], self.list_commands(ctx)), ctx)
        return super().resolve_command(ctx, args)

    def invoke(self, ctx: click.Context) -> Any:
        """Run a command, before the library tells what it raises in its own way."""
        return _status(lambda: super(ErrorsTold, self).invoke(ctx))


def _status(run: Callable[[], Any]) -> int:
    """Run something, tell what it raises, and return the exit status."""
    try:
        status = run()
    except (KeyboardInterrupt, click.Abort):
        return interruption.tell()
    except Exception as error:
        # A library may answer an interruption with an error of its own.
        return interruption.tell() if interruption.came() else _told(error)
    return interruption.tell() if interruption.came() and status != interruption.STATUS else status or 0


def _told(error: Exception) -> int:
    """Tell an error of the program's own or of the system, and return the exit status.

    Raises:
        Exception: the error is none of these.
    """
    match error:
        case click.UsageError():
            from deckbuilder.cli.unknown import remedied

            better = remedied(error)
            told = better.format_message()
            shown = "\n".join(printable(line, _LONGEST_LINE) for line in told.split("\n"))
            with suppress(OSError):
                (better if shown == told else click.UsageError(shown, error.ctx)).show()
            return error.exit_code
        case UserError():
            tell_error(error.lines)
            return error.exit_status
        case OSError(filename=None, errno=errno.EPIPE | errno.ENOSPC | errno.EIO | errno.EBADF | errno.EFBIG):
            return _output_lost(error)
        case OSError(errno=errno.EMFILE | errno.ENFILE):
            say(f"the system gives this program too few file handles ({error.strerror}); allow more, with ulimit -n")
            return _BAD
        case _:
            raise error


def _output_lost(error: OSError) -> int:
    """Tell that what is printed cannot be written; that its reader has ended needs no word."""
    if error.errno == errno.EPIPE:
        return _READER_GONE
    say(f"the output cannot be written ({error.strerror}); free the disk or write it to another place")
    return _BAD


def _flushed(stream: IO[str]) -> OSError | None:
    """Write what a stream still holds; where that fails, let the rest go, so that nothing is tried again at the end."""
    try:
        stream.flush()
    except OSError as error:
        with suppress(OSError, ValueError):
            nowhere = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nowhere, stream.fileno())
            os.close(nowhere)
        return error
    return None


def say(message: str) -> None:
    """Tell something beside a command's output."""
    tell_error([message])


@contextmanager
def shown_progress(what: str = marked("pictures and clips")) -> Iterator["Progress"]:
    """Show a bar on a terminal, a few plain lines elsewhere.

    Args:
        what: what is made, a marked message.
    """
    if not sys.stderr.isatty():
        told = 0

        def tell_done(done: int, total: int) -> None:
            nonlocal told
            interruption.raise_if_missed()
            if done * _PLAIN_STEPS // total > told or done == total:
                told = done * _PLAIN_STEPS // total
                with suppress(OSError):  # a deck is worth more than its progress
                    tell(_("{what}: {done} of {total}", what=translate(what), done=done, total=total), err=True)

        yield tell_done
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, console=Console(stderr=True)) as bar:
        task = bar.add_task(translate(what), total=None)

        def show(done: int, total: int) -> None:
            interruption.raise_if_missed()
            bar.update(task, completed=done, total=total)

        yield show
