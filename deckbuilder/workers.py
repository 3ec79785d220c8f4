"""Workers: the processes of this machine that render.

They branch off one small process that has loaded the renderers, so that the large libraries are loaded once, and no
thread of the program is copied into them. They end when the program ends, however it ends.
"""

import multiprocessing
import os
import signal
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from contextlib import contextmanager
from multiprocessing.connection import wait
from multiprocessing.context import BaseContext
from threading import Thread, current_thread, main_thread
from typing import Any, TypeVar

_T = TypeVar("_T")

_RENDERERS = (
    "deckbuilder.rendering",
    "deckbuilder.picture.render",
    "deckbuilder.sound.render",
    "matplotlib.backends.backend_agg",
    "matplotlib.patches",
    "matplotlib.textpath",
    "PIL.PngImagePlugin",
)
"""What a worker needs loaded."""


@contextmanager
def processes(count: int | None) -> Iterator[Executor | None]:
    """Offer processes to render on, and end them.

    Args:
        count: how many; None for one a core. One means this process itself.

    Yields:
        An executor, or None where this process is to render.
    """
    number = count or os.cpu_count() or 1
    if number == 1:
        yield None
        return
    executor = _Workers(number, mp_context=_context(), initializer=_end_with_the_program)
    try:
        yield executor
    except BaseException:
        # Workers finish what they have in hand, a second or two. Whoever loses patience must not break off the wait
        # for them: nobody would be left to tell them to end.
        with _uninterrupted():
            executor.shutdown(cancel_futures=True)
        raise
    executor.shutdown()


class _Workers(ProcessPoolExecutor):
    """Processes that an interruption of the program does not reach, not even while they load their libraries."""

    _started = False

    def submit(self, fn: Callable[..., _T], /, *args: Any, **kwargs: Any) -> Future[_T]:
        if self._started:
            return super().submit(fn, *args, **kwargs)
        with _uninterrupted():
            self._started = True
            return super().submit(fn, *args, **kwargs)


@contextmanager
def _uninterrupted() -> Iterator[None]:
    """Leave interruptions aside for a moment; processes that are started meanwhile leave them aside for good."""
    if current_thread() is not main_thread():
        yield
        return
    handler = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, handler)


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
