"""Command line: what is told while a command works and when it fails, the same for every command that renders."""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from deckbuilder.errors import ToldError

if TYPE_CHECKING:
    from deckbuilder.rendering import Progress

_PLAIN_STEPS = 10
"""Lines of progress where no terminal shows a bar."""


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
            click.echo(f"deckbuilder: {error}", err=True)
            sys.exit(error.exit_status)
        except KeyboardInterrupt:
            click.echo(
                "deckbuilder: interrupted; what is finished is kept, and the next build goes on from there", err=True
            )
            sys.exit(130)


@contextmanager
def shown_progress() -> Iterator["Progress"]:
    """Show a bar on a terminal, a few plain lines elsewhere."""
    if not sys.stderr.isatty():
        told = 0

        def tell(done: int, total: int) -> None:
            nonlocal told
            if done * _PLAIN_STEPS // total > told or done == total:
                told = done * _PLAIN_STEPS // total
                click.echo(f"pictures and clips: {done} of {total}", err=True)

        yield tell
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, console=Console(stderr=True)) as bar:
        task = bar.add_task("pictures and clips", total=None)
        yield lambda done, total: bar.update(task, completed=done, total=total)
