"""Listening: sockets, and what answers on them until it is told to stop."""

import asyncio
import logging
import socket
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import uvicorn
from starlette.types import ASGIApp

LOOPBACK = "127.0.0.1"
_WAITING = 128
"""Connections that may wait to be taken."""
_AT_ONCE = 64
"""Connections that are answered at once; a page and its pictures take a handful."""
_LOOK = 0.01
"""s between two looks whether the library has begun."""
GRACE = 2
"""s that answers under way are given when nothing more is to be answered."""


def _is_a_mistake(record: logging.LogRecord) -> bool:
    """Tell whether a line of the library's log is of a mistake, and not of an answer that was broken off."""
    return record.exc_info is not None and not isinstance(record.exc_info[1], asyncio.CancelledError)


logging.getLogger("uvicorn.error").addFilter(_is_a_mistake)


class Listener(uvicorn.Server):
    """Answers on sockets until it is told to stop, and leaves the program's signals alone.

    Args:
        app: what answers.
        lifespan: whether it wants to be told of the beginning and the end.
        on_end: called in the event loop when no more is answered, before what is under way is waited for.
    """

    def __init__(self, app: ASGIApp, *, lifespan: bool = False, on_end: Callable[[], None] = lambda: None) -> None:
        self._on_end = on_end
        super().__init__(
            uvicorn.Config(
                app,
                loop="asyncio",
                http="h11",
                ws="none",
                lifespan="on" if lifespan else "off",
                log_config=None,
                access_log=False,
                proxy_headers=False,
                server_header=False,
                limit_concurrency=_AT_ONCE,
            )
        )

    @contextmanager
    def capture_signals(self) -> Iterator[None]:
        """Take no signals: whoever runs this does."""
        yield

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """End, as the library does."""
        self._on_end()
        await super().shutdown(sockets)

    def stop(self, grace: int = GRACE) -> None:
        """Listen no more.

        Args:
            grace: s that what is under way has to be answered in.
        """
        self.config.timeout_graceful_shutdown = grace
        self.should_exit = True

    async def begun(self) -> None:
        """Wait until it answers."""
        while not self.started and not self.should_exit:
            await asyncio.sleep(_LOOK)

    def close(self, grace: int = GRACE) -> None:
        """Listen no more from this moment on; for the event loop that it answers in.

        Args:
            grace: s that what is under way has to be answered in.
        """
        for server in getattr(self, "servers", ()):  # there are none before it has begun
            server.close()
        self.stop(grace)


def open_socket(address: str, port: int) -> socket.socket:
    """Return a socket that listens.

    Args:
        address: of this computer, IPv4.
        port: on which; 0 for any that is free.

    Raises:
        OSError: the port is taken, or not for everybody to take.
    """
    opened = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        # One system would let a second program take over a port that is in use, the others keep one back that was let
        # go a moment ago.
        exclusive = getattr(socket, "SO_EXCLUSIVEADDRUSE", None)
        opened.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR if exclusive is None else exclusive, 1)
        opened.bind((address, port))
        opened.listen(_WAITING)
    except OSError:
        opened.close()
        raise
    return opened
