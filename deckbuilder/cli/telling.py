"""Command line: what is told while a command works and when it fails, the same for every command.

Whatever is told goes through `tell`, since there may be somebody else's text in any of it.
"""

import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from deckbuilder.errors import ToldError
from deckbuilder.printable import printable

if TYPE_CHECKING:
    from deckbuilder.rendering import Progress

_PLAIN_STEPS = 10
"""Lines of progress where no terminal shows a bar."""
_MOST_LINES = 20
"""Of an error: who has made more mistakes will look again."""
_LONGEST_LINE = 1000
"""Characters of an error's line; what is longer repeats some long input."""


def tell(line: str = "", *, err: bool = False) -> None:
    """Write a line; what a terminal would obey or not show is written out.

    Args:
        line: one line, whatever it holds.
        err: whether it goes to the standard error output.
    """
    click.echo(printable(line), err=err)


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
    for number, line in enumerate(lines[:_MOST_LINES]):
        tell(printable(line if number else f"deckbuilder: {line}", _LONGEST_LINE), err=True)
    if len(lines) > _MOST_LINES:
        tell(f"and {len(lines) - _MOST_LINES} more", err=True)


def refuse_unwritable(folder: Path, file: Path | None = None) -> None:
    """Refuse an output folder before anything is rendered for it.

    Args:
        folder: where something is to be written; it is made if it is not there.
        file: the file to be in it; None where there are several.

    Raises:
        UsageError: the folder cannot be made or written, or a folder lies where the file is to be.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise click.UsageError(f"--out {folder}: this folder cannot be made ({error.strerror}); name another") from None
    if not os.access(folder, os.W_OK):
        raise click.UsageError(f"--out {folder}: this folder cannot be written; name another or change its rights")
    if file is not None and file.is_dir():
        raise click.UsageError(f"{file}: a folder of that name is in the way; move it, or name another --out")


class ErrorsTold(click.Group):
    """Commands of which every one tells the program's own errors, and an interruption, in one message."""

    def invoke(self, ctx: click.Context) -> Any:
        """Run a command; what it raises decides the exit status."""
        try:
            return super().invoke(ctx)
        except ToldError as error:
            tell_error(error.lines)
            sys.exit(error.exit_status)
        except click.UsageError as error:
            told = error.format_message()
            shown = "\n".join(printable(line, _LONGEST_LINE) for line in told.split("\n"))
            if shown == told:
                raise
            raise click.UsageError(shown, error.ctx) from None
        except KeyboardInterrupt:
            tell_error(["interrupted; what is finished is kept, and the next build goes on from there"])
            sys.exit(130)


@contextmanager
def shown_progress() -> Iterator["Progress"]:
    """Show a bar on a terminal, a few plain lines elsewhere."""
    if not sys.stderr.isatty():
        told = 0

        def tell_done(done: int, total: int) -> None:
            nonlocal told
            if done * _PLAIN_STEPS // total > told or done == total:
                told = done * _PLAIN_STEPS // total
                tell(f"pictures and clips: {done} of {total}", err=True)

        yield tell_done
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, console=Console(stderr=True)) as bar:
        task = bar.add_task("pictures and clips", total=None)
        yield lambda done, total: bar.update(task, completed=done, total=total)
