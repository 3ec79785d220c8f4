"""Interruptions: a Ctrl-C is never lost, breaks off no clean-up of an earlier one, and is told in a sentence.

This module loads nothing large: it is at work from the program's first moment.
"""

import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from threading import current_thread, main_thread
from types import FrameType

STATUS = 130
"""Exit status of an interrupted program: 128 and the number of SIGINT, as shells count."""

_SENTENCE = "deckbuilder: interrupted; what is finished is kept, and the next build goes on from there"


class _Watch:
    """What is known of the interruptions of this program."""

    came = False
    missed = False
    is_to_stop: Callable[[], bool] = staticmethod(lambda: False)


def watch() -> None:
    """Take interruptions from now on, unless whoever started the program has them ignored."""
    if signal.getsignal(signal.SIGINT) is signal.default_int_handler:
        signal.signal(signal.SIGINT, _interrupt)
        sys.unraisablehook = _note_missed


def end_watch() -> None:
    """Ignore further interruptions, for the little that an ending program still does."""
    if signal.getsignal(signal.SIGINT) is _interrupt:
        signal.signal(signal.SIGINT, signal.SIG_IGN)


def came() -> bool:
    """Tell whether there was an interruption, even if a library took its exception for one of its own."""
    return _Watch.came


def tell() -> int:
    """Say that the program was interrupted, and return its exit status."""
    end_watch()
    if sys.stderr is not None:
        with suppress(OSError):
            print(_SENTENCE, file=sys.stderr, flush=True)
    return STATUS


def raise_if_missed() -> None:
    """Raise an interruption that came where no exception gets through, such as the removal of an object.

    Raises:
        KeyboardInterrupt: there was one.
    """
    if _Watch.missed:
        _Watch.missed = False
        raise KeyboardInterrupt


def stop_when(told: Callable[[], bool]) -> None:
    """Have a process that works for the program told when its work is no longer wanted.

    Args:
        told: tells whether it is so.
    """
    _Watch.is_to_stop = staticmethod(told)


def is_to_stop() -> bool:
    """Tell whether nobody wants any longer what this process is at; asked between two pieces of work."""
    return _Watch.is_to_stop()


@contextmanager
def deferred() -> Iterator[None]:
    """Put interruptions off until the block has ended.

    Processes that are started in it never get one, nor the word that their terminal has closed: the program ends them.
    """
    if current_thread() is not main_thread():
        # Another thread gets none.
        with _kept_from_processes():
            yield
        return
    came = False

    def note(_number: int, _frame: FrameType | None) -> None:
        nonlocal came
        came = True

    handler = signal.signal(signal.SIGINT, note)
    try:
        with _kept_from_processes():
            yield
    finally:
        signal.signal(signal.SIGINT, handler)
        if came:
            signal.raise_signal(signal.SIGINT)


@contextmanager
def _kept_from_processes() -> Iterator[None]:
    """Block, in this thread, what processes that are started in the block are not to get.

    What is blocked stays so in a started process, while a handler of Python's does not.
    """
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    blocked = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT, signal.SIGHUP})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, blocked)


def _interrupt(_number: int, _frame: FrameType | None) -> None:
    """Raise an interruption, unless one is being handled: what cleans up is not broken off."""
    _Watch.came = True
    error = sys.exception()
    while error is not None:
        if isinstance(error, KeyboardInterrupt):
            return
        error = error.__context__
    raise KeyboardInterrupt


def _note_missed(unraisable: "sys.UnraisableHookArgs") -> None:
    if isinstance(unraisable.exc_value, KeyboardInterrupt):
        _Watch.missed = True
    else:
        sys.__unraisablehook__(unraisable)
