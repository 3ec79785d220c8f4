"""The program run as a user runs it, in a process of its own."""

import os
import subprocess
import sys
from pathlib import Path

_PROGRAM = "from deckbuilder.__main__ import main; main()"


def run(
    folder: Path, *arguments: str, largest: int | None = None, before: str = "", **environment: str
) -> subprocess.CompletedProcess[str]:
    """Run a command, with a cache folder of its own.

    Args:
        folder: the working directory.
        arguments: the command and its arguments.
        largest: bytes that no file may exceed, which stands for a full disk; None for no limit.
        before: lines of Python that the process runs first.
        environment: variables that are set.
    """
    limit = f"import resource; resource.setrlimit(resource.RLIMIT_FSIZE, ({largest}, {largest}))\n" if largest else ""
    return subprocess.run(
        [sys.executable, "-c", limit + before + _PROGRAM, *arguments],
        cwd=folder,
        env={**os.environ, "XDG_CACHE_HOME": str(folder / "cache"), **environment},
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
