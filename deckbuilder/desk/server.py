"""Server: the desk's life from opening to closing.

An interruption, the end of the terminal and a request to terminate all close it in the same way: nothing more is
listened to, what is at work ends, and then the program.
"""

import signal
import socket
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Thread
from types import FrameType

from deckbuilder.desk.app import make_app
from deckbuilder.desk.listening import LOOPBACK, Listener, open_socket
from deckbuilder.desk.state import Desk
from deckbuilder.errors import UserError

_ENDING = ("SIGINT", "SIGTERM", "SIGHUP", "SIGBREAK")
"""Signals that close the desk, as far as the system has them: Ctrl-C, a request to end, and a terminal that closes."""


class PortError(UserError, OSError):
    """A port that cannot be listened on."""


def listening(port: int | None) -> socket.socket:
    """Return a socket that listens on loopback.

    Args:
        port: on which; None for any that is free.

    Raises:
        PortError: it is taken, or not for everybody to take.
    """
    try:
        return open_socket(LOOPBACK, port or 0)
    except OSError as error:
        named, remedy = (f"--port {port}", "name another, or none for a free one") if port else ("a port", "try again")
        raise PortError(f"{named}: this cannot be listened on ({error.strerror}); {remedy}") from None


def serve(desk: Desk, opened: socket.socket, on_open: Callable[[], None]) -> None:
    """Answer requests to a desk until the program is told to end, then close it.

    Args:
        desk: the desk.
        opened: the socket that it listens on.
        on_open: called when an end is taken care of, and before anything is answered.
    """
    listener = Listener(make_app(desk), lifespan=True, on_end=desk.leave)

    def end(_number: int, _frame: FrameType | None) -> None:
        desk.closing.set()
        listener.stop()

    try:
        with _ended_by(end):
            on_open()
            Thread(target=desk.warm, name="warm").start()
            listener.run(sockets=[opened])
    finally:
        opened.close()
        desk.close()


@contextmanager
def _ended_by(end: Callable[[int, FrameType | None], None]) -> Iterator[None]:
    """Take the signals that end the desk, those apart that whoever started the program has ignored."""
    taken = [found for name in _ENDING if (found := getattr(signal, name, None)) is not None]
    before = {number: signal.getsignal(number) for number in taken}
    heard = [number for number in taken if before[number] != signal.SIG_IGN]
    for number in heard:
        signal.signal(number, end)
    try:
        yield
    finally:
        for number in heard:
            signal.signal(number, before[number] or signal.SIG_DFL)
