"""The desk as a command, in a process of its own."""

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import psutil

from deckbuilder.deck.store import Store
from deckbuilder.desk.state import Desk
from tests.desk.asking import Asker

PROGRAM = "from deckbuilder.__main__ import main; main()"
TAKING_SIGNALS = (
    "import signal; signal.signal(signal.SIGINT, signal.default_int_handler)\n"
    "signal.signal(signal.SIGHUP, signal.SIG_DFL)\n"
)
"""A shell that starts the tests in the background has interrupts ignored, and `nohup` the end of a terminal."""


@contextmanager
def started(folder: Path, *options: str, before: str = "") -> "Iterator[tuple[subprocess.Popen[str], str]]":
    """Start the command; yields the process and the address it printed."""
    process = subprocess.Popen(
        [sys.executable, "-c", TAKING_SIGNALS + before + PROGRAM, "desk", *options, "--store", "store"],
        cwd=folder,
        env={**os.environ, "XDG_CACHE_HOME": str(folder / "cache"), "BROWSER": "true"},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    try:
        assert process.stdout
        yield process, process.stdout.readline().strip()
    finally:
        if process.poll() is None:
            process.kill()
        process.communicate()


def asker_at(url: str, folder: Path) -> Asker:
    """Return who asks the desk with a first address, whose folder and store lie in a folder."""
    port, token = int(url.split(":")[2].partition("/")[0]), url.rpartition("/")[2]
    return Asker(Desk(folder / "decks", Store(folder / "store"), 1, port, token))


def listened_to(process: int) -> set[tuple[str, int]]:
    """Return the addresses and ports that a process and its children listen on."""
    parent = psutil.Process(process)
    return {
        tuple(found.laddr)
        for one in (parent, *parent.children(recursive=True))
        for found in one.net_connections("inet")
        if found.status == psutil.CONN_LISTEN
    }
