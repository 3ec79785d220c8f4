"""Server: the desk's socket, and its life from opening to closing.

An interruption, the end of the terminal and a request to terminate all close it in the same way: nothing more is
listened to, what is at work ends, and then the program.
"""

import signal
import socket
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType

import uvicorn
from starlette.types import ASGIApp

from deckbuilder.desk.app import make_app
from deckbuilder.desk.state import Desk
from deckbuilder.errors import UserError

LOOPBACK = "127.0.0.1"
_WAITING = 128
"""Connections that may wait to be taken."""
_GRACE = 2
"""s that answers under way are given when the desk closes."""
_ENDING = ("SIGINT", "SIGTERM", "SIGHUP", "SIGBREAK")
"""Signals that close the desk, as far as the system has them: Ctrl-C, a request to end, and a terminal that closes."""


class PortError(UserError, OSError):
    """A port that cannot be listened on."""


class Listener(uvicorn.Server):
    """Answers on sockets until it is told to stop, and leaves the program's signals alone.

    Args:
        app: what answers.
    """

    def __init__(self, app: ASGIApp) -> None:
        super().__init__(
            uvicorn.Config(
                app,
                loop="asyncio",
                http="h11",
                ws="none",
                lifespan="off",
                log_config=None,
                access_log=False,
                proxy_headers=False,
                server_header=False,
                timeout_graceful_shutdown=_GRACE,
            )
        )

    @contextmanager
    def capture_signals(self) -> Iterator[None]:
        """Take no signals: whoever runs this does."""
        yield

    def stop(self) -> None:
        """Listen no more, as soon as what is under way is answered."""
        self.should_exit = True


def listening(port: int | None) -> socket.socket:
    """Return a socket that listens on loopback.

    Args:
        port: on which; None for any that is free.

    Raises:
        PortError: it is taken, or not for everybody to take.
    """
    # Where the system would let a second program take over a port that is in use, this says no to that, and elsewhere
    # yes to a port that was let go a moment ago.
    opened = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        if hasattr(socket, "SO_EXCLUSIVEADDRUSE"):
            opened.setsockopt(socket.SOL_SOCKET, socket.SO_EXCLUSIVEADDRUSE, 1)
        else:
            opened.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        opened.bind((LOOPBACK, port or 0))
        opened.listen(_WAITING)
    except OSError as error:
        opened.close()
        raise PortError(
            f"--port {port or ''}: this cannot be listened on ({error.strerror}); name another, or none for a free one"
        ) from None
    return opened


def serve(desk: Desk, opened: socket.socket, on_open: Callable[[], None]) -> None:
    """Answer requests to a desk until the program is told to end, then close it.

    Args:
        desk: the desk.
        opened: the socket that it listens on.
        on_open: called when an end is taken care of, and before anything is answered.
    """
    listener = Listener(make_app(desk))

    def end(_number: int, _frame: FrameType | None) -> None:
        desk.closing.set()
        listener.stop()

    try:
        with _ended_by(end):
            on_open()
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
