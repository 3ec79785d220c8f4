"""Workers: the processes of this machine that render.

They branch off one small process that has loaded the renderers, so that the large libraries are loaded once, and no
thread of the program is copied into them. They end when the program ends, however it ends. Where the system allows no
such processes, this one renders.
"""

import multiprocessing
import os
import signal
import sys
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from contextlib import contextmanager
from multiprocessing.connection import wait
from multiprocessing.context import BaseContext
from multiprocessing.util import get_temp_dir
from pathlib import Path
from threading import Thread
from typing import Any, TypeVar

from deckbuilder.deck.unfinished import owned, sweep_owned
from deckbuilder.interruption import deferred

_T = TypeVar("_T")

_RENDERERS = (
    "deckbuilder.rendering",
    "deckbuilder.picture.render",
    "deckbuilder.sound.render",
    "deckbuilder.notation.render",
    "fontTools.svgLib.path",
    "fontTools.ttLib",
    "matplotlib.backends.backend_agg",
    "matplotlib.patches",
    "matplotlib.textpath",
    "verovio",
)
"""What a worker needs loaded."""

_HANDLES, _HANDLES_A_WORKER = 48, 8
"""File handles that the program and each of its workers take, with some to spare."""

_SOCKETS = "pymp-*"
"""Folders in which processes find each other; the library that starts them names them so."""


@contextmanager
def processes(count: int | None, tell: Callable[[str], None], *, aside: bool = False) -> Iterator[Executor | None]:
    """Offer processes to render on, and end them.

    Args:
        count: how many; None for one a core. One means this process itself.
        tell: told why there are none, if there can be none.
        aside: whether one means another process too, since this one has something else to do.

    Yields:
        An executor, or None where this process is to render.
    """
    sweep_owned(_SOCKETS)
    number = count or os.cpu_count() or 1
    if number == 1 and not aside:
        yield None
        return
    executor = _Workers(number, tell)
    try:
        yield executor
    finally:
        # Workers finish what they have in hand, a second or two. Whoever loses patience must not break off the wait
        # for them: nobody would be left to tell them to end.
        with deferred():
            executor.shutdown(cancel_futures=True)


class _Workers(Executor):
    """Processes that an interruption of the program does not reach; a thread of this process where there can be none.

    Args:
        number: how many.
        tell: told why there are none, if there can be none.
    """

    def __init__(self, number: int, tell: Callable[[str], None]) -> None:
        self._number = number
        self._tell = tell
        self._executors: list[Executor] = []

    def submit(self, fn: Callable[..., _T], /, *args: Any, **kwargs: Any) -> Future[_T]:
        try:
            if not self._executors:
                # This starts a helper of the library's, which takes care of interruptions for itself and ends what
                # `deferred` has begun.
                with deferred():
                    self._executors.append(_pool(self._number))
            with deferred():
                return self._executors[-1].submit(fn, *args, **kwargs)
        except (OSError, EOFError, ImportError, NotImplementedError) as error:
            reason = getattr(error, "strerror", None) or str(error) or "a process ended as it began"
            self._tell(f"no processes can be started beside this one ({reason}), so it renders alone")
            self._executors.append(ThreadPoolExecutor(1))
            return self._executors[-1].submit(fn, *args, **kwargs)

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        for executor in self._executors:
            executor.shutdown(wait, cancel_futures=cancel_futures)


def _pool(number: int) -> Executor:
    """Return processes that are not started yet.

    Args:
        number: how many.

    Raises:
        OSError: the system allows none.
    """
    if (few := _handles()) is not None and few < _HANDLES + _HANDLES_A_WORKER * number:
        # The library that starts processes cannot do with fewer, and does not say so in words.
        raise OSError(f"there are only {few} file handles")
    context = _context()
    if context.get_start_method() == "forkserver":
        owned(Path(get_temp_dir()))
    return ProcessPoolExecutor(number, mp_context=context, initializer=_end_with_the_program)


def _handles() -> int | None:
    """Return how many file handles this process may have; None where there is no limit or no telling."""
    if sys.platform == "win32":
        return None
    import resource

    soft, _ = resource.getrlimit(resource.RLIMIT_NOFILE)
    return None if soft == resource.RLIM_INFINITY else soft


def _context() -> BaseContext:
    if "forkserver" not in multiprocessing.get_all_start_methods():
        return multiprocessing.get_context("spawn")
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(list(_RENDERERS))
    return context


def _end_with_the_program() -> None:
    """Leave an interruption to the program, and watch for its end."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    Thread(target=_watch, daemon=True).start()


def _watch() -> None:
    program = multiprocessing.parent_process()
    if program is not None:
        wait([program.sentinel])
        os._exit(1)
