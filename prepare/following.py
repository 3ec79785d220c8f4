"""Runs another program and says every few seconds what it is at, so that nothing is silent for long."""

import re
import subprocess
import threading
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

EVERY = 10.0
"""s between two words about a program that runs."""
_WIDEST = 100
"""Characters of a line that is shown."""
_COLOURS = re.compile(r"\x1b\[[0-9;?]*[A-Za-z]")


@dataclass(frozen=True)
class Ended:
    """How a program ended: its exit status, None where it took too long, and the lines it wrote."""

    status: int | None
    lines: tuple[str, ...]

    @property
    def last_words(self) -> str:
        """What it wrote at the end, for a message about a failure."""
        return "\n".join(f"  {line}" for line in self.lines[-15:])


def follow(
    command: Sequence[str],
    *,
    every: float = EVERY,
    bound: float | None = None,
    environment: Mapping[str, str] | None = None,
    folder: Path | None = None,
) -> Ended:
    """Run a program to its end and print its latest line from time to time.

    Args:
        command: the program and its arguments.
        every: s between two lines.
        bound: s after which it is ended; None for no bound.
        environment: its environment; None for this one's.
        folder: where it runs; None for the current folder.
    """
    started = time.monotonic()
    with subprocess.Popen(
        command,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        env=environment,
        cwd=folder,
        encoding="utf-8",
        errors="replace",
    ) as process:
        lines: list[str] = []
        reader = threading.Thread(target=_read, args=(process, lines), daemon=True)
        reader.start()
        status: int | None = None
        while status is None:
            try:
                status = process.wait(every)
            except subprocess.TimeoutExpired:
                passed = time.monotonic() - started
                print(f"  {passed:3.0f} s: {lines[-1][:_WIDEST] if lines else 'at work'}", flush=True)
                if bound is not None and passed >= bound:
                    process.kill()
                    break
        reader.join()
    return Ended(status, tuple(lines))


def _read(process: subprocess.Popen[str], lines: list[str]) -> None:
    """Collect what a program writes, as text that any terminal shows."""
    assert process.stdout is not None
    for line in process.stdout:
        # A progress bar writes over its own line.
        text = _COLOURS.sub("", line).rstrip().rpartition("\r")[2].strip()
        if text:
            lines.append("".join(sign if sign.isascii() and sign.isprintable() else "?" for sign in text))
