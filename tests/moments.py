"""Signals at chosen moments: a program sends one as it does its N-th thing that Python audits.

Moments are counted in what the program does (a module is loaded, a file opened or renamed, a process asked for), so
that nothing depends on a clock.
"""

import os
import re
import signal
import subprocess
import sys
from pathlib import Path

_PROGRAM = """
import os, signal, sys
from multiprocessing import forkserver
from deckbuilder.__main__ import main
# A shell that starts the tests in the background has interrupts ignored; the program has to get this one.
signal.signal(signal.SIGINT, signal.default_int_handler)
me, seen = os.getpid(), 0
def hook(event, _arguments):
    global seen
    if os.getpid() == me and event.startswith({events!r}) and not event.startswith("os.kill"):
        seen += 1
        if {first} <= seen < {first} + {times}:
            {send}
sys.addaudithook(hook)
try:
    main()
finally:
    print("seen", seen, file=sys.stderr)
"""


def run_until(
    folder: Path,
    *arguments: str,
    first: int,
    times: int = 1,
    events: tuple[str, ...] = ("",),
    number: signal.Signals = signal.SIGINT,
    to: str = "os.killpg(me, {number})",
    **environment: str,
) -> "subprocess.CompletedProcess[str]":
    """Run a command that gets a signal.

    Args:
        folder: the working directory.
        arguments: the command and its arguments.
        first: the event at which the signal comes, from 1; 0 for none.
        times: at how many events it comes.
        events: how the names of the events begin that count.
        number: the signal.
        to: how it is sent; to all the program's processes if not given.
        environment: variables that are set.
    """
    code = _PROGRAM.format(events=events, first=first or -times, times=times, send=to.format(number=int(number)))
    return subprocess.run(
        [sys.executable, "-c", code, *arguments],
        cwd=folder,
        env={**os.environ, "XDG_CACHE_HOME": str(folder / "cache"), **environment},
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
        start_new_session=True,
    )


def events_of(done: "subprocess.CompletedProcess[str]") -> int:
    """Return how many events a run had that got no signal."""
    found = re.search(r"^seen (\d+)$", done.stderr, re.MULTILINE)
    assert found, done.stderr
    return int(found[1])
