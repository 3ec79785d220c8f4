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
from multiprocessing.connection import Connection, wait
from multiprocessing.context import BaseContext
from multiprocessing.util import get_temp_dir
from pathlib import Path
from threading import Thread
from typing import Any, TypeVar

from deckbuilder.deck.unfinished import owned, sweep_owned
from deckbuilder.interruption import deferred, stop_when

_T = TypeVar("_T")

_RENDERERS = (
    "deckbuilder.rendering",
    "deckbuilder.picture.render",
    "deckbuilder.sound.render",
    "deckbuilder.notation.render",
    "fontTools.svgLib.path",
    "fontTools.ttLib",
    "matplotlib.backends.backend_agg",
    "matplotlib.textpath",
    "verovio",
)
"""What a worker needs loaded."""

_SURROUNDINGS = {
    # Bytes up to which a worker keeps memory that it has given back, where the C library is glibc: what a clip takes
    # comes again with the next one, and to get it from the system each time takes an eighth of its processor time.
    "MALLOC_MMAP_THRESHOLD_": 1 << 25,
    "MALLOC_TRIM_THRESHOLD_": 1 << 27,
    # There is a worker a core: threads of NumPy's linear algebra would only wait for each other.
    "OPENBLAS_NUM_THREADS": 1,
}
"""Variables that a worker starts with, where nobody has set them."""

_HANDLES, _HANDLES_A_WORKER = 48, 8
"""File handles that the program and each of its workers take, with some to spare."""

_SOCKETS = "pymp-*"
"""Folders in which processes find each other; the library that starts them names them so."""


@contextmanager
def processes(count: int | None, tell: Callable[[str], None], *, aside: bool = False) -> Iterator["Workers | None"]:
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
    executor = Workers(number, tell)
    try:
        yield executor
    finally:
        # Workers finish the medium they have in hand. Whoever loses patience must not break off the wait for them:
        # nobody would be left to tell them to end.
        with deferred():
            executor.stop()
            executor.shutdown(cancel_futures=True)


class Workers(Executor):
    """Processes that an interruption of the program does not reach; a thread of this process where there can be none.

    Args:
        number: how many.
        tell: told why there are none, if there can be none.
    """

    def __init__(self, number: int, tell: Callable[[str], None]) -> None:
        self._number = number
        self._tell = tell
        self._executors: list[Executor] = []
        self._wanted: list[Connection] = []

    def submit(self, fn: Callable[..., _T], /, *args: Any, **kwargs: Any) -> Future[_T]:
        """Have a process call a function, see `concurrent.futures`."""
        try:
            if not self._executors:
                # This starts a helper of the library's, which takes care of interruptions for itself and ends what
                # `deferred` has begun.
                with deferred():
                    executor, wanted = _pool(self._number)
                    self._executors.append(executor)
                    self._wanted.append(wanted)
            with deferred():
                return self._executors[-1].submit(fn, *args, **kwargs)
        except (OSError, EOFError, ImportError, NotImplementedError) as error:
            reason = getattr(error, "strerror", None) or str(error) or "a process ended as it began"
            self._tell(f"no processes can be started beside this one ({reason}), so it renders alone")
            self._executors.append(ThreadPoolExecutor(1))
            return self._executors[-1].submit(fn, *args, **kwargs)

    def stop(self) -> None:
        """Tell the processes that their work is no longer wanted; what they are given from now on comes to little."""
        for wanted in self._wanted:
            wanted.close()

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """End the processes, see `concurrent.futures`."""
        for executor in self._executors:
            executor.shutdown(wait, cancel_futures=cancel_futures)


def _pool(number: int) -> tuple[Executor, Connection]:
    """Return processes that are not started yet, and what is closed when their work is no longer wanted.

    Args:
        number: how many.

    Raises:
        OSError: the system allows none.
    """
    if (few := _handles()) is not None and few < _HANDLES + _HANDLES_A_WORKER * number:
        # The library that starts processes cannot do with fewer, and does not say so in words.
        raise OSError(f"there are only {few} file handles")
    for name, value in _SURROUNDINGS.items():
        os.environ.setdefault(name, str(value))  # the processes are new programs: they take it over as they start
    context = _context()
    if context.get_start_method() == "forkserver":
        owned(Path(get_temp_dir()))
    told, wanted = context.Pipe(duplex=False)
    return ProcessPoolExecutor(number, mp_context=context, initializer=_end_with_the_program, initargs=(told,)), wanted


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


def _end_with_the_program(told: Connection) -> None:
    """Leave an interruption to the program, and watch for its end and for the end of what it wants."""
    stop_when(lambda: _is_over(told))
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    Thread(target=_watch, daemon=True).start()


def _is_over(told: Connection) -> bool:
    """Tell whether the other end is closed; nothing is ever written there."""
    try:
        return told.poll()
    except OSError:
        return True


def _watch() -> None:
    program = multiprocessing.parent_process()
    if program is not None:
        wait([program.sentinel])
        os._exit(1)
