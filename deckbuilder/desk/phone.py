"""Phone: one deck for a phone on the same network, for ten minutes, on the press of a button.

A listener of its own answers on this computer's addresses in local networks. It knows one address of 128 random bits,
under which the deck's file lies, and says of everything else that it is not there. Sources: RFC 9110 (methods, Host),
RFC 6266 (the name under which a file is kept), RFC 1918 (addresses of local networks), ISO/IEC 18004 (QR codes).
"""

import asyncio
import secrets
import socket
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from ipaddress import IPv4Address
from pathlib import Path

from starlette.datastructures import Headers
from starlette.responses import FileResponse, PlainTextResponse, Response
from starlette.types import Receive, Scope, Send

from deckbuilder.desk.guard import HEADERS
from deckbuilder.desk.listening import GRACE, Listener, open_socket
from deckbuilder.errors import UserError

SECONDS = 600
"""How long a deck is offered."""
_LAST = 120
"""s that a download which is under way when the time is over has left."""
_LOOK = 5.0
"""s between two looks at the clock."""
_SECRET = 16
"""Bytes of the secret in the address."""
_ELSEWHERE = ("192.0.2.1", 9)
"""An address for documentation (RFC 5737): nothing is sent there, it is only asked which way would lead to it."""
DECK_TYPE = "application/octet-stream"
"""Of a deck that is downloaded: no type is registered for it, and one of archives would have it unpacked."""


class NoNetworkError(UserError, OSError):
    """No address at which a phone could reach this computer."""


@dataclass(frozen=True, slots=True)
class Offer:
    """A deck on offer.

    Args:
        deck: name of its file.
        urls: its addresses, the likeliest first, by the address of this computer in each.
        until: when the offer ends.
    """

    deck: str
    urls: dict[str, str]
    until: datetime


class OneFile:
    """Answers with one file, under one path and to requests that name one of some hosts; ASGI.

    Args:
        file: the file.
        path: the path.
        hosts: names and ports by which requests may call this computer.
    """

    def __init__(self, file: Path, path: str, hosts: Iterable[str]) -> None:
        self._file = file
        self._path = path.encode()
        self._hosts = frozenset(hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request."""
        await self._answer(scope)(scope, receive, send)

    def _answer(self, scope: Scope) -> Response:
        path = scope["path"].encode("utf-8", "surrogatepass")
        if not secrets.compare_digest(path, self._path) or Headers(scope=scope).get("host") not in self._hosts:
            return PlainTextResponse("Not found", 404, HEADERS)
        if scope["method"] not in ("GET", "HEAD"):
            return PlainTextResponse("Method not allowed", 405, {**HEADERS, "Allow": "GET, HEAD"})
        if not self._file.is_file():
            return PlainTextResponse("Not found", 404, HEADERS)
        return FileResponse(self._file, headers=HEADERS, media_type=DECK_TYPE, filename=self._file.name)


@dataclass(slots=True)
class Phone:
    """The one deck that a desk offers to phones; of the desk's event loop alone.

    Args:
        seconds: how long a deck is offered.
        offer: what is on offer.
    """

    seconds: float = SECONDS
    offer: Offer | None = None
    _listener: Listener | None = None
    _timer: asyncio.TimerHandle | None = None
    _tasks: set[asyncio.Task[None]] = field(default_factory=set)

    async def start(self, file: Path) -> Offer:
        """Offer a deck; what was offered before is no longer.

        Args:
            file: the deck's.

        Raises:
            NoNetworkError: this computer is in no local network.
        """
        self.stop()
        sockets = _opened(addresses())
        if not sockets:
            raise NoNetworkError(
                "this computer is in no local network that a phone could be in; join the phone's wireless network, or "
                "save the deck and send it to the phone in another way"
            )
        path = f"/{secrets.token_urlsafe(_SECRET)}/{file.name}"
        hosts = {address: f"{address}:{port}" for address, port in (one.getsockname() for one in sockets)}
        self._listener = Listener(OneFile(file, path, hosts.values()))
        until = datetime.now(UTC) + timedelta(seconds=self.seconds)
        self.offer = Offer(file.name, {address: f"http://{host}{path}" for address, host in hosts.items()}, until)
        self._look()
        task = asyncio.create_task(self._listener.serve(sockets))
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)
        await self._listener.begun()
        return self.offer

    def _look(self) -> None:
        """End the offer where its time is over by the clock on the wall: a computer that sleeps counts no seconds."""
        if self.offer is not None:
            left = (self.offer.until - datetime.now(UTC)).total_seconds()
            if left <= 0:
                self.stop(_LAST)
            else:
                self._timer = asyncio.get_running_loop().call_later(min(left, _LOOK), self._look)

    def stop(self, grace: int = GRACE) -> None:
        """Offer nothing any longer.

        Args:
            grace: s after which a download that is under way is broken off.
        """
        if self._listener is not None and self._timer is not None:
            self._timer.cancel()
            self._listener.close(grace)
        self.offer = self._listener = self._timer = None

    async def close(self) -> None:
        """Offer nothing any longer, and break off what is under way."""
        self.stop()
        for task in self._tasks:
            task.cancel()
        await asyncio.gather(*self._tasks, return_exceptions=True)


def _opened(found: Iterable[str]) -> list[socket.socket]:
    """Return sockets that listen on some addresses, all on one port; without those on which it is taken."""
    sockets: list[socket.socket] = []
    for address in found:
        try:
            sockets.append(open_socket(address, sockets[0].getsockname()[1] if sockets else 0))
        except OSError:
            continue
    return sockets


def addresses() -> tuple[str, ...]:
    """Return this computer's addresses in local networks (IPv4), the one on its way out first."""
    import psutil

    up = {name for name, state in psutil.net_if_stats().items() if state.isup}
    found = [
        one.address
        for name, of_interface in psutil.net_if_addrs().items()
        for one in of_interface
        if name in up and one.family == socket.AF_INET
    ]
    return local(found, _on_the_way_out())


def local(found: Iterable[str], first: str | None) -> tuple[str, ...]:
    """Choose addresses of local networks; where there are none, any on which a phone could reach this computer.

    Args:
        found: addresses of this computer, IPv4.
        first: the one on its way out, None where there is none.
    """
    reachable = [one for one in dict.fromkeys(found) if not _is_for_itself(IPv4Address(one))]
    private = [one for one in reachable if IPv4Address(one).is_private]
    return tuple(sorted(private or reachable, key=lambda one: one != first))


def _is_for_itself(address: IPv4Address) -> bool:
    return address.is_loopback or address.is_link_local or address.is_unspecified or address.is_multicast


def _on_the_way_out() -> str | None:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        try:
            asked.connect(_ELSEWHERE)
            return str(asked.getsockname()[0])
        except OSError:
            return None
